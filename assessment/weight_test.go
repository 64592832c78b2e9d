package assessment_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
)

// TestWeights: one slip in an expert's plan, and the best letter that leaves. What each is worth is common practice, no source; that veins
// alone bring nothing in a large atrium is STS 2017, 10.1016/j.athoracsur.2016.10.076 (class III).
func TestWeights(t *testing.T) {
	open, sick, shut := scenario(t, "persistent-mitral-repair"), scenario(t, "persistent-valve-and-grafts-sick-node"), scenario(t, "paroxysmal-coronary-closed")
	permanent := scenario(t, "permanent-accepted")
	overNode := atrium.Lesion{Chamber: atrium.RightAtrium, Path: []atrium.Vec{{0.05, 0.92, 0.38}, {0.35, 0.85, 0.05}, {0.6, 0.5, 0.5}, {0.05, -0.86, 0.45}}, Energy: atrium.Cryo}
	decline := false
	tests := []struct {
		name     string
		scenario assessment.Scenario
		expert   int
		slip     func(*assessment.Plan)
		letter   assessment.Letter
		code     string
	}{
		{"no slip", open, 0, func(*assessment.Plan) {}, "A+", "scope-on-target"},
		{"line over the sinus node", open, 0, func(p *assessment.Plan) { p.Lesions = append(p.Lesions, overNode) }, "B", "near-sinus-node"},
		{"line over a sick sinus node", sick, 1, func(p *assessment.Plan) { p.Lesions = append(p.Lesions, overNode) }, "B-", "sick-sinus-node-at-risk"},
		{"appendage left open", open, 0, func(p *assessment.Plan) { p.LeftAppendage = assessment.Appendage{State: "kept"} }, "B+", "appendage-left"},
		{"appendage left open, the only decision", permanent, 0, func(p *assessment.Plan) { p.LeftAppendage = assessment.Appendage{State: "kept"} }, "B+", "appendage-left"},
		{"block not tested", open, 0, func(p *assessment.Plan) { p.Lesions = blockless(p.Lesions) }, "A-", "block-not-tested"},
		{"no line from the stump", open, 0, func(p *assessment.Plan) { *p = without(*p, atrium.LeftAppendageLine) }, "A-", "appendage-stump-circuit"},
		{"unipolar heat over the oesophagus", open, 0, func(p *assessment.Plan) { p.Lesions = burnt(p.Lesions, atrium.FloorLine) }, "C", "posterior-wall-heat"},
		{"anticoagulation stopped", open, 0, func(p *assessment.Plan) {
			after := *p.Aftercare
			after.AnticoagulationThen = "stop-if-sinus-rhythm"
			p.Aftercare = &after
		}, "B", "anticoagulation-stopped"},
		{"veins alone", open, 0, func(p *assessment.Plan) { p.Lesions = p.Lesions[:2] }, "D", "veins-alone-large-atrium"},
		{"no ablation where it is due", open, 0, func(p *assessment.Plan) { p.Ablate, p.Reason, p.Lesions = &decline, "risk-too-high", nil }, "D", "ablation-left-out"},
		{"right atrium left out", open, 0, func(p *assessment.Plan) {
			*p = without(*p, atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine)
		}, "B", "scope-at-minimum"},
		{"a line that cannot be made", shut, 0, func(p *assessment.Plan) {
			p.Lesions = append(slices.Clone(p.Lesions), atrium.Lesion{Name: atrium.MitralIsthmusLine, Energy: atrium.Cryo})
		}, "B+", "needs-open-atrium"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := tt.scenario.Expert[tt.expert].Plan
			p.Lesions = slices.Clone(p.Lesions)
			tt.slip(&p)
			g := grade(t, tt.scenario, p)
			if _, ok := finding(g, tt.code); !ok || g.Letter != tt.letter {
				t.Errorf("%s (%v, cap %s), want %s with %s; findings %v", g.Letter, g.Score, g.Cap, tt.letter, tt.code, codes(g))
			}
		})
	}
}

// blockless is a list of lesions whose block nobody tests.
func blockless(lesions []atrium.Lesion) []atrium.Lesion {
	for i := range lesions {
		lesions[i].Block = ""
	}
	return lesions
}

// burnt makes one lesion with unipolar radiofrequency.
func burnt(lesions []atrium.Lesion, name atrium.LesionID) []atrium.Lesion {
	for i := range lesions {
		if lesions[i].Name == name {
			lesions[i].Energy = atrium.UnipolarRF
		}
	}
	return lesions
}

// TestOutOfReach: a line that cannot be made through a closed left atrium is drawn and has no effect; what is found about the others keeps
// their places in the plan.
func TestOutOfReach(t *testing.T) {
	s := scenario(t, "paroxysmal-coronary-closed")
	s.Patient.LeftAtriumMM = 44
	p := s.Expert[0].Plan
	free := atrium.Lesion{Chamber: atrium.RightAtrium, Path: []atrium.Vec{{0.9, 0.2, 0.2}, {0.95, -0.1, 0.1}}, Energy: atrium.Cryo}
	mitral := atrium.Lesion{Name: atrium.MitralIsthmusLine, Energy: atrium.Cryo}
	p.Lesions = append([]atrium.Lesion{mitral}, append(slices.Clone(p.Lesions), free)...)
	g := grade(t, s, p)
	last := len(p.Lesions) - 1
	if len(g.Result.Lesions) != len(p.Lesions) || g.Result.Lesions[0].Lesion != atrium.MitralIsthmusLine || g.Result.Scope != atrium.ScopeBox {
		t.Fatalf("%d lesions, scope %s", len(g.Result.Lesions), g.Result.Scope)
	}
	if !slices.ContainsFunc(g.Result.LeftAtrium.Circuits, func(c atrium.Circuit) bool { return slices.Contains(c.Round, atrium.MitralAnnulus) }) {
		t.Error("no circuit is left round the mitral annulus: the line counts as made")
	}
	found, ok := finding(g, "needs-open-atrium")
	if !ok || *found.Place.Lesion != 0 || !strings.Contains(found.What, "counts as not made") {
		t.Errorf("findings %v, %s", codes(g), found.What)
	}
	if gap, ok := finding(g, "gap"); !ok || *gap.Place.Lesion != last || !strings.HasPrefix(gap.What, "Drawn 1") {
		t.Errorf("the free line is not lesion %d: %v, %s", last, codes(g), gap.What)
	}
	for _, h := range g.Result.Hazards {
		if h.Lesion < 0 || h.Lesion > last || g.Result.Lesions[h.Lesion].Lesion == atrium.MitralIsthmusLine {
			t.Errorf("hazard of lesion %d", h.Lesion)
		}
	}
}

// TestLeastAccepted: where faculty accept a box, whoever falls short of it is charged for the box, not for a biatrial set; and whoever goes
// beyond it is not worse off than with the box.
func TestLeastAccepted(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	s.Alternative = []assessment.Defensible{{Scope: "box", Why: "the rest comes later"}}
	full := s.Expert[0].Plan
	veins := grade(t, s, without(full, atrium.RoofLine, atrium.FloorLine, atrium.MitralIsthmusLine, atrium.CoronarySinusLesion, atrium.LeftAppendageLine, atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine))
	for _, code := range []string{"perimitral-circuit", "tricuspid-circuit", "free-wall-uncut"} {
		if _, ok := finding(veins, code); ok {
			t.Errorf("veins alone are charged for %s", code)
		}
	}
	if _, ok := finding(veins, "posterior-wall-connected"); !ok || veins.Letter.Rank() > assessment.Letter("C").Rank() {
		t.Errorf("veins alone: %s, %v", veins.Letter, codes(veins))
	}
	for _, less := range [][]atrium.LesionID{
		{atrium.MitralIsthmusLine, atrium.CoronarySinusLesion, atrium.LeftAppendageLine, atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine},
		{atrium.LeftAppendageLine, atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine},
		{atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine},
	} {
		if g := grade(t, s, without(full, less...)); g.Letter != "A+" {
			t.Errorf("without %v: %s, %v", less, g.Letter, codes(g))
		}
	}
}

// TestAcceptedFindings: a finding a scenario accepts is a remark with the reason, costs nothing and caps nothing; a critical one is none
// the kinder for being accepted.
func TestAcceptedFindings(t *testing.T) {
	plans := answers()
	rapid.Check(t, func(t *rapid.T) {
		a := plans[rapid.IntRange(0, len(plans)-1).Draw(t, "answer")]
		before := gradeOn(t, coarse(), a.scenario, a.plan)
		found := rapid.SampledFrom(before.Findings).Draw(t, "finding")
		s := a.scenario
		s.Alternative = append(slices.Clone(s.Alternative), assessment.Defensible{Finding: found.Code, Why: "said by faculty"})
		after := gradeOn(t, coarse(), s, a.plan)
		if found.Severity == assessment.Critical {
			if after.Letter != "F" || after.Score != before.Score {
				t.Fatalf("%s is accepted: %s", found.Code, after.Letter)
			}
			return
		}
		if after.Score < before.Score || after.Letter.Rank() < before.Letter.Rank() {
			t.Fatalf("%s, %s accepted: %v %s, before %v %s", s.ID, found.Code, after.Score, after.Letter, before.Score, before.Letter)
		}
		for _, f := range after.Findings {
			if f.Code == found.Code && (f.Severity != assessment.Remark || f.Points != 0 || !strings.Contains(f.What, "Accepted here: said by faculty")) {
				t.Fatalf("%s: %s, %v points: %s", f.Code, f.Severity, f.Points, f.What)
			}
		}
	})
}

// TestNotAskedNotGraded: a plan stored before steps, wires and what is told could be asked for gets the same grade as ever, and so does one
// that answers them unasked.
func TestNotAskedNotGraded(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	plain := s.Expert[0].Plan
	more := plain
	more.Steps = []assessment.Step{assessment.StepPacingWires, assessment.StepBlockTest}
	more.PacingWires = assessment.WiresNone
	more.Told = &assessment.Told{SinusRhythm: assessment.Range{Low: 0, High: 100}}
	first, err := json.Marshal(grade(t, s, plain))
	if err != nil {
		t.Fatal(err)
	}
	if second, err := json.Marshal(grade(t, s, more)); err != nil || !bytes.Equal(first, second) {
		t.Errorf("what is not asked for changes the grade (%v)", err)
	}
}
