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
