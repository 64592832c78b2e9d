package competency

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"isthmus/assessment/strict"
	"isthmus/competency/interval"
)

// FollowUpOnRecord is one version of a follow-up as evidence that the trainee's cases are followed up. What was found is no matter here.
type FollowUpOnRecord struct {
	ID      FollowUpID `json:"id"`
	Case    CaseID     `json:"case"`
	Version int        `json:"version"`
	Month   int        `json:"month"`
	Rhythm  bool       `json:"rhythm"` // it says something of the rhythm
	Died    bool       `json:"died,omitempty"`
	At      time.Time  `json:"at"` // when it was recorded
}

// SaysRhythm reports whether a follow-up says anything of the rhythm: it was seen on the day, an arrhythmia was noted, or a recording was read.
func (f FollowUp) SaysRhythm() bool {
	return f.Rhythm != "not-known" || f.Arrhythmia == "over-30-s" || f.Arrhythmia == "none" && f.MonitoringHours > 0
}

// ScheduleMonths are the months at which the rule asks for a follow-up, in order.
func (r FollowUpRule) ScheduleMonths() []int { return r.allMonths() }

// followUpsOn lists, by case, the newest version of each follow-up known on a day.
func (e Evidence) followUpsOn(on Day) map[CaseID][]FollowUpOnRecord {
	newest := map[FollowUpID]FollowUpOnRecord{}
	for _, f := range e.FollowUps {
		if known, ok := newest[f.ID]; DayOf(f.At) <= on && (!ok || f.Version > known.Version) {
			newest[f.ID] = f
		}
	}
	by := map[CaseID][]FollowUpOnRecord{}
	for _, f := range newest {
		by[f.Case] = append(by[f.Case], f)
	}
	return by
}

// judgeFollowUp looks at the cases whose follow-up at the month is due by the day. One is on record when a follow-up that says something of
// the rhythm stands nearer to the month than to any other of the programme's schedule. Met: the share is reached over enough due cases. On
// course: reached over fewer. Short: not reached. Not enough data: under five due cases.
func (v view) judgeFollowUp(r Requirement, s *RequirementStanding) {
	months := v.monthsWith(r.Month)
	var due []seenCase
	var next Day // the earliest that falls due later
	for _, c := range v.choose(r.Filter, s) {
		period, _ := ParsePeriod(c.OperatedOn)
		falls := dueDay(period, r.Month)
		onRecord, died := standsFor(v.followUps[c.ID], months, r.Month)
		switch {
		case falls > v.on:
			s.leaveOut(string(c.ID), "follow-up not due before "+string(falls))
			if next == "" || falls < next {
				next = falls
			}
		case died && !onRecord:
			s.leaveOut(string(c.ID), fmt.Sprintf("died before month %d", r.Month))
		default:
			due = append(due, c)
			if !onRecord {
				s.Misses = append(s.Misses, string(c.ID))
			}
		}
	}
	s.use(due)
	t := followUpTally{r: r, n: len(due), hits: len(due) - len(s.Misses)}
	s.State = t.state()
	s.Explanation = fmt.Sprintf("No signed-off case%s was due for follow-up at month %d by %s.", r.Filter.words(), r.Month, v.on)
	if t.n > 0 {
		s.Value = float64(t.hits) / float64(t.n)
		s.Interval = t.interval()
		s.Explanation = t.explain(v.on, s.Interval)
	}
	s.Next = v.andWaiting(t.next(next))
}

// monthsWith is the programme's schedule with a month, in order.
func (v view) monthsWith(month int) []int {
	if slices.Contains(v.months, month) {
		return v.months
	}
	months := append(slices.Clone(v.months), month)
	slices.Sort(months)
	return months
}

// standsFor looks through a case's follow-ups for one that says something of the rhythm and stands for the month, and for a death by then.
func standsFor(list []FollowUpOnRecord, months []int, month int) (onRecord, died bool) {
	for _, f := range list {
		nearest := nearestMonth(months, f.Month)
		onRecord = onRecord || f.Rhythm && nearest == month
		died = died || f.Died && nearest <= month
	}
	return onRecord, died
}

// followUpTally counts due cases and those with a follow-up on record.
type followUpTally struct {
	r       Requirement
	n, hits int
}

// wanted is how many of the due cases the share asks for; whole cases, with the guard that shareTally has too.
func (t followUpTally) wanted() int { return int(math.Ceil(t.r.Share*float64(t.n) - 1e-9)) }

func (t followUpTally) state() State {
	switch {
	case t.n < fewestForShare:
		return NotEnoughData
	case t.hits < t.wanted():
		return Short
	case t.n < t.r.AtLeast:
		return OnCourse
	}
	return Met
}

// interval is the two-sided 90 % Wilson interval of the share; nil without a due case.
func (t followUpTally) interval() *Interval {
	p, err := interval.Wilson(t.hits, t.n, 0.90)
	if err != nil {
		return nil
	}
	return &Interval{Low: rounded(p.Low), High: rounded(p.High), Level: p.Level, Method: p.Method}
}

func (t followUpTally) explain(on Day, i *Interval) string {
	text := fmt.Sprintf("Rhythm follow-up at month %d on record in %d of %s%s due for it by %s (%s; %s interval %s to %s).", t.r.Month, t.hits, cases(t.n),
		t.r.Filter.words(), on, percent(rounded(float64(t.hits)/float64(t.n))), percent(i.Level), percent(i.Low), percent(i.High))
	if t.n < t.r.AtLeast {
		text += fmt.Sprintf(" %d due cases are asked for.", t.r.AtLeast)
	}
	return text
}

// next says what is wanting: follow-ups of due cases, and due cases. falls is when the next case falls due, empty for none.
func (t followUpTally) next(falls Day) string {
	var parts []string
	if wanting := t.wanted() - t.hits; wanting > 0 {
		parts = append(parts, fmt.Sprintf("Rhythm follow-up at month %d of %s that %s none on record.", t.r.Month, plural(wanting, "more due case"), lacks(wanting)))
	}
	if more := t.r.AtLeast - t.n; more > 0 {
		when := "."
		if falls != "" {
			when = fmt.Sprintf("; the next falls due on %s.", falls)
		}
		parts = append(parts, fmt.Sprintf("%s%s due for follow-up at month %d%s", moreCases(more), t.r.Filter.words(), t.r.Month, when))
	}
	return strings.Join(parts, " ")
}

func lacks(n int) string {
	if n == 1 {
		return "has"
	}
	return "have"
}

// saysFollowUp is the requirement in plain words.
func (r Requirement) saysFollowUp() string {
	return fmt.Sprintf("Rhythm follow-up at month %d on record in at least %s of the signed-off cases%s that are due for it, over at least %s.",
		r.Month, percent(r.Share), r.Filter.words(), plural(r.AtLeast, "due case"))
}

// checkFollowUpPeriod: a case within the filter's period must be old enough to be due.
func checkFollowUpPeriod(r Requirement, faults *strict.Faults) {
	if days := r.Filter.PeriodDays; days > 0 && float64(days) <= float64(r.Month)*daysPerMonth {
		faults.Add("filter.period_days", "no case of the last %d days is due for follow-up at month %d: raise it or leave it out", days, r.Month)
	}
}
