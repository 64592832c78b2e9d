package assessment

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment/atrium"
)

// lines are lesions of the catalogue as a plan and as the model would draw them.
func lines(names ...atrium.LesionID) (Plan, atrium.Result) {
	p, r := Plan{Ablate: &yes}, atrium.Result{}
	for _, name := range names {
		p.Lesions = append(p.Lesions, atrium.Lesion{Name: name})
		for _, known := range atrium.Catalogue() {
			if known.ID == name {
				r.Lesions = append(r.Lesions, atrium.DrawnLesion{Lesion: name, Chamber: known.Chamber, Path: known.Path, Closed: known.Closed})
			}
		}
	}
	return p, r
}

// biatrial is a plan that has a use for every step, with clot to clear.
func biatrial() (Scenario, Plan, atrium.Result) {
	s := Scenario{Patient: Patient{ThrombusOnImaging: true}, Operation: Operation{Primary: "mitral", OnBypass: true, LeftAtriumOpened: true}}
	p, r := lines(atrium.LeftPulmonaryVeinIsolation, atrium.RightPulmonaryVeinIsolation, atrium.MitralIsthmusLine, atrium.IntercavalLine)
	p.Lesions[0].Block = atrium.ExitAndEntrance
	p.LeftAppendage = Appendage{State: "excised", ClotFirst: true, FlowCheck: true}
	p.PacingWires = WiresBoth
	return s, p, r
}

func TestOrder(t *testing.T) {
	all := []Step{StepRightAtrialLines, StepArrest, StepClearClot, StepVeinIsolation, StepLeftAtrialLines, StepAppendage, StepPrimaryOperation,
		StepBlockTest, StepClosureCheck, StepPacingWires}
	moved := func(step Step, to int) []Step {
		list := slices.DeleteFunc(slices.Clone(all), func(s Step) bool { return s == step })
		return slices.Insert(list, to, step)
	}
	without := func(step Step) []Step {
		return slices.DeleteFunc(slices.Clone(all), func(s Step) bool { return s == step })
	}
	tests := []struct {
		name  string
		steps []Step
		want  []string
	}{
		{"a right order", all, nil},
		{"another right order: right side last", moved(StepRightAtrialLines, 8), nil},
		{"another right order: block tested at once", moved(StepBlockTest, 4), nil},
		{"another right order: appendage before the lines", moved(StepAppendage, 4), nil},
		{"nothing said", nil, []string{"steps-not-given"}},
		{"left atrium opened, then the clamp", moved(StepArrest, 3), []string{"left-atrium-opened-before-arrest"}},
		{"veins clamped round the clot", moved(StepClearClot, 3), []string{"clot-cleared-late"}},
		{"clot last of all", moved(StepClearClot, 9), []string{"clot-cleared-late", "clot-cleared-late", "clot-cleared-late"}},
		{"block tested before the ring", moved(StepBlockTest, 3), []string{"block-tested-too-early"}},
		{"looked at before it is closed", moved(StepClosureCheck, 5), []string{"closure-checked-too-early"}},
		{"valve first", moved(StepPrimaryOperation, 4), []string{"lines-after-valve"}},
		{"valve on a beating heart", moved(StepPrimaryOperation, 0), []string{"arrest-too-late", "lines-after-valve"}},
		{"wires before the valve", moved(StepPacingWires, 6), []string{"wires-too-early"}},
		{"wires first", moved(StepPacingWires, 0), slices.Repeat([]string{"wires-too-early"}, 5)},
		{"no arrest", without(StepArrest), []string{"step-missing"}},
		{"no right atrial lines", without(StepRightAtrialLines), []string{"step-missing"}},
		{"two steps missing", without(StepBlockTest)[:8], []string{"step-missing", "step-missing"}},
	}
	for _, tt := range tests {
		s, p, r := biatrial()
		p.Steps = tt.steps
		g := judged(s, p, r)
		g.order()
		if diff := cmp.Diff(tt.want, g.codes()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

// TestOrderMatters: pairs that do not matter in another operation are not judged there.
func TestOrderMatters(t *testing.T) {
	box, drawn := lines(atrium.LeftPulmonaryVeinIsolation, atrium.RightPulmonaryVeinIsolation, atrium.RoofLine, atrium.FloorLine)
	left, leftDrawn := lines(atrium.LeftPulmonaryVeinIsolation, atrium.MitralIsthmusLine)
	grafts := Operation{Primary: "coronary", OnBypass: true}
	aortic := Operation{Primary: "aortic-valve", OnBypass: true, LeftAtriumOpened: true}
	tests := []struct {
		name  string
		op    Operation
		plan  Plan
		drawn atrium.Result
		steps []Step
		want  []string
	}{
		{"box by clamp before the arrest", grafts, box, drawn, []Step{StepVeinIsolation, StepLeftAtrialLines, StepArrest, StepPrimaryOperation}, []string{"step-for-nothing"}},
		{"grafts first", grafts, box, drawn, []Step{StepPrimaryOperation, StepVeinIsolation, StepLeftAtrialLines}, nil},
		{"aortic valve before the mitral line", aortic, left, leftDrawn, []Step{StepArrest, StepPrimaryOperation, StepVeinIsolation, StepLeftAtrialLines}, nil},
		{"clot cleared that is not there", aortic, left, leftDrawn, []Step{StepArrest, StepVeinIsolation, StepLeftAtrialLines, StepClearClot, StepPrimaryOperation}, []string{"step-for-nothing"}},
	}
	for _, tt := range tests {
		tt.plan.LeftAppendage.State, tt.plan.Steps = "kept", tt.steps
		g := judged(Scenario{Operation: tt.op}, tt.plan, tt.drawn)
		g.order()
		if diff := cmp.Diff(tt.want, g.codes()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

// TestAnyOrderThatRespectsThePairs: there is no one right order. Every order in which no pair is the wrong way round is as good as any
// other, and in any order whatever the findings are exactly the pairs that are the wrong way round.
func TestAnyOrderThatRespectsThePairs(t *testing.T) {
	s, p, r := biatrial()
	rapid.Check(t, func(t *rapid.T) {
		p.Steps = nil
		left := rapid.Permutation(steps).Draw(t, "wish")
		for len(left) > 0 { // the first of the wish that nothing left must precede
			i := slices.IndexFunc(left, func(then Step) bool {
				return !slices.ContainsFunc(precedences, func(pair precedence) bool { return pair.then == then && slices.Contains(left, pair.first) })
			})
			p.Steps = append(p.Steps, left[i])
			left = slices.Delete(left, i, i+1)
		}
		g := judged(s, p, r)
		if g.order(); len(g.entries) > 0 {
			t.Fatalf("%v: %v", p.Steps, g.codes())
		}
		p.Steps = rapid.Permutation(steps).Draw(t, "any")
		wrong := 0
		for _, pair := range precedences {
			if slices.Index(p.Steps, pair.first) > slices.Index(p.Steps, pair.then) {
				wrong++
			}
		}
		g = judged(s, p, r)
		if g.order(); len(g.entries) != wrong {
			t.Fatalf("%v: %v, want %d findings", p.Steps, g.codes(), wrong)
		}
	})
}

// TestClearedByStep: where steps are asked for, the step says that the clot is cleared as well as the tick does, but only in an open atrium.
func TestClearedByStep(t *testing.T) {
	s, p, r := biatrial()
	p.LeftAppendage.ClotFirst = false
	p.Steps = []Step{StepArrest, StepClearClot, StepVeinIsolation, StepLeftAtrialLines, StepAppendage}
	for _, tt := range []struct {
		asked, opened bool
		want          []string
	}{{true, true, nil}, {false, true, []string{"thrombus-handled"}}, {true, false, []string{"thrombus-handled"}}} {
		g := judged(s, p, r)
		g.scenario.Operation.LeftAtriumOpened = tt.opened
		if !tt.asked {
			g.scenario.Asks = []Ask{AskLesionSet, AskAppendage}
		}
		g.clot()
		if diff := cmp.Diff(tt.want, g.codes()); diff != "" {
			t.Errorf("asked %t, opened %t (-want +got):\n%s", tt.asked, tt.opened, diff)
		}
	}
}
