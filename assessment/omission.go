package assessment

import (
	"slices"
	"strings"

	"isthmus/assessment/atrium"
)

// OmissionID names one of the commonest omissions; stable, for counting them over time.
type OmissionID string

// The omissions. Which are commonest is common practice, no source.
const (
	RightAtriumLeftOut   OmissionID = "right-atrium-left-out"
	IsolationWithoutBox  OmissionID = "isolation-without-box"
	RoofOrFloorMissing   OmissionID = "roof-or-floor-missing"
	MitralWithoutSinus   OmissionID = "mitral-without-coronary-sinus"
	MitralLineShort      OmissionID = "mitral-line-short"
	AppendageWithoutLine OmissionID = "appendage-without-line"
	SingleClamp          OmissionID = "single-clamp-application"
	BlockUntested        OmissionID = "block-not-tested"
	SinusNodeNear        OmissionID = "near-sinus-node"
	ClotHandled          OmissionID = "thrombus-handled"
)

// Omission is one of the commonest omissions in one plan. Asked says that it could be made there: the patient needs what would be left out,
// or the plan does what calls for it. Made is never true where Asked is not.
type Omission struct {
	ID    OmissionID `json:"id"`
	Name  string     `json:"name"`
	Asked bool       `json:"asked"`
	Made  bool       `json:"made"`
}

// omissions in the order they are told, each judged by what the plan does, never by the names of its lesions.
var omissions = []struct {
	id    OmissionID
	name  string
	judge func(*omitting) (asked, made bool)
}{
	{RightAtriumLeftOut, "Right atrial lesions left out where they are needed", (*omitting).rightAtrium},
	{IsolationWithoutBox, "Vein isolation alone where a box is needed", (*omitting).isolationOnly},
	{RoofOrFloorMissing, "Roof or floor line missing, so that the box stays open", (*omitting).openBox},
	{MitralWithoutSinus, "Mitral line without the coronary sinus lesion", (*omitting).coronarySinus},
	{MitralLineShort, "Mitral line that ends short of the annulus", (*omitting).shortMitral},
	{AppendageWithoutLine, "Appendage closed without the line to its stump", (*omitting).stump},
	{SingleClamp, "A single application of the clamp", (*omitting).singleClamp},
	{BlockUntested, "Block of a vein isolation not tested", (*omitting).untested},
	{SinusNodeNear, "Right atrial line too near the sinus node", (*omitting).sinusNode},
	{ClotHandled, "Appendage handled with clot in it", (*omitting).clot},
}

// omitting is a graded plan looked at for omissions. Its judges say whether one could be made and whether it was done.
type omitting struct {
	scenario Scenario
	plan     Plan
	grade    Grade
	wanted   atrium.Scope // the scope whose circuits should be closed
	made     []made
}

// Omissions tells for each of the commonest omissions whether it could be made in a plan and whether it was, in a fixed order. g is the
// plan's grade. What faculty accept on the scenario counts as not made.
func Omissions(s Scenario, g Grade, p Plan) []Omission {
	o := &omitting{scenario: s, plan: p, grade: g, wanted: atrium.Scope(g.TargetScope), made: lesionsMade(s.Patient, p, g.Result)}
	if o.finds("scope-accepted") {
		o.wanted = g.Result.Scope
	}
	list := make([]Omission, len(omissions))
	for i, one := range omissions {
		asked, made := one.judge(o)
		list[i] = Omission{ID: one.id, Name: one.name, Asked: asked, Made: asked && made}
	}
	return list
}

// OmissionNames lists all omissions by id and name, in the order they are told.
func OmissionNames() []Omission {
	list := make([]Omission, len(omissions))
	for i, one := range omissions {
		list[i] = Omission{ID: one.id, Name: one.name}
	}
	return list
}

// finds reports whether the grade has a finding of that code.
func (o *omitting) finds(code string) bool {
	return slices.ContainsFunc(o.grade.Findings, func(f Finding) bool { return f.Code == code })
}

// accepted reports whether faculty accept on this scenario what would raise a finding.
func (o *omitting) accepted(code string) bool {
	return slices.ContainsFunc(o.scenario.Alternative, func(d Defensible) bool { return d.Finding == code })
}

// needs reports whether the plan ablates where a scope of at least that rank is wanted.
func (o *omitting) needs(scope atrium.Scope) bool {
	return o.scenario.asked(AskLesionSet) && o.plan.ablates() && o.wanted.Rank() >= scope.Rank()
}

func (o *omitting) rightAtrium() (asked, done bool) {
	right := o.grade.Result.RightAtrium
	open := leaves(right, func(c atrium.Circuit) bool { return true }) || right.IndependentCircuits > 1 && !o.accepted("free-wall-uncut")
	return o.needs(atrium.ScopeBiatrial), open
}

func (o *omitting) isolationOnly() (asked, done bool) {
	open := len(o.grade.Result.VeinsIsolated) > 0 && !o.grade.Result.PosteriorWallIsolated
	return o.needs(atrium.ScopeBox), open && !o.goesBeyondRings()
}

func (o *omitting) openBox() (asked, done bool) {
	return o.needs(atrium.ScopeBox), !o.grade.Result.PosteriorWallIsolated && o.goesBeyondRings()
}

// goesBeyondRings reports whether the plan has a left atrial line other than that to the appendage.
func (o *omitting) goesBeyondRings() bool {
	return slices.ContainsFunc(o.made, func(l made) bool {
		return l.laid.Chamber == atrium.LeftAtrium && !l.laid.Closed && l.does != atrium.LeftAppendageLine && l.does != atrium.CoronarySinusLesion &&
			!strings.Contains(l.effect, string(atrium.LeftAppendageStump))
	})
}

// roundMitral reports whether a circuit round the mitral annulus is left, through the coronary sinus or not.
func (o *omitting) roundMitral(throughSinus bool) bool {
	return leaves(o.grade.Result.LeftAtrium, func(c atrium.Circuit) bool {
		return c.ThroughCoronarySinus == throughSinus && (throughSinus || round(c, atrium.MitralAnnulus))
	})
}

func (o *omitting) coronarySinus() (asked, done bool) {
	return o.needs(atrium.ScopeLeftAtrial), o.roundMitral(true) && !o.roundMitral(false) && !o.accepted("coronary-sinus-left")
}

func (o *omitting) shortMitral() (asked, done bool) {
	short := slices.ContainsFunc(o.made, func(l made) bool {
		return slices.ContainsFunc(l.open, func(gap atrium.Gap) bool {
			return l.does == atrium.MitralIsthmusLine || l.laid.Chamber == atrium.LeftAtrium && gap.Nearest == "mitral annulus"
		})
	})
	return o.needs(atrium.ScopeLeftAtrial), short && o.roundMitral(false)
}

// stump is about the line itself: where it is made and a longer circuit takes in the stump, other lines are missing.
func (o *omitting) stump() (asked, done bool) {
	left := slices.ContainsFunc(o.grade.Result.LeftAtrium.Circuits, func(c atrium.Circuit) bool { return round(c, atrium.LeftAppendageStump) })
	line := slices.ContainsFunc(o.made, func(l made) bool { return strings.Contains(l.effect, string(atrium.LeftAppendageStump)) })
	return o.needs(atrium.ScopeLeftAtrial) && o.plan.LeftAppendage.State != atrium.AppendageKept, left && !line && !o.accepted("appendage-stump-circuit")
}

func (o *omitting) singleClamp() (asked, done bool) {
	for _, l := range o.plan.Lesions {
		if l.Energy == atrium.BipolarRF {
			asked, done = true, done || l.Applications < 2
		}
	}
	return asked && o.scenario.asked(AskLesionSet), done && !o.accepted("single-clamp-application")
}

// untested looks at each side that has a ring: the best test of any of its rings counts.
func (o *omitting) untested() (asked, done bool) {
	tests := map[int]bool{}
	for _, l := range o.made {
		if !l.laid.Closed || l.laid.Chamber != atrium.LeftAtrium {
			continue
		}
		sides := []int{sideOf(l.laid.Path)}
		if sides[0] == 0 {
			sides = []int{-1, 1}
		}
		for _, at := range sides {
			tests[at] = tests[at] || tested(l.lesion.Block) != atrium.NotTested
		}
	}
	for _, proven := range tests {
		done = done || !proven
	}
	return len(tests) > 0 && o.scenario.asked(AskLesionSet), done && !o.accepted("block-not-tested")
}

func (o *omitting) sinusNode() (asked, done bool) {
	asked = slices.ContainsFunc(o.made, func(l made) bool { return l.laid.Chamber == atrium.RightAtrium })
	return asked && o.scenario.asked(AskLesionSet), o.finds("near-sinus-node") && !o.accepted("near-sinus-node")
}

func (o *omitting) clot() (asked, done bool) {
	return o.scenario.Patient.ThrombusOnImaging, o.finds("thrombus-handled") || o.finds("clot-cleared-late")
}
