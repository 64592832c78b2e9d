package competency

import (
	"cmp"
	"slices"
	"time"

	"isthmus/assessment/af"
	"isthmus/competency/interval"
)

// How growth is counted. All three are common practice, no source; the answer carries them, so that they can be said beside the figures.
const (
	GrowthLetter = "A-" // from which on a plan counts as good
	GrowthLeastN = 5    // below so many attempts nothing is told of a share
	GrowthLevel  = 0.95 // two-sided confidence of every interval
)

// Attempt is one graded plan of a trainee, as it counts for growth.
type Attempt struct {
	Plan        PlanID
	Scenario    string
	Title       string // of the scenario
	Number      int    // 1, 2, 3, ... for this scenario, over practice and tests
	Test        bool
	SubmittedAt time.Time
	Pattern     af.Pattern
	Score       float64
	Letter      string
	Unsafe      bool
	Omissions   []OmissionSeen // those that could be made in it
}

// OmissionSeen is an omission that could be made in an attempt.
type OmissionSeen struct {
	ID   string
	Made bool
}

// Growth is what a trainee's attempts show over time, by AF pattern and by omission. It describes; it decides nothing.
type Growth struct {
	Attempts    int              `json:"attempts"`
	Scenarios   int              `json:"scenarios"`
	Patterns    []PatternGrowth  `json:"patterns"`  // all four, in their order
	Omissions   []OmissionGrowth `json:"omissions"` // all there are, in their order
	Letter      string           `json:"letter"`    // from which on a plan counts as good
	LeastN      int              `json:"least_n"`   // below it nothing is told of a share
	Level       float64          `json:"level"`
	Method      string           `json:"method"`
	Assumptions string           `json:"assumptions"`
}

// PatternGrowth is growth on scenarios of one AF pattern. Hits are plans at the letter or better.
type PatternGrowth struct {
	Pattern   af.Pattern `json:"pattern"`
	ByAttempt []Round    `json:"by_attempt"` // of practice: first tries, second tries, ...
	Track
}

// OmissionGrowth is growth on one omission, over the attempts in which it could be made. Hits are attempts in which it was.
type OmissionGrowth struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Track
}

// Round is the plans with one attempt number.
type Round struct {
	Attempt     int     `json:"attempt"`
	N           int     `json:"n"`
	MedianScore float64 `json:"median_score"`
}

// Track is what attempts on one thing show. The first try at each scenario is the fair measure: a later one rehearses what was said about
// the first. Tests stand apart from practice. A share always has the interval by its side.
type Track struct {
	N         int     `json:"n"` // attempts, tests included
	Scenarios int     `json:"scenarios"`
	First     Share   `json:"first"`   // first tries in practice
	Earlier   Share   `json:"earlier"` // the earlier half of these by day; the middle one of an odd number belongs to the later half
	Later     Share   `json:"later"`
	Latest    Share   `json:"latest"` // the latest try at each scenario in practice
	Tests     Share   `json:"tests"`
	Change    Change  `json:"change"` // from the earlier to the later half
	Says      string  `json:"says"`
	Points    []Point `json:"points"` // every attempt, by time
}

// Share is how many of some attempts are hits. Without enough of them there is no interval and the share is not to be read.
type Share struct {
	Hits        int       `json:"hits"`
	N           int       `json:"n"`
	Share       float64   `json:"share"`
	Interval    *Interval `json:"interval,omitempty"` // absent below the least n
	MedianScore float64   `json:"median_score"`       // 0 for none
	Plans       []PlanID  `json:"plans"`              // behind it, by time
}

// Point is one attempt in a track.
type Point struct {
	Plan    PlanID  `json:"plan"`
	Title   string  `json:"scenario_title"`
	Attempt int     `json:"attempt"`
	Test    bool    `json:"test"`
	On      Day     `json:"on"` // when it was submitted
	Score   float64 `json:"score"`
	Letter  string  `json:"letter"`
	Unsafe  bool    `json:"unsafe"`
	Hit     bool    `json:"hit"`
}

// Change says how the later half of first tries stands to the earlier half.
type Change string

// The changes. More and less are said only where the two intervals do not overlap, which is stricter than a test at their level.
const (
	TooFewToSay   Change = "too-few-to-say"
	NoClearChange Change = "no-clear-change"
	MoreOften     Change = "more-often"
	LessOften     Change = "less-often"
)

// GrowthOf counts attempts, in any order, by AF pattern and by each of the omissions named. It is pure: the same attempts give the same
// growth.
func GrowthOf(attempts []Attempt, omissions []Choice) Growth {
	all := slices.Clone(attempts)
	slices.SortFunc(all, func(a, b Attempt) int {
		return cmp.Or(a.SubmittedAt.Compare(b.SubmittedAt), cmp.Compare(a.Number, b.Number), cmp.Compare(a.Plan, b.Plan))
	})
	g := Growth{
		Attempts: len(all), Scenarios: scenariosIn(all), Patterns: []PatternGrowth{}, Omissions: []OmissionGrowth{}, Letter: GrowthLetter, LeastN: GrowthLeastN,
		Level: GrowthLevel, Method: interval.MethodWilson, Assumptions: interval.Assumptions,
	}
	for _, pattern := range PatternChoices {
		own := keep(all, func(a Attempt) bool { return string(a.Pattern) == pattern.ID })
		track := trackOf(own, func(a Attempt) bool { return letterRank(a.Letter) >= letterRank(GrowthLetter) })
		track.Says = track.saysPattern()
		g.Patterns = append(g.Patterns, PatternGrowth{Pattern: af.Pattern(pattern.ID), ByAttempt: rounds(own), Track: track})
	}
	for _, omission := range omissions {
		made := func(a Attempt) (seen OmissionSeen, asked bool) {
			if i := slices.IndexFunc(a.Omissions, func(o OmissionSeen) bool { return o.ID == omission.ID }); i >= 0 {
				return a.Omissions[i], true
			}
			return OmissionSeen{}, false
		}
		own := keep(all, func(a Attempt) bool { _, asked := made(a); return asked })
		track := trackOf(own, func(a Attempt) bool { seen, _ := made(a); return seen.Made })
		track.Says = track.saysOmission()
		g.Omissions = append(g.Omissions, OmissionGrowth{ID: omission.ID, Name: omission.Name, Track: track})
	}
	return g
}

// trackOf counts attempts in order of time.
func trackOf(attempts []Attempt, hit func(Attempt) bool) Track {
	practice := keep(attempts, func(a Attempt) bool { return !a.Test })
	first := keep(practice, func(a Attempt) bool { return a.Number == 1 })
	half := len(first) / 2
	track := Track{
		N: len(attempts), Scenarios: scenariosIn(attempts), Points: []Point{},
		First: shareOf(first, hit), Earlier: shareOf(first[:half], hit), Later: shareOf(first[half:], hit),
		Latest: shareOf(latestOf(practice), hit), Tests: shareOf(keep(attempts, func(a Attempt) bool { return a.Test }), hit),
	}
	for _, a := range attempts {
		track.Points = append(track.Points, Point{a.Plan, a.Title, a.Number, a.Test, DayOf(a.SubmittedAt), a.Score, a.Letter, a.Unsafe, hit(a)})
	}
	track.Change = changeBetween(track.Earlier, track.Later)
	return track
}

// changeBetween compares two shares by their intervals.
func changeBetween(earlier, later Share) Change {
	switch {
	case earlier.Interval == nil || later.Interval == nil:
		return TooFewToSay
	case later.Interval.Low > earlier.Interval.High:
		return MoreOften
	case later.Interval.High < earlier.Interval.Low:
		return LessOften
	}
	return NoClearChange
}

// shareOf counts the hits among attempts.
func shareOf(attempts []Attempt, hit func(Attempt) bool) Share {
	s := Share{N: len(attempts), Plans: []PlanID{}, MedianScore: medianScore(attempts)}
	for _, a := range attempts {
		s.Plans = append(s.Plans, a.Plan)
		if hit(a) {
			s.Hits++
		}
	}
	if s.N == 0 {
		return s
	}
	s.Share = rounded(float64(s.Hits) / float64(s.N))
	if p, err := interval.Wilson(s.Hits, s.N, GrowthLevel); err == nil && s.N >= GrowthLeastN {
		s.Interval = &Interval{Low: rounded(p.Low), High: rounded(p.High), Level: p.Level, Method: p.Method}
	}
	return s
}

// rounds groups practice by attempt number.
func rounds(attempts []Attempt) []Round {
	byNumber := map[int][]Attempt{}
	for _, a := range attempts {
		if !a.Test {
			byNumber[a.Number] = append(byNumber[a.Number], a)
		}
	}
	list := make([]Round, 0, len(byNumber))
	for number, group := range byNumber {
		list = append(list, Round{Attempt: number, N: len(group), MedianScore: medianScore(group)})
	}
	slices.SortFunc(list, func(a, b Round) int { return cmp.Compare(a.Attempt, b.Attempt) })
	return list
}

// medianScore is the middle score, or the mean of the two middle ones; 0 for none.
func medianScore(attempts []Attempt) float64 {
	if len(attempts) == 0 {
		return 0
	}
	scores := make([]float64, len(attempts))
	for i, a := range attempts {
		scores[i] = a.Score
	}
	slices.Sort(scores)
	return rounded((scores[(len(scores)-1)/2] + scores[len(scores)/2]) / 2)
}

// latestOf is the last attempt at each scenario, in the order of time.
func latestOf(attempts []Attempt) []Attempt {
	var latest []Attempt
	for i, a := range attempts {
		again := slices.ContainsFunc(attempts[i+1:], func(later Attempt) bool { return later.Scenario == a.Scenario })
		if !again {
			latest = append(latest, a)
		}
	}
	return latest
}

func scenariosIn(attempts []Attempt) int {
	seen := map[string]bool{}
	for _, a := range attempts {
		seen[a.Scenario] = true
	}
	return len(seen)
}

// keep is the attempts that fit, in their order.
func keep(attempts []Attempt, fits func(Attempt) bool) []Attempt {
	var kept []Attempt
	for _, a := range attempts {
		if fits(a) {
			kept = append(kept, a)
		}
	}
	return kept
}
