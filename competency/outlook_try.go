package competency

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"time"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// mostTried bounds what is tried: no requirement asks for more cases (a count for 1000, a learning curve for its horizon of 500).
const mostTried = 1024

// trial is what was known about a trainee on a day, to be judged with imaginary evidence added.
type trial struct {
	view                 // of what was known, without what waits and what is withdrawn
	assessors []PersonID // who rated, latest first
	unsigned  int        // submitted cases without a signature
}

// tried is imaginary evidence.
type tried struct {
	cases []SignedCase
	plans []GradedPlan
}

func newTrial(evidence Evidence, on Day) trial {
	t := trial{view: newView(evidence.knownOn(on), on), unsigned: newView(evidence, on).waiting()}
	latest := slices.Clone(t.cases)
	slices.SortFunc(latest, func(a, b seenCase) int { return cmp.Or(b.SignedAt.Compare(a.SignedAt), cmp.Compare(b.ID, a.ID)) })
	for _, c := range latest {
		if !slices.Contains(t.assessors, c.Assessor) {
			t.assessors = append(t.assessors, c.Assessor)
		}
	}
	return t
}

// knownOn is the evidence without what was signed or submitted after the day, what waits and what is withdrawn.
func (e Evidence) knownOn(on Day) Evidence {
	e.Cases = slices.DeleteFunc(slices.Clone(e.casesOn(on)), func(c SignedCase) bool { return c.Withdrawn || DayOf(c.SignedAt) > on })
	e.Plans = slices.DeleteFunc(slices.Clone(e.Plans), func(p GradedPlan) bool { return DayOf(p.SubmittedAt) > on })
	e.Pending, e.Earlier = nil, nil
	return e
}

// try judges a requirement on a day with imaginary evidence added: none of it is earlier than what was known, so the view stays in order.
func (t trial) try(r Requirement, on Day, with tried) RequirementStanding {
	v := t.view
	v.on, v.cases, v.plans = on, slices.Clip(v.cases), slices.Concat(v.plans, with.plans)
	for _, c := range with.cases {
		day := Day(c.OperatedOn)
		v.cases = append(v.cases, seenCase{c, day, day, day, day.ordinal()})
	}
	return v.judge(r)
}

func (t trial) met(r Requirement, with tried) bool { return t.try(r, t.on, with).State == Met }

// casesTo is the least number of good cases that, added today, meet the requirement. More good cases never undo what fewer reached, so the
// number can be searched for by halves.
func (t trial) casesTo(r Requirement) (more int, ok bool) {
	met := func(n int) bool { return t.met(r, tried{cases: t.wanted(r, n)}) }
	reach := 1
	for ; !met(reach); reach *= 2 {
		if reach >= mostTried {
			return 0, false
		}
	}
	return sort.Search(reach, met), true
}

// casesAtPace is how many cases a requirement needs when they come one every so many days, older ones leaving its period meanwhile. A
// requirement without a period needs no more than at once.
func (t trial) casesAtPace(r Requirement, atOnce int, gap float64) (int, bool) {
	if r.Filter.PeriodDays == 0 && r.Kind != KindRecency {
		return atOnce, true
	}
	for n := atOnce; n <= 2*r.AtLeast+r.Last+atOnce && float64(n)*gap <= farthestDays; n++ {
		cases := t.wanted(r, n)
		for i := range cases {
			cases[i].on(t.on.after(gap * float64(i+1)))
		}
		if t.try(r, t.on.after(gap*float64(n)), tried{cases: cases}).State == Met {
			return n, true
		}
	}
	return 0, false
}

// plansTo are plans that meet a plan requirement: one for each AF pattern that raises it, then safe ones.
func (t trial) plansTo(r Requirement) (wanted []GradedPlan, ok bool) {
	value := t.try(r, t.on, tried{}).Value
	for !t.met(r, tried{plans: wanted}) {
		if len(wanted) > len(r.AFPatterns)+r.SafeLast || len(r.AFPatterns) == 0 {
			return nil, false
		}
		next := slices.Concat(wanted, t.plan(r, r.AFPatterns[0], len(wanted)))
		for _, pattern := range r.AFPatterns {
			with := slices.Concat(wanted, t.plan(r, pattern, len(wanted)))
			if raised := t.try(r, t.on, tried{plans: with}).Value; raised > value {
				next, value = with, raised
				break
			}
		}
		wanted = next
	}
	return wanted, true
}

// plan is an imaginary safe plan at the requirement's letter, in a list of one.
func (t trial) plan(r Requirement, pattern af.Pattern, i int) []GradedPlan {
	return []GradedPlan{{
		ID: PlanID(fmt.Sprintf("imagined-%04d", i)), Pattern: pattern, Letter: r.Letter, Attempt: math.MaxInt32 + i,
		SubmittedAt: lastInstant(t.on),
	}}
}

// wanted are imaginary good cases that the requirement's filter lets through: of the trainee's commonest sort among those, else of its first.
func (t trial) wanted(r Requirement, n int) []SignedCase {
	f := r.Filter
	f.PeriodDays = 0
	mould := t.usual(f)
	cases := make([]SignedCase, n)
	for i := range cases {
		c := mould
		c.ID, c.LinesComplete, c.BlockTested, c.HelpGiven, c.SupervisionNext, c.LateRecall = CaseID(fmt.Sprintf("imagined-%04d", i)), true, true, 5, 5, false
		if len(t.assessors) > 0 {
			c.Assessor = t.assessors[i%len(t.assessors)]
		}
		c.on(t.on)
		cases[i] = c
	}
	return cases
}

// on puts an imaginary case on a day, signed at its end.
func (c *SignedCase) on(day Day) {
	c.OperatedOn, c.SubmittedAt, c.SignedAt = string(day), lastInstant(day), lastInstant(day)
}

func lastInstant(day Day) time.Time { return day.Start().Add(24*time.Hour - time.Microsecond) }

// usual is the trainee's commonest sort of case that a filter lets through, the latest of it; when there is none, the filter's first.
func (t trial) usual(f Filter) SignedCase {
	type sort struct {
		scope     atrium.Scope
		role      Role
		pattern   af.Pattern
		operation string
	}
	found := SignedCase{Assessor: "imagined", Scope: first(f.Scope), Role: first(f.Role), Pattern: first(f.AFPattern), Operation: first(f.Operation)}
	counts, most := map[sort]int{}, 0
	for _, c := range t.cases { // oldest first: the latest of equally common sorts is kept
		if t.whyNot(f, c) != "" {
			continue
		}
		kind := sort{c.Scope, c.Role, c.Pattern, c.Operation}
		if counts[kind]++; counts[kind] >= most {
			found, most = c.SignedCase, counts[kind]
		}
	}
	return found
}

func first[T any](list []T) (value T) {
	if len(list) > 0 {
		value = list[0]
	}
	return value
}
