package assessment_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
)

// compared compares two plans for a scenario.
func compared(t fataler, s assessment.Scenario, yours, theirs assessment.Plan) []assessment.Difference {
	y, x := gradeOn(t, coarse(), s, yours), gradeOn(t, coarse(), s, theirs)
	return assessment.Compare(s, yours, theirs, y.Result, x.Result)
}

// everyPlan is all plans of a scenario, the experts' first.
func everyPlan(s assessment.Scenario) []assessment.Plan {
	var plans []assessment.Plan
	for _, a := range s.Expert {
		plans = append(plans, a.Plan)
	}
	for _, a := range s.Flawed {
		plans = append(plans, a.Plan)
	}
	return plans
}

// TestCompareMirrors: over the whole pack a plan differs in nothing from itself, and swapping two plans swaps the two sides and nothing
// else. Every difference says what it means.
func TestCompareMirrors(t *testing.T) {
	for _, s := range pack.Scenarios() {
		t.Run(string(s.ID), func(t *testing.T) {
			t.Parallel()
			expert := s.Expert[0].Plan
			x := gradeOn(t, coarse(), s, expert).Result
			for _, plan := range everyPlan(s) {
				y := gradeOn(t, coarse(), s, plan).Result
				if same := assessment.Compare(s, plan, plan, y, y); len(same) != 0 {
					t.Errorf("a plan differs from itself: %+v", same)
				}
				there, back := assessment.Compare(s, plan, expert, y, x), assessment.Compare(s, expert, plan, x, y)
				if diff := cmp.Diff(there, mirrored(back)); diff != "" {
					t.Errorf("swapped (-there +back):\n%s", diff)
				}
				for _, d := range there {
					if d.Topic == "" || d.About == "" || d.Yours == "" || d.Theirs == "" || !strings.HasSuffix(strings.TrimSpace(d.Means), ".") {
						t.Errorf("incomplete: %+v", d)
					}
				}
			}
		})
	}
}

func mirrored(list []assessment.Difference) []assessment.Difference {
	swapped := make([]assessment.Difference, len(list))
	for i, d := range list {
		d.Yours, d.Theirs, d.Place, d.TheirPlace = d.Theirs, d.Yours, d.TheirPlace, d.Place
		swapped[i] = d
	}
	return swapped
}

// TestCompareAnyPlan: whatever is drawn, a plan differs in nothing from itself, however its lesions are put in order, and comparing
// mirrors.
func TestCompareAnyPlan(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	expert := s.Expert[0].Plan
	x := gradeOn(t, coarse(), s, expert).Result
	rapid.Check(t, func(t *rapid.T) {
		plan := expert
		plan.Lesions = nil
		for range rapid.IntRange(1, 6).Draw(t, "lesions") {
			plan.Lesions = append(plan.Lesions, drawnLesion(t))
		}
		y := gradeOn(t, coarse(), s, plan).Result
		if same := assessment.Compare(s, plan, plan, y, y); len(same) != 0 {
			t.Fatal(fmt.Sprintf("differs from itself: %+v", same))
		}
		back := mirrored(assessment.Compare(s, expert, plan, x, y))
		if diff := cmp.Diff(assessment.Compare(s, plan, expert, y, x), back); diff != "" {
			t.Fatal("swapped:\n" + diff)
		}
	})
}

// drawnLesion is a lesion of the catalogue, or its path drawn by hand and shifted.
func drawnLesion(t *rapid.T) atrium.Lesion {
	known := rapid.SampledFrom(atrium.Catalogue()).Draw(t, "lesion")
	energy := rapid.SampledFrom([]atrium.Energy{atrium.Cryo, atrium.BipolarRF, atrium.UnipolarRF}).Draw(t, "energy")
	if rapid.Bool().Draw(t, "named") {
		return atrium.Lesion{Name: known.ID, Energy: energy}
	}
	shift := rapid.Float64Range(-0.3, 0.3).Draw(t, "shift")
	path := slices.Clone(known.Path)
	for i := range path {
		path[i][0] += shift
	}
	return atrium.Lesion{Chamber: known.Chamber, Path: path, Closed: known.Closed, Energy: energy}
}

// TestCompare holds what a surgeon must find in the list, for flaws of the pack against the expert's plan.
func TestCompare(t *testing.T) {
	for _, c := range []struct {
		scenario assessment.ScenarioID
		flawed   int
		topic    assessment.Topic
		about    string
		yours    string
		theirs   string
		means    string // part of it
	}{
		{"persistent-mitral-repair", 0, assessment.TopicScope, "Scope reached", "a left atrial set", "a biatrial set", "in either atrium"},
		{"persistent-mitral-repair", 0, assessment.TopicLesion, "Line between the cavae", "not made", "bipolar radiofrequency, 2 applications, block not tested", "Without it a circuit round the two cavae stays open."},
		{"persistent-mitral-repair", 0, assessment.TopicEffect, "A circuit round the tricuspid annulus", "133 mm, long enough to hold a wave", "closed", "typical flutter"},
		{"persistent-mitral-repair", 0, assessment.TopicMeasure, "All lesions together", "335 mm", "458 mm", "time on the arrested heart"},
		{"persistent-mitral-repair", 1, assessment.TopicLesion, "Mitral isthmus line", "not made", "cryothermy, 1 application, block not tested", "Without it a circuit round the mitral annulus stays open."},
		{"persistent-mitral-repair", 1, assessment.TopicMeasure, "Delay of the left atrium in sinus rhythm", "0 ms", "44 ms", "late"},
		{"persistent-mitral-repair", 2, assessment.TopicLesion, "Coronary sinus lesion", "not made", "cryothermy, 1 application, block not tested", "coronary sinus still carries a circuit"},
		{"long-standing-huge-atrium", 2, assessment.TopicLesion, "Ends of the mitral isthmus line", "1 open end, 10.5 mm from the nearest boundary (mitral annulus)", "joined at its ends", "lengthens"},
		{"long-standing-huge-atrium", 0, assessment.TopicEffect, "Wall between the veins", "connected", "isolated", "Three sides"},
		{"paroxysmal-two-valves", 3, assessment.TopicMeasure, "Nearest to the sinus node", "2.3 mm", "nothing that could harm it", "sinus node"},
	} {
		s := scenario(t, c.scenario)
		yours, theirs := s.Flawed[c.flawed].Plan, s.Expert[0].Plan
		list := assessment.Compare(s, yours, theirs, grade(t, s, yours).Result, grade(t, s, theirs).Result)
		i := slices.IndexFunc(list, func(d assessment.Difference) bool { return d.Topic == c.topic && d.About == c.about })
		if i < 0 {
			t.Errorf("%s, flaw %d: nothing about %q in\n%s", c.scenario, c.flawed, c.about, listed(list))
			continue
		}
		if d := list[i]; d.Yours != c.yours || d.Theirs != c.theirs || !strings.Contains(d.Means, c.means) {
			t.Errorf("%s, flaw %d: %+v, want %q, %q, %q", c.scenario, c.flawed, d, c.yours, c.theirs, c.means)
		}
	}
}

func listed(list []assessment.Difference) string {
	var b strings.Builder
	for _, d := range list {
		fmt.Fprintf(&b, "%-10s %s | %s | %s | %s\n", d.Topic, d.About, d.Yours, d.Theirs, d.Means)
	}
	return b.String()
}

// TestCompareMatchesByEffect: a line drawn by hand that joins what the roof line joins is that line, made otherwise.
func TestCompareMatchesByEffect(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	theirs := s.Expert[0].Plan
	yours := theirs
	yours.Lesions = slices.Clone(theirs.Lesions)
	for i, l := range yours.Lesions {
		if l.Name != atrium.RoofLine {
			continue
		}
		known := atrium.Catalogue()[2]
		yours.Lesions[i] = atrium.Lesion{Chamber: known.Chamber, Path: known.Path, Energy: atrium.BipolarRF, Applications: 1}
	}
	list := compared(t, s, yours, theirs)
	if len(list) != 1 || list[0].Topic != assessment.TopicDelivery || list[0].About != "Roof line: energy" || list[0].Place == nil || list[0].Place.Lesion == nil {
		t.Errorf("differences:\n%s", listed(list))
	}
}

// TestCompareDecisions: every decision a scenario can ask for is compared, and none that it does not ask for.
func TestCompareDecisions(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	s.Asks = []assessment.Ask{assessment.AskAppendage, assessment.AskAftercare, assessment.AskSteps, assessment.AskPacing, assessment.AskTold}
	theirs := s.Expert[0].Plan
	theirs.Steps = []assessment.Step{assessment.StepVeinIsolation, assessment.StepBlockTest, assessment.StepArrest}
	theirs.PacingWires = assessment.WiresBoth
	theirs.Told = &assessment.Told{SinusRhythm: assessment.Range{Low: 60, High: 80}, Pacemaker: assessment.Range{Low: 5, High: 15}}
	yours := theirs
	yours.LeftAppendage = assessment.Appendage{State: atrium.AppendageKept}
	yours.Aftercare = nil
	yours.Steps = []assessment.Step{assessment.StepArrest, assessment.StepVeinIsolation}
	yours.PacingWires = assessment.WiresNone
	yours.Told = &assessment.Told{SinusRhythm: assessment.Range{Low: 90, High: 100}, Pacemaker: assessment.Range{Low: 5, High: 15}}
	want := []string{
		"appendage | Left appendage | kept | excised",
		"steps | Order of the steps | arrest, vein isolation | vein isolation, block test, arrest",
		"pacing | Pacing wires left | none | atrial and ventricular",
		"told | Told: sinus rhythm at 12 months | 90 to 100 % | 60 to 80 %",
		"aftercare | Anticoagulation | at least 0 months | at least 3 months",
		"aftercare | Anticoagulation afterwards | not said | then by stroke risk",
		"aftercare | Rhythm recording | no recording | 24 hours at months 3, 6, 12",
	}
	var got []string
	list := compared(t, s, yours, theirs)
	for _, d := range list {
		got = append(got, fmt.Sprintf("%s | %s | %s | %s", d.Topic, d.About, d.Yours, d.Theirs))
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if i := slices.IndexFunc(list, func(d assessment.Difference) bool { return d.Topic == assessment.TopicSteps }); !strings.Contains(list[i].Means, "vein isolation and arrest in opposite order") {
		t.Errorf("steps: %s", list[i].Means)
	}
	s.Asks = nil
	if list := compared(t, s, yours, theirs); len(list) != 0 {
		t.Errorf("nothing is asked for, and yet:\n%s", listed(list))
	}
}

// TestCompareOneSided: where only one plan ablates, its lesions are told in one line.
func TestCompareOneSided(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	no := false
	theirs := s.Expert[0].Plan
	yours := theirs
	yours.Ablate, yours.Reason, yours.Lesions = &no, assessment.RiskTooHigh, nil
	list := compared(t, s, yours, theirs)
	if list[0].Yours != "no ablation: the risk is too high" || list[0].Theirs != "ablate" {
		t.Errorf("first: %+v", list[0])
	}
	if n := len(slices.DeleteFunc(slices.Clone(list), func(d assessment.Difference) bool { return d.Topic != assessment.TopicLesion })); n != 1 {
		t.Errorf("%d differences about lesions, want 1:\n%s", n, listed(list))
	}
	if _, err := json.Marshal(list); err != nil {
		t.Error(err)
	}
}
