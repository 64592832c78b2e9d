package assessment_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
)

// ring is a small circle of directions round a centre, radius in degrees.
func ring(centre atrium.Vec, radius float64) []atrium.Vec {
	length := math.Sqrt(centre[0]*centre[0] + centre[1]*centre[1] + centre[2]*centre[2])
	c := atrium.Vec{centre[0] / length, centre[1] / length, centre[2] / length}
	across := atrium.Vec{c[1], -c[0], 0} // at right angles to c; no centre used here lies on the z axis
	size := math.Hypot(across[0], across[1])
	across = atrium.Vec{across[0] / size, across[1] / size, 0}
	up := atrium.Vec{c[1]*across[2] - c[2]*across[1], c[2]*across[0] - c[0]*across[2], c[0]*across[1] - c[1]*across[0]}
	r := radius * math.Pi / 180
	points := make([]atrium.Vec, 12)
	for i := range points {
		turn := 2 * math.Pi * float64(i) / float64(len(points))
		for k := range 3 {
			points[i][k] = math.Cos(r)*c[k] + math.Sin(r)*(math.Cos(turn)*across[k]+math.Sin(turn)*up[k])
		}
	}
	return points
}

// TestHazards: each slip raises its finding, in its part, and a plan without it does not.
func TestHazards(t *testing.T) {
	open, closed := scenario(t, "persistent-mitral-repair"), scenario(t, "paroxysmal-coronary-closed")
	full, box := open.Expert[0].Plan, closed.Expert[0].Plan
	drawn := func(chamber atrium.Chamber, isRing bool, path ...atrium.Vec) atrium.Lesion {
		return atrium.Lesion{Chamber: chamber, Path: path, Closed: isRing, Energy: atrium.Cryo}
	}
	offPump := closed
	offPump.Operation.OnBypass = false
	shut := open
	shut.Operation.LeftAtriumOpened = false
	tests := []struct {
		name     string
		scenario assessment.Scenario
		base     assessment.Plan
		lesion   atrium.Lesion // replaces the base's lesion of that name, or is added
		code     string
		part     assessment.Part
		unsafe   bool
	}{
		{"through the sinus node", open, full, drawn(atrium.RightAtrium, false, atrium.Vec{0.05, 0.92, 0.38}, atrium.Vec{0.6, 0.7, -0.2}), "near-sinus-node", assessment.PartSafety, false},
		{"by the AV node", open, full, drawn(atrium.RightAtrium, false, atrium.Vec{-0.9, 0.1, -0.3}, atrium.Vec{-0.9, -0.2, -0.3}), "near-av-node", assessment.PartSafety, false},
		{"heat in front of the oesophagus", open, full, atrium.Lesion{Name: atrium.FloorLine, Energy: atrium.UnipolarRF}, "posterior-wall-heat", assessment.PartSafety, false},
		{"heat over the circumflex artery", open, full, atrium.Lesion{Name: atrium.MitralIsthmusLine, Energy: atrium.UnipolarRF}, "near-circumflex-artery", assessment.PartSafety, false},
		{"cut across the circumflex artery", open, full, atrium.Lesion{Name: atrium.MitralIsthmusLine, Energy: atrium.Incision}, "near-circumflex-artery", assessment.PartSafety, false},
		{"heat over the right coronary artery", open, full, atrium.Lesion{Name: atrium.FreeWallLine, Energy: atrium.UnipolarRF}, "near-right-coronary-artery", assessment.PartSafety, false},
		{"heat under the right phrenic nerve", open, full, atrium.Lesion{Name: atrium.FreeWallLine, Energy: atrium.UnipolarRF}, "near-phrenic-nerve", assessment.PartSafety, false},
		{"heat under the left phrenic nerve", open, full, atrium.Lesion{Name: atrium.LeftAppendageLine, Energy: atrium.UnipolarRF}, "near-phrenic-nerve", assessment.PartSafety, false},
		{"ring on the vein", open, full, drawn(atrium.LeftAtrium, true, ring(atrium.Vec{-0.60, 0.45, 0.65}, 5)...), "ring-on-vein", assessment.PartSafety, false},
		{"radiofrequency at the annulus", open, full, atrium.Lesion{Name: atrium.MitralIsthmusLine, Energy: atrium.BipolarRF, Applications: 2}, "annular-end-without-cryo", assessment.PartDelivery, false},
		{"radiofrequency at the tricuspid annulus", open, full, atrium.Lesion{Name: atrium.FreeWallLine, Energy: atrium.UnipolarRF}, "annular-end-without-cryo", assessment.PartDelivery, false},
		{"no energy", open, full, atrium.Lesion{Name: atrium.RoofLine}, "energy-not-named", assessment.PartDelivery, false},
		{"behind closed walls", closed, box, atrium.Lesion{Name: atrium.MitralIsthmusLine, Energy: atrium.Cryo}, "needs-open-atrium", assessment.PartDelivery, false},
		{"drawn to the annulus behind closed walls", closed, box, drawn(atrium.LeftAtrium, false, atrium.Vec{-0.3, -0.24, 0.9}, atrium.Vec{-0.32, -0.9, -0.2}), "needs-open-atrium", assessment.PartDelivery, false},
		{"the target takes opening", shut, full, atrium.Lesion{Name: atrium.MitralIsthmusLine, Energy: atrium.Cryo}, "opens-left-atrium", assessment.PartDelivery, false},
		{"one-sided on the beating heart", offPump, box, atrium.Lesion{Name: atrium.RoofLine, Energy: atrium.UnipolarRF}, "unipolar-off-pump", assessment.PartDelivery, false},
		{"the sinus node ringed off", open, full, drawn(atrium.RightAtrium, true, ring(atrium.Vec{0.35, 0.85, 0.05}, 18)...), "sinus-to-av-broken", assessment.PartCompleteness, true},
		{"a piece of free wall ringed off", open, full, drawn(atrium.RightAtrium, true, ring(atrium.Vec{0.95, -0.30, 0.10}, 15)...), "unwanted-island", assessment.PartCompleteness, false},
		{"a free line", open, full, drawn(atrium.LeftAtrium, false, atrium.Vec{0.2, 0.6, -0.6}, atrium.Vec{0.5, 0.4, -0.6}), "gap", assessment.PartCompleteness, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if found, ok := finding(grade(t, tt.scenario, tt.base), tt.code); ok && tt.code != "opens-left-atrium" {
				t.Fatalf("the plan without the slip raises %s: %s", tt.code, found.What)
			}
			p := tt.base
			p.Lesions = slices.DeleteFunc(slices.Clone(p.Lesions), func(l atrium.Lesion) bool { return tt.lesion.Name != "" && l.Name == tt.lesion.Name })
			p.Lesions = append(p.Lesions, tt.lesion)
			g := grade(t, tt.scenario, p)
			found, ok := finding(g, tt.code)
			if !ok || found.Part != tt.part || g.Unsafe != tt.unsafe {
				t.Fatalf("finding %t in %s, unsafe %t; findings %v", ok, found.Part, g.Unsafe, codes(g))
			}
			if tt.unsafe && (g.Letter != "F" || g.Cap != "F") {
				t.Errorf("letter %s, cap %s", g.Letter, g.Cap)
			}
			if found.Place != nil && found.Place.Lesion != nil && *found.Place.Lesion != len(p.Lesions)-1 {
				t.Errorf("it points at lesion %d of %d", *found.Place.Lesion, len(p.Lesions))
			}
		})
	}
}

// TestPolicyRowsInGrades: patients between the lines of the pack.
func TestPolicyRowsInGrades(t *testing.T) {
	persistent := scenario(t, "persistent-mitral-repair")
	left := without(persistent.Expert[0].Plan, atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine)
	no := false
	decline := assessment.Plan{Ablate: &no, Reason: assessment.RiskTooHigh, LeftAppendage: left.LeftAppendage, Aftercare: left.Aftercare}
	huge, sick, emergency := persistent, persistent, persistent
	huge.Patient.LeftAtriumMM = 66
	sick.Patient.SinusNodeDisease = true
	emergency.Operation.Urgency = "emergency"
	tests := []struct {
		name     string
		scenario assessment.Scenario
		plan     assessment.Plan
		code     string
		atLeast  assessment.Letter
		atMost   assessment.Letter
	}{
		{"very large, full set", huge, persistent.Expert[0].Plan, "scope-on-target", "A", "A+"},
		{"very large, declined", huge, decline, "no-ablation-accepted", "A", "A+"},
		{"declined without ground", persistent, decline, "ablation-left-out", "D", "D"},
		{"sick sinus node, left atrium only", sick, left, "scope-on-target", "A", "A+"},
		{"sick sinus node, both atria", sick, persistent.Expert[0].Plan, "scope-accepted", "A", "A+"},
		{"emergency, ablated", emergency, left, "ablation-not-indicated", "D", "D"},
		{"emergency, left alone", emergency, decline, "no-ablation-on-target", "A", "A+"},
	}
	for _, tt := range tests {
		g := grade(t, tt.scenario, tt.plan)
		if _, ok := finding(g, tt.code); !ok || g.Letter.Rank() < tt.atLeast.Rank() || g.Letter.Rank() > tt.atMost.Rank() {
			t.Errorf("%s: %s (%v), want %s between %s and %s; findings %v", tt.name, g.Letter, g.Score, tt.code, tt.atLeast, tt.atMost, codes(g))
		}
	}
}

// TestThresholds: on any plan the hazards found are exactly the distances of the model below the policy's thresholds for the energy of the
// lesion, whatever the structure.
func TestThresholds(t *testing.T) {
	s, limits := scenario(t, "persistent-mitral-repair"), assessment.DefaultPolicy().Hazards
	hazards := []string{"near-sinus-node", "near-av-node", "near-sinus-node-artery", "posterior-wall-heat", "near-circumflex-artery", "near-right-coronary-artery", "near-phrenic-nerve"}
	rapid.Check(t, func(t *rapid.T) {
		p := randomPlan(t)
		g := gradeOn(t, coarse(), s, p)
		want := 0
		for _, h := range g.Result.Hazards {
			for _, limit := range limits {
				energy := p.Lesions[h.Lesion].Energy
				if limit.Structure == h.Structure && h.DistanceMM < limit.WithinMM && (len(limit.Energies) == 0 || slices.Contains(limit.Energies, energy)) {
					want++
				}
			}
		}
		got := 0
		for _, f := range g.Findings {
			if slices.Contains(hazards, f.Code) {
				got++
				if !strings.Contains(f.What, " mm from the ") || !strings.Contains(f.Source, "threshold: common practice, no source") {
					t.Fatalf("%s [%s] without distance or source of its threshold", f.What, f.Source)
				}
			}
		}
		if got != want {
			t.Fatalf("%d hazards found, %d distances too near: %v", got, want, codes(g))
		}
	})
}
