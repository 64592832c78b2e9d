package competency

import (
	"cmp"
	"slices"

	"isthmus/competency/interval"
)

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
