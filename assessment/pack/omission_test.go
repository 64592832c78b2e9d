package pack_test

import (
	"slices"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
)

// slip is one of the commonest omissions made in an expert's plan: whether it can be made there, what becomes of the plan, what must be
// found, and the letter by what the policy asks for.
type slip struct {
	name    string
	applies func(assessment.Plan, assessment.Grade) bool
	make    func(*assessment.Plan)
	code    string
	letters map[string]assessment.Letter // by target and minimum; "" for every other
}

// Targets with their minimum, as the policy's rows have them.
const (
	both     = "biatrial/left-atrial"
	leftSide = "left-atrial/box"
	boxVeins = "box/pulmonary-vein-isolation"
	leftOnly = "left-atrial/left-atrial" // where faculty accept the left atrial set for a biatrial one
	boxBox   = "box/box"
)

var (
	left      = []atrium.LesionID{atrium.RoofLine, atrium.FloorLine, atrium.MitralIsthmusLine, atrium.CoronarySinusLesion, atrium.LeftAppendageLine}
	right     = []atrium.LesionID{atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine, atrium.CavotricuspidIsthmusLine}
	shortLine = atrium.Lesion{Chamber: atrium.LeftAtrium, Path: []atrium.Vec{{-0.30, -0.24, 0.90}, {-0.30, -0.60, 0.60}, {-0.30, -0.80, 0.35}}, Energy: atrium.Cryo}
	nodeLine  = atrium.Lesion{Chamber: atrium.RightAtrium, Path: []atrium.Vec{{0.05, 0.92, 0.38}, {0.35, 0.85, 0.05}, {0.6, 0.5, 0.5}, {0.05, -0.86, 0.45}}, Energy: atrium.Cryo}
)

// slips are the omissions of the blueprint. The letters are what each is worth alone in a plan that is otherwise an expert's: common
// practice, no source, but for vein isolation alone in a large atrium (STS 2017, 10.1016/j.athoracsur.2016.10.076, class III).
var slips = []slip{
	{"right atrial lesions left out", holds(atrium.IntercavalLine), drop(right...), "scope-at-minimum", map[string]assessment.Letter{both: "B"}},
	{"vein isolation alone", holds(atrium.RoofLine), drop(append(slices.Clone(left), right...)...), "posterior-wall-connected",
		map[string]assessment.Letter{both: "D", leftSide: "D", leftOnly: "D", boxVeins: "B+", boxBox: "C"}},
	{"roof missing", holds(atrium.RoofLine), drop(atrium.RoofLine), "posterior-wall-connected", map[string]assessment.Letter{both: "C", leftSide: "C", leftOnly: "C", boxVeins: "B+", boxBox: "C"}},
	{"floor missing", holds(atrium.FloorLine), drop(atrium.FloorLine), "posterior-wall-connected", map[string]assessment.Letter{both: "C", leftSide: "C", leftOnly: "C", boxVeins: "B+", boxBox: "C"}},
	{"no coronary sinus lesion", holds(atrium.CoronarySinusLesion), drop(atrium.CoronarySinusLesion), "coronary-sinus-left", map[string]assessment.Letter{both: "C", leftSide: "B+", leftOnly: "C"}},
	{"mitral line short of the annulus", holds(atrium.MitralIsthmusLine), func(p *assessment.Plan) {
		drop(atrium.MitralIsthmusLine)(p)
		p.Lesions = append(p.Lesions, shortLine)
	}, "perimitral-circuit", map[string]assessment.Letter{both: "C", leftSide: "B+", leftOnly: "C"}},
	{"appendage closed without its line", holds(atrium.LeftAppendageLine), drop(atrium.LeftAppendageLine), "appendage-stump-circuit", map[string]assessment.Letter{"": "A-"}},
	{"single application of the clamp", clamped, func(p *assessment.Plan) {
		p.Lesions = slices.Clone(p.Lesions)
		for i := range p.Lesions {
			p.Lesions[i].Applications = 1
		}
	}, "single-clamp-application", map[string]assessment.Letter{"": "A-"}},
	{"block not tested", holds(atrium.LeftPulmonaryVeinIsolation), func(p *assessment.Plan) {
		p.Lesions = slices.Clone(p.Lesions)
		for i := range p.Lesions {
			p.Lesions[i].Block = ""
		}
	}, "block-not-tested", map[string]assessment.Letter{"": "A-"}},
	{"line over the sinus node", holds(atrium.IntercavalLine), func(p *assessment.Plan) { p.Lesions = append(slices.Clone(p.Lesions), nodeLine) }, "near-sinus-node",
		map[string]assessment.Letter{"": "B"}},
	{"appendage handled with clot in it", func(p assessment.Plan, g assessment.Grade) bool { return p.LeftAppendage.ClotFirst }, func(p *assessment.Plan) {
		p.LeftAppendage.ClotFirst = false
		p.Steps = slices.DeleteFunc(slices.Clone(p.Steps), func(s assessment.Step) bool { return s == assessment.StepClearClot })
	}, "thrombus-handled", map[string]assessment.Letter{"": "F"}},
}

// holds applies to plans with these lesions.
func holds(names ...atrium.LesionID) func(assessment.Plan, assessment.Grade) bool {
	return func(p assessment.Plan, _ assessment.Grade) bool {
		return !slices.ContainsFunc(names, func(name atrium.LesionID) bool {
			return !slices.ContainsFunc(p.Lesions, func(l atrium.Lesion) bool { return l.Name == name })
		})
	}
}

// clamped applies to plans with a lesion made by the clamp.
func clamped(p assessment.Plan, _ assessment.Grade) bool {
	return slices.ContainsFunc(p.Lesions, func(l atrium.Lesion) bool { return l.Energy == atrium.BipolarRF })
}

// drop leaves lesions out of a plan.
func drop(names ...atrium.LesionID) func(*assessment.Plan) {
	return func(p *assessment.Plan) {
		p.Lesions = slices.DeleteFunc(slices.Clone(p.Lesions), func(l atrium.Lesion) bool { return slices.Contains(names, l.Name) })
	}
}

// TestCommonestOmissions: each of the commonest omissions, made in the first expert's plan of every scenario it applies to, is found and
// gets its letter; nothing but handling clot fails.
func TestCommonestOmissions(t *testing.T) {
	made := map[string]int{}
	for _, s := range pack.Scenarios() {
		i := slices.IndexFunc(s.Expert, func(a assessment.Answer) bool { return *a.Plan.Ablate || a.Plan.LeftAppendage.ClotFirst })
		if i < 0 {
			continue
		}
		plan := s.Expert[i].Plan
		whole := grade(t, s, plan)
		for _, slip := range slips {
			want, asked := slip.letters[asks(s, whole)]
			if !asked {
				want, asked = slip.letters[""]
			}
			if !asked || !slip.applies(plan, whole) {
				continue
			}
			if slip.code == "near-sinus-node" && s.Patient.SinusNodeDisease && !s.Patient.Pacemaker {
				want = "B-" // a sick node has less to lose
			}
			p := plan
			slip.make(&p)
			g := grade(t, s, p)
			if !raises(g, slip.code) || g.Letter != want || g.Unsafe != (want == "F") {
				t.Errorf("%s, %s (%s): %s %v, want %s with %s\n%s", s.ID, slip.name, asks(s, whole), g.Letter, g.Score, want, slip.code, report(t, g))
			}
			made[slip.name]++
		}
	}
	for _, slip := range slips {
		if made[slip.name] == 0 {
			t.Errorf("%s: no scenario to try it on", slip.name)
		}
		t.Logf("%s: %d scenarios", slip.name, made[slip.name])
	}
}

// asks is what the policy asks for, with its minimum; where faculty accept less, that is what is asked for.
func asks(s assessment.Scenario, g assessment.Grade) string {
	for _, d := range s.Alternative {
		if scope := atrium.Scope(d.Scope); scope == atrium.ScopeBox || scope == atrium.ScopeLeftAtrial {
			return d.Scope + "/" + d.Scope
		}
	}
	return g.TargetScope + "/" + g.MinimumScope
}
