package assessment_test

import (
	"slices"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
)

// omissionOf are the omissions a finding is a sign of; a plan that must raise the finding has made one of them.
var omissionOf = map[string][]assessment.OmissionID{
	"tricuspid-circuit":        {assessment.RightAtriumLeftOut},
	"caval-circuit":            {assessment.RightAtriumLeftOut},
	"free-wall-uncut":          {assessment.RightAtriumLeftOut},
	"posterior-wall-connected": {assessment.IsolationWithoutBox, assessment.RoofOrFloorMissing},
	"coronary-sinus-left":      {assessment.MitralWithoutSinus},
	"appendage-stump-circuit":  {assessment.AppendageWithoutLine},
	"single-clamp-application": {assessment.SingleClamp},
	"block-not-tested":         {assessment.BlockUntested},
	"near-sinus-node":          {assessment.SinusNodeNear},
	"thrombus-handled":         {assessment.ClotHandled},
}

// TestOmissionsOfThePack: no expert's plan makes an omission; every flawed plan has made those that its codes say, and each omission is
// made by some plan of the pack.
func TestOmissionsOfThePack(t *testing.T) {
	seen := map[assessment.OmissionID]int{}
	for _, s := range pack.Scenarios() {
		for _, answer := range s.Expert {
			for _, o := range assessment.Omissions(s, gradeOn(t, coarse(), s, answer.Plan), answer.Plan) {
				if o.Made {
					t.Errorf("%s, expert %q: %s", s.ID, answer.Title, o.ID)
				}
			}
		}
		for _, answer := range s.Flawed {
			made := omissionsMade(assessment.Omissions(s, gradeOn(t, coarse(), s, answer.Plan), answer.Plan))
			for _, id := range made {
				seen[id]++
			}
			for _, code := range answer.Codes {
				signs := omissionOf[code]
				if len(signs) > 0 && !slices.ContainsFunc(signs, func(id assessment.OmissionID) bool { return slices.Contains(made, id) }) {
					t.Errorf("%s, %q raises %s and made %v", s.ID, answer.Title, code, made)
				}
			}
			if slices.Contains(answer.Codes, "gap") && slices.Contains(answer.Codes, "perimitral-circuit") && !slices.Contains(made, assessment.MitralLineShort) {
				t.Errorf("%s, %q is short of the annulus and made %v", s.ID, answer.Title, made)
			}
		}
	}
	for _, o := range assessment.OmissionNames() {
		t.Logf("%-32s made by %d flawed plans", o.ID, seen[o.ID])
		if seen[o.ID] == 0 {
			t.Errorf("no flawed plan makes %s", o.ID)
		}
	}
}

func omissionsMade(list []assessment.Omission) []assessment.OmissionID {
	var made []assessment.OmissionID
	for _, o := range list {
		if o.Made {
			made = append(made, o.ID)
		}
	}
	return made
}

// TestOmissions takes an expert's plan and leaves one thing out at a time.
func TestOmissions(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	expert := s.Expert[0].Plan
	each := func(change func(*atrium.Lesion)) assessment.Plan {
		p := expert
		p.Lesions = slices.Clone(expert.Lesions)
		for i := range p.Lesions {
			change(&p.Lesions[i])
		}
		return p
	}
	no := false
	declined := assessment.Plan{Ablate: &no, Reason: assessment.RiskTooHigh, LeftAppendage: expert.LeftAppendage}
	for _, c := range []struct {
		name string
		plan assessment.Plan
		want []assessment.OmissionID
	}{
		{"nothing left out", expert, nil},
		{"an isthmus line alone on the right", isthmusAlone(expert), []assessment.OmissionID{assessment.RightAtriumLeftOut}},
		{"roof missing", without(expert, atrium.RoofLine), []assessment.OmissionID{assessment.RoofOrFloorMissing}},
		{"no coronary sinus lesion", without(expert, atrium.CoronarySinusLesion), []assessment.OmissionID{assessment.MitralWithoutSinus}},
		{"no line to the stump", without(expert, atrium.LeftAppendageLine), []assessment.OmissionID{assessment.AppendageWithoutLine}},
		{"veins alone", without(expert, atrium.RoofLine, atrium.FloorLine, atrium.MitralIsthmusLine, atrium.CoronarySinusLesion),
			[]assessment.OmissionID{assessment.IsolationWithoutBox}},
		{"one application", each(func(l *atrium.Lesion) { l.Applications = 1 }), []assessment.OmissionID{assessment.SingleClamp}},
		{"one side untested", each(func(l *atrium.Lesion) {
			if l.Name == atrium.LeftPulmonaryVeinIsolation {
				l.Block = ""
			}
		}), []assessment.OmissionID{assessment.BlockUntested}},
		{"no ablation", declined, nil},
	} {
		if got := omissionsMade(assessment.Omissions(s, grade(t, s, c.plan), c.plan)); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	for _, o := range assessment.Omissions(s, grade(t, s, declined), declined) {
		if o.Asked {
			t.Errorf("without ablation %s is asked", o.ID)
		}
	}
}

// isthmusAlone replaces the right atrial lines by the isthmus line.
func isthmusAlone(p assessment.Plan) assessment.Plan {
	p = without(p, atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine)
	p.Lesions = append(p.Lesions, atrium.Lesion{Name: atrium.CavotricuspidIsthmusLine, Energy: atrium.Cryo})
	return p
}
