package question

import "math"

// Method names how a standard error was found.
type Method string

// The methods.
const (
	// Binomial takes the items as drawn from all that could be asked: the error of a number right x of k items is sqrt(x(k-x)/(k-1)) (Lord
	// 1957, Educ Psychol Meas 17:510; from memory). With part points it is rather too large than too small, as points between 0 and 1 vary
	// less than 0 and 1 do.
	Binomial Method = "binomial"

	// Consistency takes the spread of a group that took the same form: standard deviation of the totals times sqrt(1 - KR-20), KR-20 after
	// Kuder and Richardson 1937, Psychometrika 2:151 (from memory); alpha where items give part points.
	Consistency Method = "kr-20"

	// Unknown says that there is no honest figure: fewer than two items, or all points or none, where the binomial error would read 0.
	Unknown Method = "unknown"
)

// Group is what a group of people did on one form.
type Group struct {
	People      int
	Deviation   float64 // standard deviation of their totals, in points
	Reliability float64 // KR-20 or alpha
}

// FewestForConsistency is how many people a reliability needs before it is used for one person's error; common practice, no source.
const FewestForConsistency = 30

// Score is what a whole form came to.
type Score struct {
	Items    int     `json:"items"`
	Answered int     `json:"answered"`
	Right    int     `json:"right"` // exactly the key
	Points   float64 `json:"points"`
	Percent  float64 `json:"percent"` // of the points there were; never below 0
	SE       float64 `json:"se"`      // of the percent, in percentage points; 0 when Method is unknown
	Method   Method  `json:"method"`
}

// Total adds marks up. With a group of enough people the standard error is that of Consistency, else Binomial; a reliability outside 0 to
// 1 or a deviation of 0 tells nothing and counts as no group.
func Total(marks []Mark, group *Group) Score {
	s := Score{Items: len(marks), Method: Unknown}
	for _, m := range marks {
		s.Points += m.Points
		if m.Answered {
			s.Answered++
		}
		if m.Right {
			s.Right++
		}
	}
	k := float64(s.Items)
	if s.Items == 0 {
		return s
	}
	x := max(0, s.Points)
	s.Percent = 100 * x / k
	switch {
	case group != nil && group.People >= FewestForConsistency && group.Deviation > 0 && group.Reliability >= 0 && group.Reliability <= 1:
		s.SE, s.Method = 100/k*group.Deviation*math.Sqrt(1-group.Reliability), Consistency
	case s.Items > 1 && x > 0 && x < k:
		s.SE, s.Method = 100/k*math.Sqrt(x*(k-x)/(k-1)), Binomial
	}
	return s
}
