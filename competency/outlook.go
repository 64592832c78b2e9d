package competency

import "isthmus/competency/pace"

// Outlook is what may come of a standing: how far each requirement is, and what would move most. It is no part of the standing, which is
// what a committee decides on: nothing in it has happened.
type Outlook struct {
	Act         *Act         `json:"act,omitempty"` // what would move most; absent when nothing that can be tried moves anything
	Projections []Projection `json:"projections"`   // every requirement, in the standard's order
	Method      string       `json:"method"`
	Assumptions string       `json:"assumptions"`
	Note        string       `json:"note"`
}

// Projection says how many further cases or plans a requirement needs, and when they may be there. Days are those of the operations: a case
// counts once it is signed.
type Projection struct {
	Requirement string  `json:"requirement"`
	More        int     `json:"more"`                 // cases or plans as wanted that would meet it if they came today; 0 when it is met, or when none would
	Of          string  `json:"of"`                   // case or plan
	Low         Day     `json:"low,omitempty"`        // there with 5 % by this day
	Median      Day     `json:"median,omitempty"`     // with an even chance
	High        Day     `json:"high,omitempty"`       // with 95 %; absent when that is more than ten years off
	Level       float64 `json:"level,omitempty"`      // between low and high with this probability
	Cases       int     `json:"cases,omitempty"`      // as wanted, from which the pace is read
	Days        int     `json:"days,omitempty"`       // in so many days
	CannotSay   string  `json:"cannot_say,omitempty"` // why there are no days
}

// OutlookNote stands wherever an outlook shows.
const OutlookNote = "The patient decides what is done. This only says which of the cases that come would count for most."

// What a pace is read from. The numbers are common practice, no source: with fewer than three cases the interval spans years, and who has
// operated on nothing for half a year has no pace now.
const (
	fewestForPace   = 3
	paceDays        = 365
	idleDays        = 180
	farthestDays    = 3653 // ten years: beyond, a day says nothing
	projectionLevel = 0.90
)

// LookAhead finds out what would come of further evidence by trying: it adds imaginary good cases and plans to what was known on the day and
// asks the rule by which Stand judges. The cases are of the trainee's own mix, rated by the trainee's own assessors in turn. It is pure, as
// Stand is.
func LookAhead(standard Standard, evidence Evidence, on Day) Outlook {
	t := newTrial(evidence, on)
	o := Outlook{Projections: make([]Projection, len(standard.Requirements)), Method: pace.Method, Assumptions: pace.Assumptions, Note: OutlookNote}
	for i, r := range standard.Requirements {
		o.Projections[i] = t.project(r)
	}
	o.Act = t.best(standard.Requirements, o.Projections)
	return o
}

// project is one requirement's projection.
func (t trial) project(r Requirement) Projection {
	p := Projection{Requirement: r.ID, Of: "case"}
	if r.Kind == KindPlan {
		p.Of = "plan"
		if wanted, ok := t.plansTo(r); ok {
			p.More = len(wanted)
		} else {
			p.CannotSay = "further plans alone do not meet it"
		}
		return p
	}
	if t.met(r, tried{}) {
		return p
	}
	if p.CannotSay = restsElsewhere(r.Kind); p.CannotSay != "" {
		return p
	}
	more, ok := t.casesTo(r)
	switch {
	case !ok && r.Assessors > len(t.assessors):
		p.CannotSay = "it asks for ratings by more assessors than have rated so far"
		return p
	case !ok:
		p.CannotSay = "further cases alone do not meet it"
		return p
	}
	p.More = more
	t.when(r, &p)
	return p
}

// restsElsewhere says why cases do not bring a kind of requirement nearer; empty for those they do.
func restsElsewhere(kind string) string {
	switch kind {
	case KindFollowUp:
		return "it rests on follow-ups, and on when they fall due"
	case KindQuiz:
		return "a quiz can be taken on any day"
	case KindDependability:
		return "it rests on all ratings of the programme"
	}
	return ""
}

// when adds the days to a projection, or why there are none.
func (t trial) when(r Requirement, p *Projection) {
	days, latest := t.paceOf(r, p)
	switch {
	case p.Cases < fewestForPace:
		p.CannotSay = "only " + plural(p.Cases, "such case") + " in the " + plural(p.Days, "day") + " before: too few for a pace"
	case t.on.DaysSince(latest.day) > idleDays:
		p.CannotSay = "no such case since " + latest.OperatedOn + ": there is no pace now"
	}
	if p.CannotSay != "" {
		return
	}
	needed, ok := t.casesAtPace(r, p.More, float64(p.Days)/(float64(p.Cases)+0.5))
	if !ok {
		p.CannotSay = "at this pace cases leave the period as fast as new ones come"
		return
	}
	wait, err := pace.For(needed, p.Cases, days, projectionLevel)
	if err != nil || wait.Median > farthestDays {
		p.CannotSay = "at this pace it is more than ten years off"
		return
	}
	p.Low, p.Median, p.Level = t.on.after(wait.Low), t.on.after(wait.Median), wait.Level
	if wait.High <= farthestDays {
		p.High = t.on.after(wait.High)
	}
}

// paceOf counts the cases as wanted of the last year, or since the first case on record when that is less: the first only starts the clock.
// It gives the stretch in days, and the latest of all such cases.
func (t trial) paceOf(r Requirement, p *Projection) (days float64, latest seenCase) {
	r.Filter.PeriodDays = 0
	start := t.on.Add(-paceDays)
	for _, c := range t.cases {
		if t.whyNot(Filter{}, c) == "" {
			start = max(start, c.day)
			break
		}
	}
	for _, c := range t.cases {
		if t.whyNot(r.Filter, c) != "" || !r.good(&c.SignedCase) || r.LeaveOutLateRecall && c.LateRecall {
			continue
		}
		if latest = c; c.day > start {
			p.Cases++
		}
	}
	p.Days = max(1, t.on.DaysSince(start))
	return float64(p.Days), latest
}

// after is the day so many days later, part of a day counting whole.
func (d Day) after(days float64) Day {
	whole := int(days)
	if days > float64(whole) {
		whole++
	}
	return d.Add(whole)
}
