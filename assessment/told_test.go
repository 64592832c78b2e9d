package assessment

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// around is an interval of ten points round a figure.
func around(figure float64) Range { return Range{max(0, figure-5), min(100, figure+5)} }

// TestToldAgainstFigures: telling a patient what was published is fair, whichever figure it is, and what only the best or no series had is
// not. The source stands beside each figure.
func TestToldAgainstFigures(t *testing.T) {
	tests := []struct {
		name      string
		scope     atrium.Scope
		sinus     float64
		pacemaker float64
		want      []string
	}{
		// Hanafy 2023, JCM 12:5716 (39 studies): sinus rhythm biatrial 77.9 %, left atrial 76.2 %, veins 66.5 %.
		// DeRose 2019, 10.1016/j.jacc.2019.02.062: pacemaker within a year none 7.7 %, veins 16.1 %, biatrial 25 %.
		{"biatrial, pooled", atrium.ScopeBiatrial, 77.9, 25, []string{"told-fair"}},
		{"left atrial, pooled", atrium.ScopeLeftAtrial, 76.2, 12, []string{"told-fair"}}, // 12 %: single centre 2004-14
		{"veins, pooled", atrium.ScopePulmonaryVeinIsolation, 66.5, 16.1, []string{"told-fair"}},
		// Front Cardiovasc Med 2025, 1655695: 77.2 % free from AF at 12.6 months after a closed box.
		{"box, clamped", atrium.ScopeBox, 77.2, 16.1, []string{"told-fair"}},
		// Gillinov 2015, NEJM 372:1399: 29.4 % without ablation.
		{"no ablation", atrium.ScopeNone, 29.4, 7.7, []string{"told-fair"}},
		// Khiabani 2020, 10.1016/j.jtcvs.2020.04.100: 552 of 598 = 92.3 % at 1 year, one experienced centre: no universal expectation.
		{"biatrial, the best series", atrium.ScopeBiatrial, 92.3, 25, []string{"told-too-hopeful"}},
		// 2018, PMID 29946559: 52.3 % in an unselected series.
		{"biatrial, the worst series", atrium.ScopeBiatrial, 52.3, 25, []string{"told-too-gloomy"}},
		{"biatrial results after veins alone", atrium.ScopePulmonaryVeinIsolation, 77.9, 16.1, []string{"told-too-hopeful"}},
		// Pyo 2025, PMID 39481591 (as cited): 0.4 % before going home; a year is longer.
		{"no pacemaker to speak of", atrium.ScopeLeftAtrial, 76.2, 0.4, []string{"told-too-hopeful"}},
		{"a pacemaker for one in two", atrium.ScopeLeftAtrial, 76.2, 50, []string{"told-too-gloomy"}},
		{"both wrong", atrium.ScopeBiatrial, 99, 1, []string{"told-too-hopeful", "told-too-hopeful"}},
	}
	for _, tt := range tests {
		p := Plan{Ablate: &yes, Told: &Told{SinusRhythm: around(tt.sinus), Pacemaker: around(tt.pacemaker)}}
		g := judged(Scenario{}, p, atrium.Result{Scope: tt.scope})
		g.told()
		if diff := cmp.Diff(tt.want, g.codes()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
		for _, e := range g.entries {
			if len(e.Evidence) == 0 || !strings.Contains(e.What, "%") {
				t.Errorf("%s: %s without figures or unit", tt.name, e.What)
			}
		}
	}
}

// TestToldToWhom: what may be told depends on the patient.
func TestToldToWhom(t *testing.T) {
	fair := Told{SinusRhythm: Range{65, 80}, Pacemaker: Range{10, 25}}
	tests := []struct {
		name    string
		patient Patient
		pattern af.Pattern
		ablate  *bool
		told    *Told
		want    []string
	}{
		{"nothing", Patient{}, af.Persistent, &yes, nil, []string{"told-nothing"}},
		{"fair", Patient{}, af.Persistent, &yes, &fair, []string{"told-fair"}},
		{"so wide that it says nothing", Patient{}, af.Persistent, &yes, &Told{Range{10, 100}, Range{0, 60}}, []string{"told-too-wide", "told-too-wide"}},
		{"a sick sinus node asks for more warning", Patient{SinusNodeDisease: true}, af.Persistent, &yes, &Told{Range{65, 80}, Range{5, 15}}, []string{"told-too-hopeful"}},
		{"a pacemaker is there already", Patient{SinusNodeDisease: true, Pacemaker: true}, af.Persistent, &yes, &Told{Range{65, 80}, Range{0, 0}}, []string{"told-fair"}},
		{"a very large atrium", Patient{LeftAtriumMM: 64}, af.LongStandingPersistent, &yes, &Told{Range{75, 85}, Range{10, 25}}, []string{"told-too-hopeful"}},
		{"without ablation", Patient{}, af.Persistent, &no, &fair, []string{"told-too-gloomy", "told-too-hopeful"}},
		{"permanent", Patient{}, af.Permanent, &no, &Told{Range{0, 2}, Range{3, 10}}, []string{"told-fair"}},
		{"permanent, with hope", Patient{}, af.Permanent, &no, &Told{Range{20, 40}, Range{3, 10}}, []string{"told-too-hopeful"}},
	}
	for _, tt := range tests {
		g := judged(Scenario{Patient: tt.patient}, Plan{Ablate: tt.ablate, Told: tt.told}, atrium.Result{Scope: atrium.ScopeBiatrial})
		g.pattern.Pattern = tt.pattern
		g.told()
		if diff := cmp.Diff(tt.want, g.codes()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

// TestTellingMore: promising more of a good thing never becomes gloomier, and more of a bad one never more hopeful.
func TestTellingMore(t *testing.T) {
	level := func(told, expected Range, sign int) int {
		g := judged(Scenario{}, Plan{}, atrium.Result{})
		g.interval("It", told, expected, 100, sign)
		switch {
		case len(g.entries) == 0:
			return 0
		case g.entries[0].Code == "told-too-hopeful":
			return 1
		}
		return -1
	}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string) Range {
			low := rapid.IntRange(0, 100).Draw(t, name+" low")
			return Range{float64(low), float64(rapid.IntRange(low, 100).Draw(t, name+" high"))}
		}
		told, expected := draw("told"), draw("expected")
		more := Range{told.Low, min(100, told.High+float64(rapid.IntRange(0, 40).Draw(t, "more")))}
		if level(more, expected, 1) < level(told, expected, 1) || level(more, expected, -1) > level(told, expected, -1) {
			t.Fatalf("told %s, then %s against %s", told, more, expected)
		}
	})
}

func TestWires(t *testing.T) {
	left, leftDrawn := lines(atrium.LeftPulmonaryVeinIsolation)
	right, rightDrawn := lines(atrium.LeftPulmonaryVeinIsolation, atrium.IntercavalLine)
	sick, paced := Patient{SinusNodeDisease: true}, Patient{SinusNodeDisease: true, Pacemaker: true}
	tests := []struct {
		name     string
		patient  Patient
		onBypass bool
		plan     Plan
		drawn    atrium.Result
		wires    PacingWires
		want     []string
	}{
		{"right lines, both", Patient{}, true, right, rightDrawn, WiresBoth, nil},
		{"right lines, none", Patient{}, true, right, rightDrawn, WiresNone, []string{"pacing-wires-none"}},
		{"right lines, ventricle only", Patient{}, true, right, rightDrawn, WiresVentricular, []string{"pacing-wires-few"}},
		{"sick node, left lines, none", sick, true, left, leftDrawn, WiresNone, []string{"pacing-wires-none"}},
		{"sick node, left lines, ventricle only", sick, false, left, leftDrawn, WiresVentricular, []string{"pacing-wires-few"}},
		{"sick node with a pacemaker, none", paced, true, right, rightDrawn, WiresNone, nil},
		{"left lines, ventricle only", Patient{}, true, left, leftDrawn, WiresVentricular, nil},
		{"left lines on bypass, none", Patient{}, true, left, leftDrawn, WiresNone, []string{"pacing-wires-few"}},
		{"left lines through ports, none", Patient{}, false, left, leftDrawn, WiresNone, nil},
		{"not said", Patient{}, true, left, leftDrawn, "", []string{"pacing-wires-not-said"}},
		{"no ablation, none", Patient{}, true, Plan{Ablate: &no}, atrium.Result{}, WiresNone, nil},
		{"AF left to go on, both", Patient{}, true, Plan{Ablate: &no}, atrium.Result{}, WiresBoth, []string{"pacing-wire-needless"}},
	}
	for _, tt := range tests {
		tt.plan.PacingWires = tt.wires
		g := judged(Scenario{Patient: tt.patient, Operation: Operation{OnBypass: tt.onBypass}}, tt.plan, tt.drawn)
		g.pattern.Pattern = af.Permanent
		g.wires()
		if diff := cmp.Diff(tt.want, g.codes()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}
