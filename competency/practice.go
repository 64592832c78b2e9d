package competency

import (
	"cmp"
	"slices"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency/interval"
)

// PracticeLevel is the two-sided confidence of every interval of practice.
const PracticeLevel = 0.95

// PracticeMethod names them.
const PracticeMethod = interval.MethodWilson

// PracticeAssumptions is what they rest on.
const PracticeAssumptions = interval.Assumptions + "; operations of one trainee or one supervisor hang together, so the intervals are rather too narrow"

// Delivered is one operation, or one plan, as it counts against the scope policy.
type Delivered struct {
	ID      string // of the case or the plan
	On      Day    // of the operation: the first day it can have been on; a plan's is the day it was handed in
	Known   Day    // signed off or handed in
	Site    string // empty for a plan
	Pattern af.Pattern
	Scope   atrium.Scope // delivered
	Target  atrium.Scope // what the policy asks for; none or empty when it asks for nothing
	Policy  string       // how Scope stands to it: target, minimum, below, beyond, not-applicable
	Made    []atrium.LesionID
	// AppendageKept says that the left appendage was neither excised nor excluded: there is then no stump to join by a line.
	AppendageKept bool
}

// asked reports whether the policy asks for a scope.
func (d Delivered) asked() bool { return d.Target.Rank() > 0 && d.Policy != "not-applicable" }

// less reports whether it did less than the policy asks for; below, less than the least the policy accepts.
func (d Delivered) less() bool  { return d.asked() && (d.Policy == "minimum" || d.Policy == "below") }
func (d Delivered) below() bool { return d.asked() && d.Policy == "below" }

// PracticeFilter chooses what is counted: operated or handed in from From on (from the beginning when empty), as known by the end of On, in
// Pattern (in any when empty), at Site (everywhere when empty; a plan has none and is never left out for it).
type PracticeFilter struct {
	From, On Day
	Site     string
	Pattern  af.Pattern
}

func (f PracticeFilter) holds(d Delivered) bool {
	return d.Known <= f.On && d.On >= f.From && (f.Pattern == "" || d.Pattern == f.Pattern) && (f.Site == "" || d.Site == "" || d.Site == f.Site)
}

// PracticeShare is hits among n with the interval and what is behind both numbers; without any n there is no share. Of names it within its
// side, so that a list of what is behind it can be asked for.
type PracticeShare struct {
	Of    string   `json:"of"`
	Hits  int      `json:"hits"`
	N     int      `json:"n"`
	Share *float64 `json:"share"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
	IDs   []string `json:"-"` // the hits; listed where somebody asks for them by Of
	All   []string `json:"-"` // the n
}

// PatternPractice is what was delivered in one AF pattern; the pattern is empty where none could be derived.
type PatternPractice struct {
	Pattern af.Pattern      `json:"pattern"`
	Scopes  []PracticeShare `json:"scopes"` // in rising order, all five, of everything in this pattern
	Less    PracticeShare   `json:"less"`   // of those the policy asks a scope for
}

// PeriodPractice is one quarter of a year or one site.
type PeriodPractice struct {
	Name   string          `json:"name"` // 2026-Q1, or the site
	Scopes []PracticeShare `json:"scopes"`
	Less   PracticeShare   `json:"less"` // of those the policy asks a scope for, as Below
	Below  PracticeShare   `json:"below"`
}

// StepPractice is how often one step of scope was left out where the policy asks for it, and which of its lesions were not made then.
type StepPractice struct {
	ID      string          `json:"id"` // the scope that takes it
	Name    string          `json:"name"`
	LeftOut PracticeShare   `json:"left_out"`
	Lesions []LesionLeftOut `json:"lesions"`
}

// LesionLeftOut is how often a lesion was missing where the step it belongs to was left out, of all that were asked for that step.
type LesionLeftOut struct {
	ID      string        `json:"id"`
	Name    string        `json:"name"`
	LeftOut PracticeShare `json:"left_out"`
}

// Practice is what operations, or plans, amount to against the scope policy.
type Practice struct {
	N        int               `json:"n"`         // counted
	NotAsked PracticeShare     `json:"not_asked"` // of all, those for which the policy asks for no ablation, or whose AF pattern is unknown: in no share of less
	Less     PracticeShare     `json:"less"`      // did less than the policy asks for
	Below    PracticeShare     `json:"below"`     // did less than the least it accepts
	Patterns []PatternPractice `json:"patterns"`
	Quarters []PeriodPractice  `json:"quarters"` // those with anything in them, in order
	Sites    []PeriodPractice  `json:"sites"`    // by name
	Steps    []StepPractice    `json:"steps"`    // from veins to right atrium
	Says     string            `json:"says"`     // the commonest omission
	SaysOf   string            `json:"says_of"`  // the share that sentence is about
}

// scopeStep is what a scope adds to the one before it, and the named lesions that usually make it; of those in one entry any will do. A scope
// is computed from effect, so a step counts as left out by what was reached, never by names; the names only say which lines are missing.
type scopeStep struct {
	scope   atrium.Scope
	name    string
	many    bool // whether the name is a plural
	lesions []stepLesion
}

type stepLesion struct {
	name  string
	any   []atrium.LesionID
	stump bool // asked for only where the appendage was closed
}

var scopeSteps = []scopeStep{
	{atrium.ScopePulmonaryVeinIsolation, "Isolation of the veins", false, []stepLesion{
		{name: "Left pulmonary vein isolation", any: []atrium.LesionID{atrium.LeftPulmonaryVeinIsolation}},
		{name: "Right pulmonary vein isolation", any: []atrium.LesionID{atrium.RightPulmonaryVeinIsolation}}}},
	{atrium.ScopeBox, "The closed box", false, []stepLesion{
		{name: "Roof line", any: []atrium.LesionID{atrium.RoofLine}}, {name: "Floor line", any: []atrium.LesionID{atrium.FloorLine}}}},
	{atrium.ScopeLeftAtrial, "Left atrial lines", true, []stepLesion{
		{name: "Mitral isthmus line", any: []atrium.LesionID{atrium.MitralIsthmusLine}}, {name: "Coronary sinus lesion", any: []atrium.LesionID{atrium.CoronarySinusLesion}},
		{name: "Left appendage line", any: []atrium.LesionID{atrium.LeftAppendageLine}, stump: true}}},
	{atrium.ScopeBiatrial, "Right atrial lines", true, []stepLesion{
		{name: "Line between the cavae", any: []atrium.LesionID{atrium.IntercavalLine}},
		{name: "Line to the tricuspid annulus, over the free wall or the isthmus", any: []atrium.LesionID{atrium.FreeWallLine, atrium.CavotricuspidIsthmusLine}},
		{name: "Right appendage line to the tricuspid annulus", any: []atrium.LesionID{atrium.RightAppendageLine}}}},
}

// PracticeOf counts what fits the filter, in any order. It is pure.
func PracticeOf(list []Delivered, filter PracticeFilter) Practice {
	var all []Delivered
	for _, d := range list {
		if filter.holds(d) {
			all = append(all, d)
		}
	}
	slices.SortFunc(all, func(a, b Delivered) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.ID, b.ID)) })
	p := Practice{N: len(all), NotAsked: practiceShare("not-asked", all, func(d Delivered) bool { return !d.asked() })}
	asked := chosen(all, Delivered.asked)
	p.Less, p.Below = practiceShare("less", asked, Delivered.less), practiceShare("below", asked, Delivered.below)
	p.Patterns = patternsOf(all)
	p.Quarters = periodsOf("quarter", all, func(d Delivered) string { return quarterOf(d.On.Start()) })
	p.Sites = periodsOf("site", all, func(d Delivered) string { return d.Site })
	for _, step := range scopeSteps {
		p.Steps = append(p.Steps, step.count(asked))
	}
	p.Says, p.SaysOf = p.says()
	return p
}

// practiceShare counts hits.
func practiceShare(of string, list []Delivered, hit func(Delivered) bool) PracticeShare {
	s := PracticeShare{Of: of, N: len(list), IDs: []string{}, All: []string{}}
	for _, d := range list {
		s.All = append(s.All, d.ID)
		if hit(d) {
			s.Hits++
			s.IDs = append(s.IDs, d.ID)
		}
	}
	if limits, err := interval.Wilson(s.Hits, s.N, PracticeLevel); err == nil {
		share, low, high := rounded(limits.Estimate), rounded(limits.Low), rounded(limits.High)
		s.Share, s.Low, s.High = &share, &low, &high
	}
	return s
}

// patternsOf counts the scopes delivered by AF pattern: all four, and what has none where there is any.
func patternsOf(all []Delivered) []PatternPractice {
	patterns := []PatternPractice{}
	for _, choice := range append(slices.Clone(PatternChoices), Choice{}) {
		own := chosen(all, func(d Delivered) bool { return string(d.Pattern) == choice.ID })
		if choice.ID == "" && len(own) == 0 {
			continue
		}
		name := cmp.Or(choice.ID, "unknown")
		one := PatternPractice{Pattern: af.Pattern(choice.ID), Less: practiceShare("less-in:"+name, chosen(own, Delivered.asked), Delivered.less)}
		one.Scopes = scopesOf("pattern:"+name, own)
		patterns = append(patterns, one)
	}
	return patterns
}

// scopesOf counts the scopes delivered, in rising order.
func scopesOf(of string, list []Delivered) []PracticeShare {
	shares := make([]PracticeShare, len(ScopeChoices))
	for i, scope := range ScopeChoices {
		shares[i] = practiceShare(of+":"+scope.ID, list, func(d Delivered) bool { return string(d.Scope) == scope.ID })
	}
	return shares
}

// periodsOf groups by a name, in the order of names; what has none belongs to no group.
func periodsOf(kind string, all []Delivered, name func(Delivered) string) []PeriodPractice {
	groups := map[string][]Delivered{}
	for _, d := range all {
		if at := name(d); at != "" {
			groups[at] = append(groups[at], d)
		}
	}
	periods := []PeriodPractice{}
	for at, own := range groups {
		asked := chosen(own, Delivered.asked)
		periods = append(periods, PeriodPractice{
			Name: at, Scopes: scopesOf(kind+"-scope:"+at, own), Less: practiceShare(kind+":"+at, asked, Delivered.less), Below: practiceShare(kind+"-below:"+at, asked, Delivered.below),
		})
	}
	slices.SortFunc(periods, func(a, b PeriodPractice) int { return cmp.Compare(a.Name, b.Name) })
	return periods
}

// count tells how often the step was left out, and its lesions.
func (s scopeStep) count(asked []Delivered) StepPractice {
	wanted := chosen(asked, func(d Delivered) bool { return d.Target.Rank() >= s.scope.Rank() })
	out := func(d Delivered) bool { return d.less() && d.Scope.Rank() < s.scope.Rank() }
	p := StepPractice{ID: string(s.scope), Name: s.name, LeftOut: practiceShare("step:"+string(s.scope), wanted, out)}
	for _, l := range s.lesions {
		id := string(l.any[0])
		of := chosen(wanted, func(d Delivered) bool { return !l.stump || !d.AppendageKept })
		missing := func(d Delivered) bool {
			return out(d) && !slices.ContainsFunc(l.any, func(id atrium.LesionID) bool { return slices.Contains(d.Made, id) })
		}
		p.Lesions = append(p.Lesions, LesionLeftOut{ID: id, Name: l.name, LeftOut: practiceShare("lesion:"+id, of, missing)})
	}
	return p
}

func chosen(list []Delivered, fits func(Delivered) bool) []Delivered {
	var own []Delivered
	for _, d := range list {
		if fits(d) {
			own = append(own, d)
		}
	}
	return own
}
