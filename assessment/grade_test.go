package assessment_test

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
)

// fataler is what both testing.TB and rapid.T can do.
type fataler interface{ Fatal(args ...any) }

func grade(t fataler, s assessment.Scenario, p assessment.Plan) assessment.Grade {
	return gradeOn(t, atrium.Default(), s, p)
}

// coarse is the same model on a wider mesh, ten times as fast: what the properties below claim must hold on any mesh.
var coarse = sync.OnceValue(func() *atrium.Model { return atrium.New(12) })

func gradeOn(t fataler, m *atrium.Model, s assessment.Scenario, p assessment.Plan) assessment.Grade {
	g, err := assessment.GradePlan(m, s, p, assessment.DefaultPolicy())
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func scenario(t testing.TB, id assessment.ScenarioID) assessment.Scenario {
	t.Helper()
	s, ok := pack.Scenario(id)
	if !ok {
		t.Fatalf("no scenario %s", id)
	}
	return s
}

// without is a plan without some of its lesions.
func without(p assessment.Plan, names ...atrium.LesionID) assessment.Plan {
	p.Lesions = slices.DeleteFunc(slices.Clone(p.Lesions), func(l atrium.Lesion) bool { return slices.Contains(names, l.Name) })
	return p
}

// finding returns the first finding of a code.
func finding(g assessment.Grade, code string) (assessment.Finding, bool) {
	i := slices.IndexFunc(g.Findings, func(f assessment.Finding) bool { return f.Code == code })
	if i < 0 {
		return assessment.Finding{}, false
	}
	return g.Findings[i], true
}

func codes(g assessment.Grade) []string {
	list := make([]string, len(g.Findings))
	for i, f := range g.Findings {
		list[i] = f.Code
	}
	return list
}

// TestCheckValues holds the grading to published facts; the source stands beside each.
func TestCheckValues(t *testing.T) {
	closed := scenario(t, "paroxysmal-coronary-closed")
	veins := without(closed.Expert[0].Plan, atrium.RoofLine, atrium.FloorLine)
	mitral := scenario(t, "persistent-mitral-repair")
	full := mitral.Expert[0].Plan
	tests := []struct {
		name     string
		change   func(s *assessment.Scenario)
		scenario assessment.Scenario
		plan     assessment.Plan
		code     string
		want     bool
		says     string // in what, why, source or evidence
	}{
		// STS 2017, 10.1016/j.athoracsur.2016.10.076, class III: 46 mm, or more than moderate regurgitation, flagged; 44 mm with mild not.
		{"veins alone, 46 mm", func(s *assessment.Scenario) { s.Patient.LeftAtriumMM = 46 }, closed, veins, "veins-alone-large-atrium", true, "class III"},
		{"veins alone, severe regurgitation", func(s *assessment.Scenario) { s.Patient.MitralRegurgitation = "severe" }, closed, veins, "veins-alone-large-atrium", true, "STS 2017"},
		{"veins alone, 44 mm, mild", func(s *assessment.Scenario) { s.Patient.LeftAtriumMM = 44 }, closed, veins, "veins-alone-large-atrium", false, ""},
		// Nitta 2025, PMID 40061540 (as cited): 16 of 24 gap cases in the coronary sinus.
		{"mitral line without coronary sinus", nil, mitral, without(full, atrium.CoronarySinusLesion), "coronary-sinus-left", true, "16 of 24 gaps (66.7 %)"},
		{"mitral line with coronary sinus", nil, mitral, full, "coronary-sinus-left", false, ""},
		// Saint 2012, 10.1016/j.athoracsur.2011.12.028, and the logic of circuits: the box is closed on four sides or not at all.
		{"roof, no floor", nil, mitral, without(full, atrium.FloorLine), "posterior-wall-connected", true, "Saint 2012"},
		{"floor, no roof", nil, mitral, without(full, atrium.RoofLine), "posterior-wall-connected", true, "Three sides isolate nothing"},
		{"all four sides", nil, mitral, full, "posterior-wall-connected", false, ""},
		// PMC7669627: one application of the clamp 42 of 65, two 25 of 25.
		{"single application", nil, closed, single(veins), "single-clamp-application", true, "42 of 65"},
		{"two applications", nil, closed, veins, "single-clamp-application", false, ""},
		// DeRose 2019, 10.1016/j.jacc.2019.02.062, and Cappabianca 2019, 10.1111/jce.14117: shown with the scope, for and against.
		{"evidence against", nil, mitral, full, "scope-on-target", true, "does not exclude 1"},
		{"pacemaker", nil, mitral, full, "scope-on-target", true, "7.7 %, veins 16.1 %, biatrial 25 %"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := tt.scenario
			if tt.change != nil {
				tt.change(&s)
			}
			g := grade(t, s, tt.plan)
			found, ok := finding(g, tt.code)
			if ok != tt.want {
				t.Fatalf("finding %s: %t, want %t; findings %v", tt.code, ok, tt.want, codes(g))
			}
			text, _ := json.Marshal(found)
			if !strings.Contains(string(text), tt.says) {
				t.Errorf("finding does not say %q: %s", tt.says, text)
			}
		})
	}
}

// single is a plan whose clamp is applied once everywhere.
func single(p assessment.Plan) assessment.Plan {
	p.Lesions = slices.Clone(p.Lesions)
	for i := range p.Lesions {
		p.Lesions[i].Applications = 1
	}
	return p
}

// TestRightAtriumLeftOut: the commonest omission lands on B or B+, never A.
func TestRightAtriumLeftOut(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	g := grade(t, s, without(s.Expert[0].Plan, atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine))
	if g.Letter != "B" && g.Letter != "B+" || g.Cap != "B+" || g.Result.Scope != atrium.ScopeLeftAtrial {
		t.Errorf("letter %s, cap %s, scope %s; want B or B+, B+, left-atrial", g.Letter, g.Cap, g.Result.Scope)
	}
}

// TestGradeIsReproducible: the same input gives the same bytes, and the grade names all it rests on.
func TestGradeIsReproducible(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	first, err := json.Marshal(grade(t, s, s.Flawed[0].Plan))
	if err != nil {
		t.Fatal(err)
	}
	second, err := json.Marshal(grade(t, s, s.Flawed[0].Plan))
	if err != nil || !bytes.Equal(first, second) {
		t.Errorf("the same plan gives other bytes (%v)", err)
	}
	g := grade(t, s, s.Flawed[0].Plan)
	if g.Scenario != s.ID || g.ScenarioVersion != 1 || g.Policy != "default" || g.PolicyVersion != 2 || g.Model == "" || g.Caution != assessment.Caution {
		t.Errorf("the grade does not say what it rests on: %s %d, %s %d, model %q", g.Scenario, g.ScenarioVersion, g.Policy, g.PolicyVersion, g.Model)
	}
}

func TestGradeRefusesInvalidPlans(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	if _, err := assessment.GradePlan(atrium.Default(), s, assessment.Plan{}, assessment.DefaultPolicy()); err == nil {
		t.Error("a plan without a decision is graded")
	}
	s.Patient.AF.Ends = "by-itself"
	if _, err := assessment.GradePlan(atrium.Default(), s, s.Expert[0].Plan, assessment.DefaultPolicy()); err == nil || !strings.Contains(err.Error(), "patient.af.ends") {
		t.Errorf("a contradictory history is graded: %v", err)
	}
}

// TestAlternatives: a scope faculty accept on a scenario counts as the target.
func TestAlternatives(t *testing.T) {
	s := scenario(t, "persistent-mitral-repair")
	left := without(s.Expert[0].Plan, atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine)
	s.Alternative = []assessment.Defensible{{Scope: "left-atrial", Why: "she refuses any risk of a pacemaker"}}
	g := grade(t, s, left)
	if found, ok := finding(g, "scope-accepted"); !ok || !strings.Contains(found.What, "refuses") || g.Cap != "" || g.Letter.Rank() < assessment.Letter("A").Rank() {
		t.Errorf("letter %s, cap %q, findings %v", g.Letter, g.Cap, codes(g))
	}
}

// TestOrderOfLesions: the order in which a plan lists its lesions makes no difference.
func TestOrderOfLesions(t *testing.T) {
	plans, asListed := answers(), map[int]assessment.Grade{}
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.IntRange(0, len(plans)-1).Draw(t, "answer")
		a := plans[i]
		want, known := asListed[i]
		if !known {
			want = gradeOn(t, coarse(), a.scenario, a.plan)
			asListed[i] = want
		}
		a.plan.Lesions = rapid.Permutation(a.plan.Lesions).Draw(t, "order")
		if got := gradeOn(t, coarse(), a.scenario, a.plan); got.Score != want.Score || got.Letter != want.Letter {
			t.Fatalf("%s: %v %s, in another order %v %s", a.scenario.ID, want.Score, want.Letter, got.Score, got.Letter)
		}
	})
}

// TestNeededLesions: adding a lesion of the expert's plan to a part of that plan never lowers the score, so removing one never raises it.
func TestNeededLesions(t *testing.T) {
	plans := answers()
	plans = slices.DeleteFunc(plans, func(a answer) bool { return !a.expert || len(a.plan.Lesions) < 2 })
	rapid.Check(t, func(t *rapid.T) {
		a := plans[rapid.IntRange(0, len(plans)-1).Draw(t, "expert")]
		order := rapid.Permutation(a.plan.Lesions).Draw(t, "order")
		n := rapid.IntRange(1, len(order)-1).Draw(t, "kept")
		smaller, larger := a.plan, a.plan
		smaller.Lesions, larger.Lesions = order[:n], order[:n+1]
		less, more := gradeOn(t, coarse(), a.scenario, smaller), gradeOn(t, coarse(), a.scenario, larger)
		if more.Score < less.Score || more.Letter.Rank() < less.Letter.Rank() {
			t.Fatalf("%s: adding %s takes %v %s to %v %s\nbefore %v\nafter %v", a.scenario.ID, order[n].Name, less.Score, less.Letter, more.Score, more.Letter, codes(less), codes(more))
		}
	})
}

// TestPointsAddUp: on random plans, drawn lesions among them, 100 plus the points of the findings is the score exactly, and each part
// earned its weight less its findings; F and unsafe are the same thing; and what can be pointed at is.
func TestPointsAddUp(t *testing.T) {
	scenarios := pack.Scenarios()
	rapid.Check(t, func(t *rapid.T) {
		p := randomPlan(t)
		s := scenarios[rapid.IntRange(0, len(scenarios)-1).Draw(t, "scenario")]
		if rapid.Bool().Draw(t, "asks everything") {
			s.Asks = []assessment.Ask{assessment.AskAblation, assessment.AskLesionSet, assessment.AskAppendage, assessment.AskAftercare, assessment.AskSteps, assessment.AskPacing, assessment.AskTold}
		}
		g := gradeOn(t, coarse(), s, p)
		wantPlaces(t, p, g)
		sum := 0.0
		lost := map[assessment.Part]float64{}
		for _, f := range g.Findings {
			sum += math.Round(f.Points * 100)
			lost[f.Part] += math.Round(f.Points * 100)
		}
		if 100_00+sum != math.Round(g.Score*100) || g.Score < 0 {
			t.Fatalf("100 + %v hundredths is not the score %v", sum, g.Score)
		}
		for _, part := range g.Parts {
			if math.Round(part.Weight*100)+lost[part.Part] != math.Round(part.Earned*100) {
				t.Fatalf("part %s earned %v of %v with %v hundredths lost", part.Part, part.Earned, part.Weight, lost[part.Part])
			}
		}
		if g.Cap != "" && g.Letter.Rank() > g.Cap.Rank() || g.Unsafe != (g.Letter == "F") || g.Floor != "" && g.Letter != g.Floor {
			t.Fatalf("letter %s, cap %s, floor %s, unsafe %t", g.Letter, g.Cap, g.Floor, g.Unsafe)
		}
	})
}

// answer is a plan of the pack with its scenario.
type answer struct {
	scenario assessment.Scenario
	plan     assessment.Plan
	expert   bool
}

func answers() []answer {
	var list []answer
	for _, s := range pack.Scenarios() {
		for _, e := range s.Expert {
			list = append(list, answer{s, e.Plan, true})
		}
		for _, f := range s.Flawed {
			list = append(list, answer{s, f.Plan, false})
		}
	}
	return list
}

// randomPlan is any valid plan, whatever a scenario asks.
func randomPlan(t *rapid.T) assessment.Plan {
	yes := rapid.Bool().Draw(t, "ablate")
	p := assessment.Plan{Ablate: &yes, LeftAppendage: assessment.Appendage{
		State:     rapid.SampledFrom([]atrium.AppendageState{"kept", "excised", "excluded"}).Draw(t, "state"),
		ClotFirst: rapid.Bool().Draw(t, "clot first"),
	}}
	p.Steps = rapid.Permutation([]assessment.Step{"vein-isolation", "block-test", "right-atrial-lines", "arrest", "clear-clot", "appendage", "left-atrial-lines",
		"primary-operation", "closure-check", "pacing-wires"}).Draw(t, "steps")[:rapid.IntRange(0, 10).Draw(t, "steps given")]
	p.PacingWires = rapid.SampledFrom([]assessment.PacingWires{"", "atrial-and-ventricular", "ventricular-only", "none"}).Draw(t, "wires")
	if rapid.Bool().Draw(t, "told") {
		low := rapid.Float64Range(0, 100).Draw(t, "low")
		p.Told = &assessment.Told{SinusRhythm: assessment.Range{Low: low, High: 100}, Pacemaker: assessment.Range{Low: 0, High: low}}
	}
	if !yes {
		p.Reason = rapid.SampledFrom([]assessment.Reason{"rhythm-control-given-up", "thrombus", "emergency", "risk-too-high"}).Draw(t, "reason")
		return p
	}
	for range rapid.IntRange(1, 8).Draw(t, "lesions") {
		p.Lesions = append(p.Lesions, randomLesion(t))
	}
	return p
}

func randomLesion(t *rapid.T) atrium.Lesion {
	l := atrium.Lesion{
		Energy:       rapid.SampledFrom([]atrium.Energy{"", "bipolar-rf", "unipolar-rf", "cryo", "incision"}).Draw(t, "energy"),
		Applications: rapid.IntRange(0, 3).Draw(t, "applications"),
	}
	if rapid.IntRange(0, 3).Draw(t, "drawn") > 0 {
		l.Name = rapid.SampledFrom(atrium.Catalogue()).Draw(t, "lesion").ID
		return l
	}
	l.Chamber = rapid.SampledFrom([]atrium.Chamber{atrium.LeftAtrium, atrium.RightAtrium}).Draw(t, "chamber")
	for range rapid.IntRange(2, 5).Draw(t, "points") {
		l.Path = append(l.Path, atrium.Vec{direction(t), direction(t), direction(t)})
	}
	l.Closed = len(l.Path) > 2 && rapid.Bool().Draw(t, "closed")
	if l.Validate().Err() != nil { // equal or opposite points make no path
		l.Path = []atrium.Vec{{0.2, 0.6, 1}, {0.6, -0.3, 1}, {1, -0.7, 0.2}}
	}
	return l
}

// direction is one coordinate away from zero, so that no point is the centre.
func direction(t *rapid.T) float64 {
	return rapid.SampledFrom([]float64{-1, -0.7, -0.3, 0.2, 0.6, 1}).Draw(t, "coordinate")
}

func BenchmarkGradePlan(b *testing.B) {
	s := scenario(b, "persistent-mitral-repair")
	atrium.Default()
	for b.Loop() {
		grade(b, s, s.Expert[0].Plan)
	}
}
