package competency

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// Act is something that can be done next, tried on the evidence.
type Act struct {
	Kind        string   `json:"kind"`        // case, plan or sign-off
	Requirement string   `json:"requirement"` // the first it moves
	Says        string   `json:"says"`
	Why         string   `json:"why"`
	Moves       []string `json:"moves"` // requirements that would need less after it, in the standard's order
	Meets       []string `json:"meets"` // those of them that would be met
}

// candidate is an act to try.
type candidate struct {
	kind, says string
	with       tried
}

// best is the act that moves most requirements; of those the one that meets most, then the first: signatures, then the standard's order.
func (t trial) best(requirements []Requirement, projections []Projection) *Act {
	var best *Act
	for _, c := range t.candidates(requirements, projections) {
		act := t.weigh(c, requirements, projections)
		if len(act.Moves) == 0 {
			continue
		}
		if best == nil || len(act.Moves) > len(best.Moves) || len(act.Moves) == len(best.Moves) && len(act.Meets) > len(best.Meets) {
			best = &act
		}
	}
	return best
}

// candidates are the signatures that wait, and for each unmet requirement a case or a plan as it wants one.
func (t trial) candidates(requirements []Requirement, projections []Projection) []candidate {
	var list []candidate
	if like := t.usual(Filter{}); t.unsigned > 0 && len(t.cases) > 0 {
		c := candidate{kind: "sign-off", says: "Ask for the signature of the case that waits."}
		if t.unsigned > 1 {
			c.says = fmt.Sprintf("Ask for the signatures of the %d cases that wait.", t.unsigned)
		}
		for i := range t.unsigned {
			like.ID = CaseID(fmt.Sprintf("waits-%04d", i))
			like.on(t.on)
			c.with.cases = append(c.with.cases, like)
		}
		list = append(list, c)
	}
	for i, r := range requirements {
		switch {
		case projections[i].More == 0:
		case r.Kind == KindPlan:
			for _, pattern := range r.AFPatterns {
				list = append(list, candidate{
					kind: "plan", with: tried{plans: t.plan(r, pattern, -1)},
					says: fmt.Sprintf("Hand in a plan for %s AF that reaches %s.", nameOf(PatternChoices, string(pattern)), r.Letter),
				})
			}
		default:
			list = append(list, candidate{kind: "case", with: tried{cases: t.wanted(r, 1)}})
		}
	}
	return list
}

// weigh finds what an act moves: a requirement that would need fewer afterwards.
func (t trial) weigh(c candidate, requirements []Requirement, projections []Projection) Act {
	act := Act{Kind: c.kind, Says: c.says, Moves: []string{}, Meets: []string{}}
	unmet, moved := 0, []Requirement(nil)
	for i, r := range requirements {
		more := projections[i].More
		if more == 0 {
			if projections[i].CannotSay != "" {
				unmet++
			}
			continue
		}
		unmet++
		if !t.nearer(r, more, c.with) {
			continue
		}
		act.Moves, moved = append(act.Moves, r.ID), append(moved, r)
		if t.met(r, c.with) {
			act.Meets = append(act.Meets, r.ID)
		}
	}
	if len(moved) == 0 {
		return act
	}
	act.Requirement = moved[0].ID
	if c.kind == "case" {
		act.Says = "A signed-off case" + asked(c.with.cases[0], moved) + "."
	}
	act.Why = whyAct(act, unmet)
	if c.kind == "sign-off" {
		act.Why += " Taken to be as your cases usually are."
	}
	return act
}

// nearer reports whether one case or plan fewer would do after the act.
func (t trial) nearer(r Requirement, more int, with tried) bool {
	if r.Kind == KindPlan {
		after := t
		after.plans = slices.Concat(t.plans, with.plans)
		wanted, ok := after.plansTo(r)
		return ok && len(wanted) < more
	}
	rest := t.wanted(r, more)[1:] // the first would have been by the assessor who rates the act
	return t.met(r, tried{cases: slices.Concat(with.cases, rest)})
}

// asked says what a case must be for the requirements it moves.
func asked(c SignedCase, moved []Requirement) string {
	var f Filter
	var complete bool
	level := 0
	for _, r := range moved {
		if len(r.Filter.Role) > 0 {
			f.Role = []Role{c.Role}
		}
		if len(r.Filter.Scope) > 0 {
			f.Scope = []atrium.Scope{c.Scope}
		}
		if len(r.Filter.AFPattern) > 0 {
			f.AFPattern = []af.Pattern{c.Pattern}
		}
		if len(r.Filter.Operation) > 0 {
			f.Operation = []string{c.Operation}
		}
		level = max(level, r.Level)
		complete = complete || r.Kind == KindCompleteness || r.Scale == ScaleComplete
	}
	says := f.words()
	if level > 0 {
		says += fmt.Sprintf(", at level %d or above", level)
	}
	if complete {
		says += ", with every line complete and block tested"
	}
	return says
}

// whyAct says what an act would move.
func whyAct(act Act, unmet int) string {
	names := make([]string, len(act.Moves))
	for i, id := range act.Moves {
		names[i] = Words(id)
	}
	why := fmt.Sprintf("It brings %d of the %s not met nearer: %s.", len(act.Moves), plural(unmet, "requirement"), strings.Join(names, ", "))
	if unmet == 1 {
		why = fmt.Sprintf("It brings the one requirement not met nearer: %s.", names[0])
	}
	switch len(act.Meets) {
	case 0:
		return why
	case 1:
		return why + " It would meet " + Words(act.Meets[0]) + "."
	}
	return why + fmt.Sprintf(" It would meet %d of them.", len(act.Meets))
}
