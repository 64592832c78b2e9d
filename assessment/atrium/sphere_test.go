package atrium

import (
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "rewrite golden files")

// TestSphere: Euler's formula V - E + F = 2 for a sphere, the counts of a class I icosphere (10 f^2 + 2, 30 f^2, 20 f^2), and an area of
// 4 pi; textbook geometry.
func TestSphere(t *testing.T) {
	for _, f := range []int{1, 2, 7, 22} {
		s := newSphere(f)
		if v, e, k := len(s.nodes), len(s.edges), len(s.triangles); v != 10*f*f+2 || e != 30*f*f || k != 20*f*f || v-e+k != 2 {
			t.Errorf("frequency %d: %d nodes, %d edges, %d triangles", f, v, e, k)
		}
		total := 0.0
		for _, a := range s.area {
			total += a
		}
		if math.Abs(total-4*math.Pi) > 1e-9 {
			t.Errorf("frequency %d: area %v, want 4 pi", f, total)
		}
		for e, sides := range s.facing {
			if sides[0] < 0 || sides[1] < 0 {
				t.Fatalf("frequency %d: edge %d has one side only", f, e)
			}
		}
	}
}

// TestMeshSize: spacing near 1.5 mm and some 7,600 nodes in all.
func TestMeshSize(t *testing.T) {
	n := Default().network(LesionSet{})
	nodes, longest := 0, 0.0
	for _, m := range []*mesh{n.left, n.right} {
		for i := range m.nodes {
			if m.tissue[i] {
				nodes++
			}
		}
		for _, l := range m.length {
			longest = math.Max(longest, l)
		}
	}
	nodes += n.size() - 2*len(n.left.nodes)
	if nodes < 7500 || nodes > 7700 || longest > 1.6 {
		t.Errorf("%d nodes, longest edge %.2f mm; want about 7,607 and 1.5", nodes, longest)
	}
}

// TestProjection: there and back, equal areas (a cap of angle a maps to a disc of radius 2 sin(a/2), so both have the area
// 4 pi sin^2(a/2); Lambert 1772), and up and right as the viewer behind the heart sees them.
func TestProjection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := ProjectionOf(rapid.SampledFrom([]Chamber{LeftAtrium, RightAtrium}).Draw(t, "chamber"))
		v := anyVec(t, "v")
		if v.dot(p.Centre) < -0.9999 {
			return
		}
		x, y := p.Point(v)
		if back := p.Direction(x, y); back.angle(v) > 1e-6 {
			t.Fatalf("%v comes back as %v", v, back)
		}
		if got, want := math.Hypot(x, y), 2*math.Sin(v.angle(p.Centre)/2); math.Abs(got-want) > 1e-9 {
			t.Fatalf("distance from the middle %v, want %v", got, want)
		}
	})
	left := ProjectionOf(LeftAtrium)
	lx, _ := left.Point(Vec{-0.60, 0.45, 0.65})
	rx, ry := left.Point(Vec{0.65, 0.45, 0.60})
	_, below := left.Point(Vec{0.66, -0.12, 0.74})
	if lx >= rx || below >= ry {
		t.Error("seen from behind, left veins lie left of right ones and inferior ones below superior ones")
	}
}

// TestProjectionGolden keeps the points the browser's projection is held to.
func TestProjectionGolden(t *testing.T) {
	type point struct {
		Chamber Chamber `json:"chamber"`
		At      Vec     `json:"at"`
		X       float64 `json:"x"`
		Y       float64 `json:"y"`
	}
	var golden struct {
		Frames map[Chamber]Projection `json:"frames"`
		Points []point                `json:"points"`
	}
	golden.Frames = map[Chamber]Projection{}
	for _, chamber := range []Chamber{LeftAtrium, RightAtrium} {
		p := ProjectionOf(chamber)
		golden.Frames[chamber] = p
		for _, o := range Openings(chamber, 0)[1:] {
			x, y := p.Point(o.Centre)
			golden.Points = append(golden.Points, point{chamber, o.Centre, roundTo(x, 9), roundTo(y, 9)})
		}
	}
	data, err := json.MarshalIndent(golden, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join("..", "..", "testdata", "projection.json")
	if *update {
		if err := os.WriteFile(file, append(data, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != string(data)+"\n" {
		t.Errorf("the projection changed: read the difference, then go test -update")
	}
}
