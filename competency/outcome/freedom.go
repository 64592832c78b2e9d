package outcome

import (
	"fmt"
	"math"
	"strings"

	"isthmus/competency"
	"isthmus/competency/survival"
)

// Freedom is freedom from atrial arrhythmia over time in groups, with their comparison.
type Freedom struct {
	By      By     `json:"by"`
	Groups  []Free `json:"groups"`
	Test    *Test  `json:"test,omitempty"`
	Refused string `json:"refused,omitempty"` // why there is no comparison
	Says    string `json:"says"`
}

// Free is one group.
type Free struct {
	ID      string              `json:"id"`
	N       int                 `json:"n"` // operations with a follow-up that could be judged, or an event
	Events  int                 `json:"events"`
	OnDrug  int                 `json:"on_drug"` // of the events: no arrhythmia, but a drug
	Unknown int                 `json:"unknown"` // operations of the group about which nothing is known
	At      *At                 `json:"at,omitempty"`
	Cases   []competency.CaseID `json:"cases,omitempty"`
	Failed  []competency.CaseID `json:"failed,omitempty"`  // with an event
	Without []competency.CaseID `json:"without,omitempty"` // about which nothing is known
	Refused string              `json:"refused,omitempty"` // why there is no curve
	Hidden  bool                `json:"hidden,omitempty"`  // too small to leave the programme

	Curve survival.Curve `json:"-"`
	Followed
}

// Followed is how long each of a group was followed.
type Followed struct {
	Subjects []survival.Subject `json:"-"`
	least    int                // fewer than that are not told; 0 within the programme
}

// Until is the longest time at which enough are followed to be told; below 0 when never.
func (f Followed) Until() float64 { return lastWith(f.Subjects, max(1, f.least)) }

// AtRisk counts who is still followed at month 0, 1, 2 and so on, as long as Until lasts and not beyond a month. Outside the programme it ends
// before fewer than are told leave between two of them.
func (f Followed) AtRisk(to int) []int {
	var months []float64
	for month := 0; month <= to && float64(month) <= f.Until(); month++ {
		months = append(months, float64(month))
	}
	counts := survival.AtRisk(f.Subjects, months)
	for i := 1; i < len(counts); i++ {
		if gone := counts[i-1] - counts[i]; gone > 0 && gone < f.least {
			return counts[:i]
		}
	}
	return counts
}

// At is a curve at the month asked for.
type At struct {
	Month  int      `json:"month"`
	Share  float64  `json:"share"`
	Low    *float64 `json:"low,omitempty"` // absent where the curve has no limits: before the first event, or at 0
	High   *float64 `json:"high,omitempty"`
	AtRisk int      `json:"at_risk"`
	// Earliest is the share if every event had come as early as it can have, at the last follow-up without it: the truth lies between.
	Earliest *float64 `json:"earliest,omitempty"`
}

// Test is a log-rank test between the groups that have a curve.
type Test struct {
	Groups   []string  `json:"groups"`
	N        []int     `json:"n"`
	Observed []float64 `json:"observed"`
	Expected []float64 `json:"expected"`
	Square   float64   `json:"chi_squared"`
	Freedom  int       `json:"degrees_of_freedom"`
	P        float64   `json:"p"`
	Method   string    `json:"method"`
}

// FreedomMethod names what the figures of Freedom are.
const FreedomMethod = "Kaplan-Meier with log-log limits; log-rank test with the hypergeometric variance, which allows for events at the same follow-up"

// FreedomBy estimates freedom by group, told at a month.
func FreedomBy(courses []Course, by By, month int) Freedom {
	f := Freedom{By: by, Groups: []Free{}}
	var compared []Free
	events := 0
	for _, g := range by.groups(courses) {
		one := freeOf(g, month)
		f.Groups = append(f.Groups, one)
		if one.Refused == "" {
			compared, events = append(compared, one), events+one.Events
		}
	}
	f.compare(compared, events)
	f.Says = f.sentence(month)
	return f
}

// freeOf estimates one group.
func freeOf(g group, month int) Free {
	one := Free{ID: g.id}
	var followed []Course
	early := []survival.Subject{} // with every event as early as it can have been
	for _, c := range g.courses {
		fate := c.Freedom
		if !fate.Known {
			one.Unknown, one.Without = one.Unknown+1, append(one.Without, c.Case)
			continue
		}
		followed = append(followed, c)
		event := fate.Event != ""
		one.Subjects = append(one.Subjects, survival.Subject{Time: fate.Month, Event: event})
		time := fate.Month
		if event {
			one.Events, one.Failed, time = one.Events+1, append(one.Failed, c.Case), fate.From
		}
		if fate.Event == "on-drug" {
			one.OnDrug++
		}
		early = append(early, survival.Subject{Time: time, Event: event})
	}
	one.N, one.Cases, one.Refused = len(followed), casesOf(followed), tooFew(len(followed))
	if one.Refused != "" {
		return one
	}
	one.Curve, _ = survival.KaplanMeier(one.Subjects, Level) // neither empty nor without times
	one.At = atMonth(one.Curve, one.Subjects, month)
	if first, err := survival.KaplanMeier(early, Level); err == nil && one.At != nil {
		step, _ := first.At(float64(month))
		share := rounded(step.Survival)
		one.At.Earliest = &share
	}
	return one
}

// atMonth reads a curve at a month; nil where nobody was followed so long.
func atMonth(curve survival.Curve, subjects []survival.Subject, month int) *At {
	step, known := curve.At(float64(month))
	if !known {
		return nil
	}
	at := At{Month: month, Share: rounded(step.Survival), AtRisk: survival.AtRisk(subjects, []float64{float64(month)})[0]}
	at.Low, at.High = limit(step.Low), limit(step.High)
	return &at
}

// limit is a limit that there is.
func limit(x float64) *float64 {
	if math.IsNaN(x) {
		return nil
	}
	x = rounded(x)
	return &x
}

// compare tests the groups that have a curve against one another, or says why not.
func (f *Freedom) compare(compared []Free, events int) {
	switch {
	case len(compared) < 2:
		f.Refused = fmt.Sprintf("No comparison: fewer than two groups have %d cases followed (common practice, no source).", LeastCases)
		return
	case events < LeastEvents:
		f.Refused = fmt.Sprintf("No comparison: %s in these groups, %d are needed (common practice, no source).", counted(events, "event"), LeastEvents)
		return
	}
	var groups [][]survival.Subject
	test := Test{Method: FreedomMethod}
	for _, one := range compared {
		groups, test.Groups = append(groups, one.Subjects), append(test.Groups, one.ID)
	}
	result, err := survival.LogRank(groups, 0)
	if err != nil {
		f.Refused = "No comparison: " + err.Error() + "."
		return
	}
	test.N, test.Freedom, test.Square, test.P = result.N, result.Freedom, rounded(result.Square), rounded(result.P)
	for i := range result.Observed {
		test.Observed, test.Expected = append(test.Observed, rounded(result.Observed[i])), append(test.Expected, rounded(result.Expected[i]))
	}
	f.Test = &test
}

// sentence says what the curves show.
func (f Freedom) sentence(month int) string {
	var parts []string
	for _, one := range f.Groups {
		if one.At != nil {
			parts = append(parts, fmt.Sprintf("%s after %s (%s, %d followed so long)", percent(one.At.Share), Words(one.ID), counted(one.N, "operation"), one.At.AtRisk))
		}
	}
	if len(parts) == 0 {
		return "Too few operations have been followed to say how many stay free of arrhythmia."
	}
	if f.By == ByPattern {
		for i := range parts {
			parts[i] = strings.Replace(strings.Replace(parts[i], " after ", " in ", 1), " (", " AF (", 1)
		}
	}
	text := fmt.Sprintf("Free at month %d: %s.", month, strings.Join(parts, ", "))
	if f.Test != nil {
		text += fmt.Sprintf(" Log-rank over the groups with a curve: %s.", pWords(f.Test.P))
	}
	return text
}

func pWords(p float64) string {
	if p < 0.001 {
		return "p < 0.001"
	}
	return fmt.Sprintf("p = %.2g", p)
}
