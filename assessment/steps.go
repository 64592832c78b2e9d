package assessment

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
)

// precedence is one pair of a partial order: the first step must come before the second, where it matters at all. No pair, no order: most
// of an operation can be done in more than one.
type precedence struct {
	first, then Step
	code        string
	matters     func(*grading) bool // nil: always
}

var precedences = []precedence{
	{StepArrest, StepClearClot, "left-atrium-opened-before-arrest", nil},
	{StepArrest, StepLeftAtrialLines, "left-atrium-opened-before-arrest", (*grading).opensLeftAtrium},
	{StepArrest, StepPrimaryOperation, "arrest-too-late", (*grading).valveOperation},
	{StepClearClot, StepVeinIsolation, "clot-cleared-late", (*grading).hasClot},
	{StepClearClot, StepLeftAtrialLines, "clot-cleared-late", (*grading).hasClot},
	{StepClearClot, StepAppendage, "clot-cleared-late", (*grading).hasClot},
	{StepVeinIsolation, StepBlockTest, "block-tested-too-early", nil},
	{StepAppendage, StepClosureCheck, "closure-checked-too-early", nil},
	{StepLeftAtrialLines, StepPrimaryOperation, "lines-after-valve", (*grading).mitralLineAtValve},
	{StepVeinIsolation, StepPacingWires, "wires-too-early", nil},
	{StepRightAtrialLines, StepPacingWires, "wires-too-early", nil},
	{StepLeftAtrialLines, StepPacingWires, "wires-too-early", nil},
	{StepAppendage, StepPacingWires, "wires-too-early", nil},
	{StepPrimaryOperation, StepPacingWires, "wires-too-early", nil},
}

// order judges the steps as a partial order: every pair that is the wrong way round is one finding, and so is every step that the plan
// itself implies and does not list.
func (g *grading) order() {
	if len(g.plan.Steps) == 0 {
		g.find("steps-not-given", "The steps of the operation are not given.", nil)
		return
	}
	at := func(step Step) int { return slices.Index(g.plan.Steps, step) }
	for _, p := range precedences {
		first, then := at(p.first), at(p.then)
		if first >= 0 && then >= 0 && first > then && (p.matters == nil || p.matters(g)) {
			g.find(p.code, fmt.Sprintf("%s comes before %s.", capital(stepNames[p.then]), stepNames[p.first]), nil)
		}
	}
	implied := g.impliedSteps()
	for _, step := range steps {
		switch because, needed := implied[step]; {
		case needed && at(step) < 0:
			g.find("step-missing", fmt.Sprintf("%s is not among the steps, though %s.", capital(stepNames[step]), because), nil)
		case !needed && at(step) >= 0:
			g.find("step-for-nothing", fmt.Sprintf("%s is among the steps, but nothing in the plan asks for it.", capital(stepNames[step])), nil)
		}
	}
}

// impliedSteps are the steps that the scenario and the rest of the plan call for, with the reason.
func (g *grading) impliedSteps() map[Step]string {
	implied := map[Step]string{}
	for i, drawn := range g.result.Lesions {
		step := StepLeftAtrialLines
		switch {
		case drawn.Chamber == atrium.RightAtrium:
			step = StepRightAtrialLines
		case drawn.Closed:
			step = StepVeinIsolation
		}
		if _, given := implied[step]; !given {
			implied[step] = g.lesionName(i) + " is planned"
		}
		if block := g.plan.Lesions[i].Block; block != "" && block != atrium.NotTested {
			implied[StepBlockTest] = "block is to be tested"
		}
	}
	op, appendage := g.scenario.Operation, g.plan.LeftAppendage
	add := func(step Step, because string, holds bool) {
		if holds {
			implied[step] = because
		}
	}
	add(StepPrimaryOperation, "it is what the patient comes for", op.Primary != "stand-alone")
	add(StepArrest, "the left atrium is opened", op.LeftAtriumOpened || g.opensLeftAtrium() || g.valveOperation())
	add(StepClearClot, "there is clot to clear", g.hasClot() && g.clearsClot())
	add(StepAppendage, "the appendage is to be closed", appendage.State != atrium.AppendageKept)
	add(StepClosureCheck, "closure is to be judged by echo", appendage.State != atrium.AppendageKept && appendage.FlowCheck)
	add(StepPacingWires, "wires are to be left", g.plan.PacingWires == WiresBoth || g.plan.PacingWires == WiresVentricular)
	return implied
}

// opensLeftAtrium reports whether a lesion is made inside the left atrium.
func (g *grading) opensLeftAtrium() bool {
	for i := range g.result.Lesions {
		if g.needsOpening(i) && !g.outOfReach(i) {
			return true
		}
	}
	return false
}

// valveOperation reports whether the main operation is on a valve, which takes a still heart.
func (g *grading) valveOperation() bool {
	return g.scenario.Operation.OnBypass && (strings.HasPrefix(g.scenario.Operation.Primary, "mitral") || strings.HasPrefix(g.scenario.Operation.Primary, "aortic-valve"))
}

// mitralLineAtValve reports whether a line ends at a mitral annulus that the main operation then covers with a ring or a prosthesis.
func (g *grading) mitralLineAtValve() bool {
	return strings.HasPrefix(g.scenario.Operation.Primary, "mitral") && g.opensLeftAtrium()
}

func (g *grading) hasClot() bool { return g.scenario.Patient.ThrombusOnImaging }

// clearsClot reports whether the plan clears clot first: it says so, or, where steps are asked for, has the step. Clearing it needs the
// left atrium open.
func (g *grading) clearsClot() bool {
	listed := g.scenario.asked(AskSteps) && slices.Contains(g.plan.Steps, StepClearClot)
	return g.scenario.Operation.LeftAtriumOpened && (g.plan.LeftAppendage.ClotFirst || listed)
}

// stepNames are the steps in words.
var stepNames = map[Step]string{
	StepVeinIsolation: "isolating the veins", StepBlockTest: "testing block", StepRightAtrialLines: "the right atrial lines",
	StepArrest: "clamp and arrest", StepClearClot: "clearing the clot", StepAppendage: "closing the appendage",
	StepLeftAtrialLines: "the left atrial lines", StepPrimaryOperation: "the main operation",
	StepClosureCheck: "checking that the appendage is closed", StepPacingWires: "placing pacing wires",
}
