package atrium

import (
	"math"
	"slices"
	"testing"
)

// The lesion sets of the topology table, each the one before with more.
var (
	bothVeinPairs = []LesionID{LeftPulmonaryVeinIsolation, RightPulmonaryVeinIsolation}
	closedBox     = append(slices.Clone(bothVeinPairs), RoofLine, FloorLine)
	boxAndMitral  = append(slices.Clone(closedBox), MitralIsthmusLine)
	withSinus     = append(slices.Clone(boxAndMitral), CoronarySinusLesion)
	leftSet       = append(slices.Clone(withSinus), LeftAppendageLine)
	withCavae     = append(slices.Clone(leftSet), IntercavalLine)
	biatrialSet   = append(slices.Clone(withCavae), FreeWallLine)
)

func setOf(appendage AppendageState, ids ...LesionID) LesionSet {
	set := LesionSet{Lesions: []Lesion{}, LeftAppendage: appendage}
	for _, id := range ids {
		set.Lesions = append(set.Lesions, Lesion{Name: id})
	}
	return set
}

// row is one line of the topology table. Lengths are of the circuits the table names, by chamber and obstacles.
type row struct {
	name        string
	set         LesionSet
	left, right int
	isolated    float64 // percent of the left atrium, whole numbers; -1 where the table is silent
	scope       Scope
	circuits    []wanted
}

type wanted struct {
	chamber Chamber
	round   []Obstacle
	mm      float64
	sinus   bool
}

var untouchedRight = []wanted{
	{RightAtrium, []Obstacle{CoronarySinusOstium}, 35, false}, {RightAtrium, []Obstacle{SuperiorVenaCava}, 65, false},
	{RightAtrium, []Obstacle{InferiorVenaCava}, 76, false}, {RightAtrium, []Obstacle{TricuspidAnnulus}, 133, false},
	{RightAtrium, []Obstacle{SuperiorVenaCava, InferiorVenaCava}, 149, false},
}

func leftAnd(right []wanted, left ...wanted) []wanted { return append(left, right...) }

// table holds the acceptance values of the project's design, made by an independent earlier program on the same geometry; the counts are
// also what Euler's formula gives by hand: a sphere with n holes has n-1 independent circuits, and the coronary sinus strip adds one.
var table = []row{
	{"none", setOf(""), 5, 3, 0, ScopeNone, leftAnd(untouchedRight,
		wanted{LeftAtrium, []Obstacle{LeftSuperiorVein}, 46.5, false}, wanted{LeftAtrium, []Obstacle{LeftInferiorVein}, 46.5, false},
		wanted{LeftAtrium, []Obstacle{RightSuperiorVein}, 46.5, false}, wanted{LeftAtrium, []Obstacle{RightInferiorVein}, 46.5, false},
		wanted{LeftAtrium, []Obstacle{RightSuperiorVein, RightInferiorVein}, 76, false}, wanted{LeftAtrium, []Obstacle{MitralAnnulus}, 123, false})},
	{"both vein pairs isolated", setOf("", bothVeinPairs...), 3, 3, 8, ScopePulmonaryVeinIsolation, leftAnd(untouchedRight,
		wanted{LeftAtrium, []Obstacle{LeftSuperiorVein, LeftInferiorVein}, 93, false},
		wanted{LeftAtrium, []Obstacle{RightSuperiorVein, RightInferiorVein}, 93, false}, wanted{LeftAtrium, []Obstacle{MitralAnnulus}, 123, false})},
	{"closed box", setOf("", closedBox...), 2, 3, 15, ScopeBox, leftAnd(untouchedRight, wanted{LeftAtrium, []Obstacle{MitralAnnulus}, 123, false})},
	{"box and mitral line, no coronary sinus lesion", setOf("", boxAndMitral...), 1, 3, 15, ScopeBox, leftAnd(untouchedRight,
		wanted{LeftAtrium, []Obstacle{MitralAnnulus}, 152, true})},
	{"box, mitral line and coronary sinus", setOf("", withSinus...), 0, 3, 15, ScopeLeftAtrial, untouchedRight},
	{"the same, appendage excised, no appendage line", setOf(AppendageExcised, withSinus...), 1, 3, 18, ScopeLeftAtrial, leftAnd(untouchedRight,
		wanted{LeftAtrium, []Obstacle{LeftAppendageStump}, 63, false})},
	{"left atrial set", setOf(AppendageExcised, leftSet...), 0, 3, 18, ScopeLeftAtrial, untouchedRight},
	{"left atrial set and line between the cavae", setOf(AppendageExcised, withCavae...), 0, 2, 18, ScopeLeftAtrial, []wanted{
		{RightAtrium, []Obstacle{TricuspidAnnulus}, 133, false}, {RightAtrium, []Obstacle{SuperiorVenaCava, InferiorVenaCava}, 149, false},
		{RightAtrium, []Obstacle{CoronarySinusOstium}, 35, false}}},
	{"biatrial set", setOf(AppendageExcised, biatrialSet...), 0, 1, 18, ScopeBiatrial, []wanted{{RightAtrium, []Obstacle{CoronarySinusOstium}, 35, false}}},
}

func TestTopologyTable(t *testing.T) {
	for _, row := range table {
		t.Run(row.name, func(t *testing.T) {
			r, err := Default().Conduct(row.set)
			if err != nil {
				t.Fatal(err)
			}
			if r.LeftAtrium.IndependentCircuits != row.left || r.RightAtrium.IndependentCircuits != row.right {
				t.Errorf("independent circuits = %d and %d, want %d and %d", r.LeftAtrium.IndependentCircuits, r.RightAtrium.IndependentCircuits, row.left, row.right)
			}
			if r.Scope != row.scope || !r.SinusToAVNode {
				t.Errorf("scope %s, sinus node to AV node %v; want %s, true", r.Scope, r.SinusToAVNode, row.scope)
			}
			if math.Abs(r.LeftAtrium.IsolatedPercent-row.isolated) > 1 || r.RightAtrium.IsolatedPercent != 0 {
				t.Errorf("isolated %v and %v %%, want about %v and 0", r.LeftAtrium.IsolatedPercent, r.RightAtrium.IsolatedPercent, row.isolated)
			}
			for _, want := range row.circuits {
				checkCircuit(t, r, want)
			}
			if len(r.LeftAtrium.Gaps)+len(r.RightAtrium.Gaps) > 0 {
				t.Errorf("gaps in standard paths: %v %v", r.LeftAtrium.Gaps, r.RightAtrium.Gaps)
			}
			if len(r.BetweenAtria) == 0 {
				t.Error("no loop over two bridges: those remain after every standard set")
			}
		})
	}
}

// checkCircuit looks for a circuit and compares its length within 10 %.
func checkCircuit(t *testing.T, r Result, want wanted) {
	t.Helper()
	circuits := r.LeftAtrium.Circuits
	if want.chamber == RightAtrium {
		circuits = r.RightAtrium.Circuits
	}
	for _, c := range circuits {
		if slices.Equal(c.Round, want.round) && c.ThroughCoronarySinus == want.sinus {
			if math.Abs(c.LengthMM-want.mm) > want.mm/10 {
				t.Errorf("circuit round %v is %.1f mm, want %.0f within 10 %%", want.round, c.LengthMM, want.mm)
			}
			return
		}
	}
	t.Errorf("no circuit round %v (through the coronary sinus: %v) among %d", want.round, want.sinus, len(circuits))
}

// TestTableAtEverySize: the lines join what they should on small and on large atria, so the counts hold there too.
func TestTableAtEverySize(t *testing.T) {
	for _, diameter := range []float64{25, 47.5, 58, 72, 90} {
		for _, row := range table {
			set := row.set
			set.LeftAtriumDiameterMM, set.RightAtriumDiameterMM = diameter, diameter
			r, err := Default().Conduct(set)
			if err != nil {
				t.Fatal(err)
			}
			if r.LeftAtrium.IndependentCircuits != row.left || r.RightAtrium.IndependentCircuits != row.right || !r.SinusToAVNode {
				t.Errorf("%s at %v mm: %d and %d circuits, want %d and %d", row.name, diameter, r.LeftAtrium.IndependentCircuits, r.RightAtrium.IndependentCircuits, row.left, row.right)
			}
			if gaps := len(r.LeftAtrium.Gaps) + len(r.RightAtrium.Gaps); gaps > 0 {
				t.Errorf("%s at %v mm: %d gaps in standard paths", row.name, diameter, gaps)
			}
		}
	}
}

// TestVerdicts: thresholds and wavelengths of published figures. 0.90 m/s (van Schie 2021, Europace) x 242 ms (PMID 9825363) = 218 mm;
// 0.60 m/s (from memory) x 199 ms (PMID 12784779) = 119 mm; 78 mm (Rensma 1988, Circ Res, from memory).
func TestVerdicts(t *testing.T) {
	if got := (LesionSet{ConductionVelocityMPerS: 0.90, RefractoryPeriodMS: 242}).wavelength(); math.Round(got) != 218 {
		t.Errorf("wavelength without AF = %v mm, want 218", got)
	}
	if got := (LesionSet{ConductionVelocityMPerS: 0.80, RefractoryPeriodMS: 199}).wavelength(); math.Round(got) != 159 {
		t.Errorf("wavelength of remodelled atria in sinus rhythm = %v mm, want 159 (0.80 m/s, from memory, x 199 ms)", got)
	}
	foci := 0.0
	for _, n := range fociInVein {
		foci += n
	}
	if foci != 65 {
		t.Errorf("%v foci in the veins, want 65 of 69 (Haissaguerre 1998, 10.1056/NEJM199809033391003)", foci)
	}
	remodelled := LesionSet{}.wavelength()
	if math.Round(remodelled) != 119 {
		t.Errorf("default wavelength = %v mm, want 119", remodelled)
	}
	for _, c := range []struct {
		mm   float64
		want Verdict
	}{{35, Harmless}, {77.9, Harmless}, {78, Possible}, {119, Possible}, {120, CanSustain}} {
		if got := judge(c.mm, remodelled); got != c.want {
			t.Errorf("judge(%v mm) = %s, want %s", c.mm, got, c.want)
		}
	}
}

// TestLesions tries what single lines do and leave, by circuit logic.
func TestLesions(t *testing.T) {
	three := append(slices.Clone(bothVeinPairs), RoofLine)
	drawn := LesionSet{Lesions: []Lesion{{Chamber: LeftAtrium, Path: []Vec{{0.2, -0.5, 0.8}, {0.3, -0.6, 0.7}}}}}
	for _, c := range []struct {
		name  string
		set   LesionSet
		check func(Result) bool
	}{
		{"three sides of a box isolate no wall", setOf("", three...), func(r Result) bool { return !r.PosteriorWallIsolated && r.Scope == ScopePulmonaryVeinIsolation }},
		{"one vein pair is no scope", setOf("", LeftPulmonaryVeinIsolation), func(r Result) bool {
			return r.Scope == ScopeNone && slices.Equal(r.VeinsIsolated, []string{"left-superior", "left-inferior"})
		}},
		{"a cavotricuspid line breaks the tricuspid circuit", setOf("", CavotricuspidIsthmusLine), func(r Result) bool { return r.RightAtrium.IndependentCircuits == 2 }},
		{"a loose line blocks nothing, has two gaps and adds a circuit", drawn, func(r Result) bool {
			return len(r.LeftAtrium.Gaps) == 2 && r.LeftAtrium.IndependentCircuits == 6 && r.Scope == ScopeNone
		}},
	} {
		r, err := Default().Conduct(c.set)
		if err != nil {
			t.Fatal(err)
		}
		if !c.check(r) {
			t.Errorf("%s: %+v", c.name, r)
		}
	}
}
