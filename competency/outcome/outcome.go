// Package outcome follows what became of a programme's operations: freedom from atrial arrhythmia, pacemakers, and how complete the
// follow-up is. It is pure: signed cases and follow-ups in, figures with their cases out.
//
// A follow-up has a month and no date, and what happened between two follow-ups is known at the second. An event is therefore dated at the
// earliest follow-up at which it was on record: the latest it can have been. Fate.From keeps the earliest.
package outcome

import (
	"cmp"
	"slices"
	"time"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// Level is the two-sided confidence of every interval.
const Level = 0.95

// What a figure needs before it is told: a curve or a funnel this many cases, a comparison this many events (common practice, no source).
const (
	LeastCases  = 10
	LeastEvents = 5
)

// Signed is one signed version of a case as outcomes need it.
type Signed struct {
	Case        competency.CaseID
	Version     int
	Group       string // cases of one operation share it; empty for most
	Trainee     competency.PersonID
	Supervisor  competency.PersonID
	Site        string
	OperatedOn  string
	Operation   string
	Pattern     af.Pattern
	Scope       atrium.Scope
	Events      []string // up to 30 days, as the supervisor signed them
	SubmittedAt time.Time
	SignedAt    time.Time
	Withdrawn   bool
}

// Recorded is one version of a follow-up.
type Recorded struct {
	ID      competency.FollowUpID
	Case    competency.CaseID
	Version int
	Content competency.FollowUp
	At      time.Time
}

// Course is one operation and what became of it.
type Course struct {
	Case       competency.CaseID   `json:"case"`
	Also       []competency.CaseID `json:"also,omitempty"` // other trainees' cases of the same operation, which counts once
	Trainee    competency.PersonID `json:"trainee"`
	Supervisor competency.PersonID `json:"supervisor"`
	Site       string              `json:"site"`
	OperatedOn string              `json:"operated_on"`
	Operation  string              `json:"operation"`
	Pattern    af.Pattern          `json:"pattern"`
	Scope      atrium.Scope        `json:"scope"`
	Freedom    Fate                `json:"freedom"`
	Pacemaker  Fate                `json:"pacemaker"`

	period    competency.Period
	followUps []competency.FollowUp // of all its cases, by month
}

// Fate is how long something is known not to have happened, or when it was first on record.
type Fate struct {
	Known bool    `json:"known"`           // false: nothing on record tells
	Event string  `json:"event,omitempty"` // arrhythmia, on-drug, repeat-procedure; pacemaker, death; empty: none while followed
	Month float64 `json:"month"`           // of the event, or the last at which there was none
	From  float64 `json:"from,omitempty"`  // of an event: the last month at which there was none, so when it can have been earliest
}

// Follow makes the courses of a programme's operations as they were known on a day: of each case the version signed last by then, of each
// follow-up the newest version recorded by then. Withdrawn cases are left out, and an operation that several trainees logged counts once, as
// the case with the lowest id. Freedom is judged by the rule given, whatever rule held when a follow-up was recorded. The order is that of
// the operations.
func Follow(signed []Signed, recorded []Recorded, rule competency.FollowUpRule, on competency.Day) []Course {
	followUps := newest(recorded, on)
	byGroup := map[string][]Signed{}
	for _, s := range lastSigned(signed, on) {
		group := cmp.Or(s.Group, "case "+string(s.Case))
		byGroup[group] = append(byGroup[group], s)
	}
	courses := make([]Course, 0, len(byGroup))
	for _, cases := range byGroup {
		slices.SortFunc(cases, func(a, b Signed) int { return cmp.Compare(a.Case, b.Case) })
		first := cases[0]
		period, err := competency.ParsePeriod(first.OperatedOn)
		if err != nil {
			continue // no record with such a date is ever submitted
		}
		c := Course{
			Case: first.Case, Trainee: first.Trainee, Supervisor: first.Supervisor, Site: first.Site, OperatedOn: first.OperatedOn, Operation: first.Operation,
			Pattern: first.Pattern, Scope: first.Scope, period: period, followUps: slices.Clone(followUps[first.Case]),
		}
		for _, other := range cases[1:] {
			c.Also = append(c.Also, other.Case)
			c.followUps = append(c.followUps, followUps[other.Case]...)
		}
		slices.SortStableFunc(c.followUps, func(a, b competency.FollowUp) int { return cmp.Compare(a.Month, b.Month) })
		c.Freedom = freedomOf(c.followUps, rule)
		c.Pacemaker = pacemakerOf(first, period, c.followUps)
		courses = append(courses, c)
	}
	slices.SortFunc(courses, func(a, b Course) int {
		return cmp.Or(cmp.Compare(a.period.Last, b.period.Last), cmp.Compare(a.Case, b.Case))
	})
	return courses
}

// lastSigned gives of each case the version signed last by a day; none of withdrawn ones.
func lastSigned(signed []Signed, on competency.Day) map[competency.CaseID]Signed {
	last := map[competency.CaseID]Signed{}
	for _, s := range signed {
		if known, ok := last[s.Case]; !s.Withdrawn && competency.DayOf(s.SignedAt) <= on && (!ok || s.Version > known.Version) {
			last[s.Case] = s
		}
	}
	return last
}

// newest gives, by case, the newest version of each follow-up recorded by a day.
func newest(recorded []Recorded, on competency.Day) map[competency.CaseID][]competency.FollowUp {
	last := map[competency.FollowUpID]Recorded{}
	for _, r := range recorded {
		if known, ok := last[r.ID]; competency.DayOf(r.At) <= on && (!ok || r.Version > known.Version) {
			last[r.ID] = r
		}
	}
	by := map[competency.CaseID][]competency.FollowUp{}
	for _, r := range last {
		by[r.Case] = append(by[r.Case], r.Content)
	}
	return by
}

// Choice narrows the operations looked at; empty fields do not.
type Choice struct {
	Year    int
	Site    string
	Pattern af.Pattern
}

// Of gives the courses that the choice takes in.
func (c Choice) Of(courses []Course) []Course {
	chosen := []Course{}
	for _, one := range courses {
		if (c.Year == 0 || one.Year() == c.Year) && (c.Site == "" || one.Site == c.Site) && (c.Pattern == "" || one.Pattern == c.Pattern) {
			chosen = append(chosen, one)
		}
	}
	return chosen
}

// Year is the year of the operation; of a week or month across two years the later one.
func (c Course) Year() int { return c.period.Last.Start().Year() }
