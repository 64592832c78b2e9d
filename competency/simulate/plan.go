// Package simulate tries a standard on made-up trainees before it judges anybody: how often it would declare somebody of a given true
// ability ready for committee review, how soon, and which requirement holds people back. The trainees are judged by competency.Judge,
// with the very rules of the standard. Everything follows from the plan and its seed: the same plan gives the same result, on any number
// of processors.
package simulate

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
	"isthmus/competency"
)

// Plan is all that a simulation depends on.
type Plan struct {
	Standards []competency.Standard `json:"standards"` // one, or two to compare on the same trainees
	Mix       Mix                   `json:"mix"`
	Trainees  int                   `json:"trainees"` // in all, dealt out to the groups by their shares
	Cases     int                   `json:"cases"`    // the horizon: operations until a trainee's training ends
	Adequate  float64               `json:"adequate"` // the true failure rate at or below which somebody is called adequate
	Seed      uint64                `json:"seed"`
}

// Mix is who trains, on what, and how they are rated.
type Mix struct {
	Groups       []Group    `json:"groups"`
	Kinds        []CaseKind `json:"kinds"`          // what is operated
	CasesPerYear float64    `json:"cases_per_year"` // on average; operations come at random (a Poisson process)
	Primary      float64    `json:"primary"`        // share of operations in which the trainee is primary operator; assistant otherwise
	Incomplete   float64    `json:"incomplete"`     // share of operations without every line complete and block tested
	Unsigned     float64    `json:"unsigned"`       // share of operations that nobody signs off
	Late         float64    `json:"late"`           // share of signatures that are late recall
	Assessors    int        `json:"assessors"`      // people who rate one trainee, each as likely
	Spread       float64    `json:"spread"`         // standard deviation of the assessors' severity, in log odds of rating a failure
}

// Group is trainees of one true ability.
type Group struct {
	Name  string  `json:"name"`
	Share float64 `json:"share"` // of the trainees, relative to the other groups
	Curve Curve   `json:"curve"`
}

// Curve is a true failure rate that falls, or rises, from Start at the first operation towards End: after every HalfLife operations
// half of the way that was left is gone. HalfLife 0 is End from the first operation on.
type Curve struct {
	Start    float64 `json:"start"`
	End      float64 `json:"end"`
	HalfLife float64 `json:"half_life"` // operations
}

// At is the failure rate at operation n, counted from 1.
func (c Curve) At(n int) float64 {
	if c.HalfLife == 0 {
		return c.End
	}
	return c.End + (c.Start-c.End)*math.Exp2(-float64(n-1)/c.HalfLife)
}

// CaseKind is a kind of operation and how common it is, relative to the others.
type CaseKind struct {
	Pattern   af.Pattern   `json:"pattern"`
	Scope     atrium.Scope `json:"scope"`
	Operation string       `json:"operation"`
	Share     float64      `json:"share"`
}

// The bounds of a plan.
const (
	fewestTrainees = 100
	mostTrainees   = 100_000
	mostCases      = 500
	mostGroups     = 6
	mostKinds      = 60
	mostAssessors  = 50
)

// MostSeed is the largest seed: every reader of JSON keeps a whole number up to here exactly.
const MostSeed = 1<<53 - 1

// Validate reports everything that is out of range.
func (p Plan) Validate() strict.Faults {
	var faults strict.Faults
	if n := len(p.Standards); n < 1 || n > 2 {
		faults.Add("standards", "must be one, or two to compare, not %d", n)
	}
	for i, standard := range p.Standards {
		field := fmt.Sprintf("standards[%d]", i)
		if wrong := standard.Validate(); wrong.Err() != nil {
			faults.Join(field, wrong)
		} else if !tried(standard) {
			faults.Add(field, "has no requirement that rests on cases alone: there is nothing to try")
		}
	}
	whole(&faults, "trainees", p.Trainees, fewestTrainees, mostTrainees)
	whole(&faults, "cases", p.Cases, 1, mostCases)
	within(&faults, "adequate", p.Adequate, 0.001, 0.999)
	if p.Seed > MostSeed {
		faults.Add("seed", "must be at most %d", uint64(MostSeed))
	}
	faults.Join("mix", p.Mix.validate())
	return faults
}

// tried reports whether a simulation can follow any requirement.
func tried(standard competency.Standard) bool {
	judge := competency.NewJudge(standard)
	for i := range standard.Requirements {
		if judge.Follows(i) {
			return true
		}
	}
	return false
}

func (m Mix) validate() strict.Faults {
	var faults strict.Faults
	if n := len(m.Groups); n < 1 || n > mostGroups {
		faults.Add("groups", "must be 1 to %d, not %d", mostGroups, n)
	}
	names := map[string]bool{}
	for i, g := range m.Groups[:min(len(m.Groups), mostGroups)] {
		field := fmt.Sprintf("groups[%d].", i)
		if length := utf8.RuneCountInString(strings.TrimSpace(g.Name)); length < 1 || length > 60 || names[g.Name] {
			faults.Add(field+"name", "must be 1 to 60 characters, and no other group's")
		}
		names[g.Name] = true
		share(&faults, field+"share", g.Share)
		within(&faults, field+"curve.start", g.Curve.Start, 0.001, 0.999)
		within(&faults, field+"curve.end", g.Curve.End, 0.001, 0.999)
		within(&faults, field+"curve.half_life", g.Curve.HalfLife, 0, 1000)
	}
	if n := len(m.Kinds); n < 1 || n > mostKinds {
		faults.Add("kinds", "must be 1 to %d, not %d", mostKinds, n)
	}
	for i, k := range m.Kinds[:min(len(m.Kinds), mostKinds)] {
		field := fmt.Sprintf("kinds[%d].", i)
		listed(&faults, field+"pattern", string(k.Pattern), competency.PatternChoices)
		listed(&faults, field+"scope", string(k.Scope), competency.ScopeChoices)
		listed(&faults, field+"operation", k.Operation, competency.Operations)
		share(&faults, field+"share", k.Share)
	}
	within(&faults, "cases_per_year", m.CasesPerYear, 1, 1000)
	within(&faults, "primary", m.Primary, 0, 1)
	within(&faults, "incomplete", m.Incomplete, 0, 1)
	within(&faults, "unsigned", m.Unsigned, 0, 0.95)
	within(&faults, "late", m.Late, 0, 1)
	whole(&faults, "assessors", m.Assessors, 1, mostAssessors)
	within(&faults, "spread", m.Spread, 0, 3)
	return faults
}

func listed(faults *strict.Faults, field, value string, list []competency.Choice) {
	if !slices.ContainsFunc(list, func(c competency.Choice) bool { return c.ID == value }) {
		faults.Add(field, "%q is unknown", value)
	}
}

func share(faults *strict.Faults, field string, value float64) {
	if !(value > 0 && value <= 1e6) {
		faults.Add(field, "must be above 0 and at most 1,000,000: shares count relative to each other")
	}
}

func within(faults *strict.Faults, field string, value, least, most float64) {
	if !(value >= least && value <= most) {
		faults.Add(field, "must be %g to %g, not %g", least, most, value)
	}
}

func whole(faults *strict.Faults, field string, value, least, most int) {
	if value < least || value > most {
		faults.Add(field, "must be %d to %d, not %d", least, most, value)
	}
}
