package competency

import "slices"

// Difference is what changed between two standings of one trainee.
type Difference struct {
	Before       StandingHead            `json:"before"`
	After        StandingHead            `json:"after"`
	Requirements []RequirementDifference `json:"requirements"` // those that changed: in the order of the later standard, then those it no longer has
	Same         int                     `json:"same"`         // how many did not change
	Caution      string                  `json:"caution"`
}

// StandingHead is what a standing says above its requirements.
type StandingHead struct {
	On              string `json:"on"`
	Standard        string `json:"standard"`
	StandardVersion int    `json:"standard_version"`
	Ready           bool   `json:"ready"`
	Overall         string `json:"overall"`
}

// RequirementDifference is what changed in one requirement.
type RequirementDifference struct {
	Requirement string   `json:"requirement"`
	Before      *Figures `json:"before,omitempty"` // absent: the earlier standard had no such requirement
	After       *Figures `json:"after,omitempty"`  // absent: the later one has none
	Came        []Moved  `json:"came"`             // evidence used after and not before; the reason is why it was left out before
	Went        []Moved  `json:"went"`             // evidence used before and not after; the reason is why it is left out now
}

// Figures are what a requirement's standing can be read from at a glance.
type Figures struct {
	Says     string    `json:"says"`
	State    State     `json:"state"`
	Value    float64   `json:"value"`
	Target   float64   `json:"target"`
	Unit     string    `json:"unit"`
	N        int       `json:"n"`
	Interval *Interval `json:"interval,omitempty"`
}

// Moved is a piece of evidence that came in or went out.
type Moved struct {
	ID     string `json:"id"`
	Kind   string `json:"kind"` // case, plan or quiz
	Reason string `json:"reason"`
}

// Between finds what changed from one standing of a trainee to another. It is pure, and swapping the two swaps what came and what went.
func Between(before, after Standing) Difference {
	d := Difference{Before: before.head(), After: after.head(), Requirements: []RequirementDifference{}, Caution: after.Caution}
	for _, now := range after.Requirements {
		then, known := before.requirement(now.Requirement)
		if known && same(then, now) {
			d.Same++
			continue
		}
		change := RequirementDifference{Requirement: now.Requirement, After: now.figures(), Came: moved(now, then), Went: moved(then, now)}
		if known {
			change.Before = then.figures()
		}
		d.Requirements = append(d.Requirements, change)
	}
	for _, then := range before.Requirements {
		if now, known := after.requirement(then.Requirement); !known {
			d.Requirements = append(d.Requirements, RequirementDifference{
				Requirement: then.Requirement, Before: then.figures(), Came: moved(now, then), Went: moved(then, now),
			})
		}
	}
	return d
}

func (s Standing) head() StandingHead {
	return StandingHead{s.On, s.Standard, s.StandardVersion, s.Ready, s.Overall}
}

func (s Standing) requirement(id string) (RequirementStanding, bool) {
	for _, r := range s.Requirements {
		if r.Requirement == id {
			return r, true
		}
	}
	return RequirementStanding{}, false
}

func (s RequirementStanding) figures() *Figures {
	return &Figures{s.Says, s.State, s.Value, s.Target, s.Unit, s.N, s.Interval}
}

// same reports whether nothing changed that a person would ask about: what is asked, the figures, and what they rest on.
func same(a, b RequirementStanding) bool {
	x, y := a.figures(), b.figures()
	i, j := x.Interval, y.Interval
	x.Interval, y.Interval = nil, nil
	return *x == *y && (i == nil) == (j == nil) && (i == nil || *i == *j) && slices.Equal(sorted(a.Used), sorted(b.Used)) && slices.Equal(sorted(a.Misses), sorted(b.Misses))
}

func sorted(list []string) []string { return slices.Sorted(slices.Values(list)) }

// moved lists what one standing uses and the other does not, with the other's reason.
func moved(used, other RequirementStanding) []Moved {
	list := []Moved{}
	for _, id := range used.Used {
		if !slices.Contains(other.Used, id) {
			list = append(list, Moved{ID: id, Kind: used.UsedKind, Reason: other.whyOut(id)})
		}
	}
	return list
}

// whyOut is the reason why evidence is left out.
func (s RequirementStanding) whyOut(id string) string {
	for _, l := range s.LeftOut {
		if l.ID == id {
			return l.Reason
		}
	}
	if s.Requirement == "" {
		return "not asked for"
	}
	return "not on record"
}
