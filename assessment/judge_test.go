package assessment

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"isthmus/assessment/atrium"
)

// judged is a grading of a plan on a given conduction result, so that the parts can be tried without the model.
func judged(s Scenario, p Plan, r atrium.Result) *grading {
	s.Asks = asks
	return &grading{ledger: ledger{policy: DefaultPolicy()}, scenario: s, plan: p, result: r}
}

func (g *grading) codes() []string {
	var list []string
	for _, e := range g.entries {
		list = append(list, e.Code)
	}
	slices.Sort(list)
	return list
}

var yes, no = true, false

func TestClot(t *testing.T) {
	tests := []struct {
		name     string
		clot     bool
		opened   bool
		ablate   *bool
		plan     Appendage
		want     []string
		critical bool
	}{
		{"no clot", false, true, &yes, Appendage{State: "excised"}, nil, false},
		{"handled", true, true, &yes, Appendage{State: "excised"}, []string{"thrombus-handled"}, true},
		{"cleared first", true, true, &yes, Appendage{State: "excised", ClotFirst: true}, nil, false},
		{"cleared first, behind closed walls", true, false, &no, Appendage{State: "excluded", ClotFirst: true}, []string{"thrombus-handled"}, true},
		{"hands off, no ablation", true, false, &no, Appendage{State: "kept"}, nil, false},
		{"hands off, but ablated", true, true, &yes, Appendage{State: "kept"}, []string{"thrombus-left-in-place"}, true},
	}
	for _, tt := range tests {
		g := judged(Scenario{Patient: Patient{ThrombusOnImaging: tt.clot}, Operation: Operation{LeftAtriumOpened: tt.opened}}, Plan{Ablate: tt.ablate, LeftAppendage: tt.plan}, atrium.Result{})
		g.clot()
		if diff := cmp.Diff(tt.want, g.codes()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
		if len(g.entries) > 0 && (g.entries[0].Severity == Critical) != tt.critical {
			t.Errorf("%s: %s", tt.name, g.entries[0].Severity)
		}
	}
}

func TestAftercare(t *testing.T) {
	good := Aftercare{AnticoagulationMonths: 3, AnticoagulationThen: byStrokeRisk, MonitoringMonths: []int{3, 6, 12}, MonitoringHours: 24}
	with := func(change func(*Aftercare)) *Aftercare {
		changed := good
		change(&changed)
		return &changed
	}
	closed := Appendage{State: "excised", Method: "excision-and-suture", FlowCheck: true}
	tests := []struct {
		name      string
		ablate    *bool
		appendage Appendage
		after     *Aftercare
		want      []string
	}{
		{"all right", &yes, closed, &good, nil},
		{"nothing said", &yes, closed, nil, []string{"anticoagulation-short", "anticoagulation-stopped", "monitoring-short"}},
		{"a month missing", &yes, closed, with(func(a *Aftercare) { a.MonitoringMonths = []int{3, 12} }), []string{"monitoring-short"}},
		{"more months", &yes, closed, with(func(a *Aftercare) { a.MonitoringMonths = []int{1, 3, 6, 12, 24} }), nil},
		{"too few hours", &yes, closed, with(func(a *Aftercare) { a.MonitoringHours = 12 }), []string{"monitoring-short"}},
		{"no ablation, no success to monitor", &no, closed, with(func(a *Aftercare) { a.MonitoringMonths, a.MonitoringHours = nil, 0 }), nil},
		{"two months", &yes, closed, with(func(a *Aftercare) { a.AnticoagulationMonths = 2 }), []string{"anticoagulation-short"}},
		{"sinus rhythm, so stop", &yes, closed, with(func(a *Aftercare) { a.AnticoagulationThen = "stop-if-sinus-rhythm" }), []string{"anticoagulation-stopped"}},
		{"appendage kept", &yes, Appendage{State: "kept"}, &good, []string{"appendage-left"}},
		{"not said how, not looked at", &yes, Appendage{State: "excluded"}, &good, []string{"appendage-closure-not-checked", "appendage-method-unnamed"}},
		// Kanderian 2008, JACC: excision 73 %, suture from inside 23 %, stapling 0 %.
		{"sutured from inside", &yes, Appendage{State: "excluded", Method: "internal-suture", FlowCheck: true}, &good, []string{"appendage-method-weak"}},
		{"stapled", &yes, Appendage{State: "excised", Method: "stapled-excision", FlowCheck: true}, &good, []string{"appendage-method-weak"}},
	}
	for _, tt := range tests {
		g := judged(Scenario{}, Plan{Ablate: tt.ablate, LeftAppendage: tt.appendage, Aftercare: tt.after}, atrium.Result{})
		g.leftAppendage()
		g.followUp()
		if diff := cmp.Diff(tt.want, g.codes()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

// TestNotAsked: what a scenario does not ask for is not judged.
func TestNotAsked(t *testing.T) {
	g := judged(Scenario{}, Plan{Ablate: &yes, LeftAppendage: Appendage{State: "kept"}}, atrium.Result{})
	g.scenario.Asks = []Ask{AskAblation}
	if g.aftercare(); len(g.entries) > 0 {
		t.Errorf("judged unasked: %v", g.codes())
	}
}

func TestBlockTests(t *testing.T) {
	left := atrium.DrawnLesion{Chamber: atrium.LeftAtrium, Closed: true, Path: []atrium.Vec{{-0.9, 0.3, 0.3}, {-0.4, 0.5, 0.8}, {-0.5, -0.4, 0.7}}}
	right := atrium.DrawnLesion{Chamber: atrium.LeftAtrium, Closed: true, Path: []atrium.Vec{{0.9, 0.3, 0.3}, {0.4, 0.5, 0.8}, {0.5, -0.4, 0.7}}}
	both := atrium.DrawnLesion{Chamber: atrium.LeftAtrium, Closed: true, Path: []atrium.Vec{{0.9, 0.3, 0.3}, {-0.9, 0.3, 0.3}, {-0.5, -0.4, 0.7}, {0.5, -0.4, 0.7}}}
	veins := []string{"left-superior", "left-inferior", "right-superior", "right-inferior"}
	tests := []struct {
		name     string
		drawn    []atrium.DrawnLesion
		tests    []atrium.BlockTest
		isolated []string
		want     []string
	}{
		{"both sides both ways", []atrium.DrawnLesion{left, right}, []atrium.BlockTest{"exit-and-entrance", "exit-and-entrance"}, veins, []string{"retest-after-20-minutes"}},
		{"one ring round all", []atrium.DrawnLesion{both}, []atrium.BlockTest{"bidirectional"}, veins, []string{"retest-after-20-minutes"}},
		{"one side one way", []atrium.DrawnLesion{left, right}, []atrium.BlockTest{"exit-and-entrance", "entrance"}, veins, []string{"block-tested-one-way"}},
		{"neither", []atrium.DrawnLesion{left, right}, []atrium.BlockTest{"", "not-tested"}, veins, []string{"block-not-tested", "block-not-tested"}},
		{"tested but not isolated", []atrium.DrawnLesion{left, right}, []atrium.BlockTest{"exit-and-entrance", "exit-and-entrance"}, veins[:2], []string{"block-not-tested"}},
	}
	for _, tt := range tests {
		p := Plan{Ablate: &yes}
		for _, test := range tt.tests {
			p.Lesions = append(p.Lesions, atrium.Lesion{Block: test})
		}
		g := judged(Scenario{}, p, atrium.Result{Lesions: tt.drawn, VeinsIsolated: tt.isolated})
		g.blockTests()
		if diff := cmp.Diff(tt.want, g.codes()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

// TestGaps: a gap that leaves a circuit open is charged with the circuit and not again; elsewhere it has its own small price.
func TestGaps(t *testing.T) {
	list := []atrium.Gap{{Lesion: 0, WidthMM: 6, Nearest: "mitral-annulus"}, {Lesion: 1, WidthMM: 9, Nearest: "left-inferior-vein"}, {Lesion: 1, WidthMM: 12, Nearest: "roof-line"}}
	for _, tt := range []struct {
		open, needed bool
		want         int
	}{{true, true, 0}, {false, true, 300}, {false, false, 0}} {
		g := judged(Scenario{}, Plan{Ablate: &yes, Lesions: make([]atrium.Lesion, 2)}, atrium.Result{})
		g.gaps(atrium.LeftAtrium, list, tt.open, tt.needed)
		sum := 0
		for _, e := range g.entries {
			sum += e.cost
		}
		if sum != tt.want || len(g.entries) != 3 {
			t.Errorf("open %t, needed %t: %d hundredths in %d findings, want %d", tt.open, tt.needed, sum, len(g.entries), tt.want)
		}
	}
}

// TestLesionNames: drawn lesions are numbered among themselves, as on the map, and say whose work they do.
func TestLesionNames(t *testing.T) {
	p := Plan{Ablate: &yes, Lesions: []atrium.Lesion{{}, {Name: atrium.FloorLine}, {}}}
	g := judged(Scenario{}, p, atrium.Result{Lesions: []atrium.DrawnLesion{{Recognised: atrium.RoofLine}, {Lesion: atrium.FloorLine}, {}}})
	for i, want := range []string{"drawn 1 (roof line)", "the floor line", "drawn 2"} {
		if got := g.lesionName(i); got != want {
			t.Errorf("lesion %d is called %q, want %q", i, got, want)
		}
	}
}
