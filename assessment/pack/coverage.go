package pack

import (
	"fmt"

	"isthmus/assessment"
	"isthmus/assessment/af"
)

// Patterns are the columns of the blueprint.
var Patterns = []af.Pattern{af.Paroxysmal, af.Persistent, af.LongStandingPersistent, af.Permanent}

// Coverage is what a list of scenarios covers of the blueprint, and what it does not. Only live scenarios count.
type Coverage struct {
	Scenarios  int       `json:"scenarios"`
	Operations []Row     `json:"operations"` // by operation, the left atrium opened or closed
	Modifiers  []Row     `json:"modifiers"`  // by what else the scenario holds
	Omissions  []Omitted `json:"omissions"`  // the commonest omissions and the flawed plans that make them
	Holes      []string  `json:"holes"`      // what the blueprint asks for and no scenario has
}

// Row counts the scenarios of one kind in each pattern, in the order of Patterns.
type Row struct {
	Says   string `json:"says"`
	Counts []int  `json:"counts"`
	Asked  []bool `json:"asked"` // whether the blueprint asks for this square
}

// Omitted counts the flawed plans that make one of the commonest omissions.
type Omitted struct {
	Says  string `json:"says"`
	Plans int    `json:"plans"`
}

// kind is one row of the blueprint: which scenarios belong to it, and which patterns must have one.
type kind struct {
	says  string
	holds func(assessment.Scenario) bool
	asked func(af.Pattern) bool
}

// Cover counts the live scenarios of a list against the blueprint: pattern by operation by left atrium opened or not, then the modifiers,
// then the commonest omissions. The error is strict.Faults on a scenario whose history contradicts itself.
func Cover(list []assessment.Scenario) (Coverage, error) {
	var c Coverage
	operations, modifiers := newRows(operationKinds()), newRows(modifierKinds)
	c.Omissions = make([]Omitted, len(omissions))
	for i, o := range omissions {
		c.Omissions[i].Says = o.says
	}
	for _, s := range list {
		if s.Status != assessment.Live {
			continue
		}
		derived, err := s.Pattern()
		if err != nil {
			return Coverage{}, err
		}
		c.Scenarios++
		count(operations, operationKinds(), s, derived.Pattern)
		count(modifiers, modifierKinds, s, derived.Pattern)
		for _, answer := range s.Flawed {
			for i, o := range omissions {
				if o.made(derived.Pattern, answer) {
					c.Omissions[i].Plans++
				}
			}
		}
	}
	c.Operations, c.Modifiers = operations, modifiers
	c.Holes = c.holes()
	return c, nil
}

// newRows are rows without a count.
func newRows(kinds []kind) []Row {
	rows := make([]Row, len(kinds))
	for i, k := range kinds {
		rows[i] = Row{Says: k.says, Counts: make([]int, len(Patterns)), Asked: make([]bool, len(Patterns))}
		for j, pattern := range Patterns {
			rows[i].Asked[j] = k.asked(pattern)
		}
	}
	return rows
}

// count adds a scenario to every row it belongs to.
func count(rows []Row, kinds []kind, s assessment.Scenario, pattern af.Pattern) {
	for i, k := range kinds {
		if !k.holds(s) {
			continue
		}
		for j := range Patterns {
			if Patterns[j] == pattern {
				rows[i].Counts[j]++
			}
		}
	}
}

// holes lists the squares asked for that are empty: every square of the operations, each modifier once, each omission.
func (c Coverage) holes() []string {
	holes := []string{}
	for _, row := range c.Operations {
		for j, pattern := range Patterns {
			if row.Asked[j] && row.Counts[j] == 0 {
				holes = append(holes, fmt.Sprintf("%s, %s", pattern, row.Says))
			}
		}
	}
	for _, row := range c.Modifiers {
		if row.Total() == 0 {
			holes = append(holes, row.Says)
		}
	}
	for _, o := range c.Omissions {
		if o.Plans == 0 {
			holes = append(holes, "no flawed plan: "+o.Says)
		}
	}
	return holes
}

// Total is the row's sum over the patterns.
func (r Row) Total() int {
	sum := 0
	for _, n := range r.Counts {
		sum += n
	}
	return sum
}
