package atrium

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestDistances: figures that follow from the radius alone. A quarter turn on the normal left atrium of 25 mm is 39.27 mm.
func TestDistances(t *testing.T) {
	x, y, z := Vec{1, 0, 0}, Vec{0, 2, 0}, Vec{0, 0, 1}
	quarter := 25 * math.Pi / 2
	tests := []struct {
		name string
		have float64
		want float64
	}{
		{"to a place", DistanceMM(LeftAtrium, 0, x, []Vec{y}, false), quarter},
		{"to a line across", DistanceMM(LeftAtrium, 0, Vec{1, 1, 0}, []Vec{x, y}, false), 0},
		{"to a line, off its end", DistanceMM(LeftAtrium, 0, Vec{0, 0, 1}, []Vec{x, {1, 1, 0}}, false), quarter},
		{"to the closing side of a ring", DistanceMM(LeftAtrium, 0, Vec{1, 0, 1}, []Vec{x, y, z}, true), 0},
		{"the same ring open", DistanceMM(LeftAtrium, 0, Vec{1, 0, 1}, []Vec{x, y, z}, false), quarter / 2},
		{"right atrium", DistanceMM(RightAtrium, 0, x, []Vec{y}, false), 26 * math.Pi / 2},
		{"twice as large", DistanceMM(LeftAtrium, 80, x, []Vec{y}, false), 2 * quarter},
		{"to nothing", DistanceMM(LeftAtrium, 0, x, nil, false), math.Inf(1)},
		{"a line and itself", ApartMM(LeftAtrium, 0, []Vec{x, y}, []Vec{x, y}), 0},
		{"a line and half of it", ApartMM(LeftAtrium, 0, []Vec{x, y}, []Vec{x, {1, 1, 0}}), quarter / 2},
		{"two places", ApartMM(LeftAtrium, 0, []Vec{x}, []Vec{z}), quarter},
		{"a line and nothing", ApartMM(LeftAtrium, 0, []Vec{x}, nil), math.Inf(1)},
	}
	for _, tt := range tests {
		if math.Abs(tt.have-tt.want) > 1e-9 && tt.have != tt.want {
			t.Errorf("%s: %v mm, want %v", tt.name, tt.have, tt.want)
		}
	}
}

// TestApart: how far lines lie apart has no direction and no order, and no point of one is farther from the other than that.
func TestApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := func(name string) []Vec {
			path := []Vec{anyVec(t, name+"a")}
			for range rapid.IntRange(0, 3).Draw(t, name+"n") {
				path = append(path, towards(path[len(path)-1], anyVec(t, name).plus(Vec{0.01, 0.02, 0.03}).unit(), rapid.Float64Range(0.05, 1).Draw(t, name+"step")))
			}
			return path
		}
		a, b := line("a"), line("b")
		apart := ApartMM(LeftAtrium, 0, a, b)
		turned := slices.Clone(a)
		slices.Reverse(turned)
		for _, other := range []float64{ApartMM(LeftAtrium, 0, b, a), ApartMM(LeftAtrium, 0, turned, b)} {
			if math.Abs(apart-other) > 1 { // looked at each millimetre: turning a line may move the places looked at
				t.Fatalf("%v mm one way, %v another", apart, other)
			}
		}
		for _, p := range a {
			if d := DistanceMM(LeftAtrium, 0, p, b, false); d > apart+1e-9 {
				t.Fatalf("a point is %v mm away, the lines %v apart", d, apart)
			}
		}
	})
}
