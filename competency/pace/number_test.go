package pace

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestAheadIsFor: one stream has n or more events within the wait for the n-th exactly as often as the wait says; For is held to R.
func TestAheadIsFor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, events, time := rapid.IntRange(1, 30).Draw(t, "n"), rapid.IntRange(0, 60).Draw(t, "events"), rapid.Float64Range(1, 2000).Draw(t, "time")
		wait, err := For(n, events, time, 0.8)
		if err != nil {
			t.Fatal(err)
		}
		number, err := Ahead([]Stream{{events, time, wait.Median}}, 0.9)
		if err != nil || math.Abs(number.AtLeast(n)-0.5) > 1e-6 {
			t.Fatalf("within the median wait %g for %d the chance of so many is %g (%v)", wait.Median, n, number.AtLeast(n), err)
		}
	})
}

// TestAheadOfTwo: by hand. Two streams, each 0 events in 1 and 1 ahead: size 1/2 and p 1/2 each, together size 1, which is geometric:
// the chance of k is 2^-(k+1).
func TestAheadOfTwo(t *testing.T) {
	number, err := Ahead([]Stream{{0, 1, 1}, {0, 1, 1}, {7, 3, 0}}, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	for k := range 10 {
		if want := math.Exp2(-float64(k)); math.Abs(number.AtLeast(k)-want) > 1e-9 {
			t.Errorf("%d or more: %g, want %g", k, number.AtLeast(k), want)
		}
	}
	if number.Mean != 1 || number.Low != 0 || number.High != 4 { // 1 - 2^-5 = 0.969 is the first of 0.95 or more
		t.Errorf("%g (%d to %d)", number.Mean, number.Low, number.High)
	}
}

func TestAheadOfNothing(t *testing.T) {
	number, err := Ahead(nil, 0.9)
	if err != nil || number.Mean != 0 || number.High != 0 || number.AtLeast(0) != 1 || number.AtLeast(1) != 0 {
		t.Errorf("%+v, %v", number, err)
	}
	for _, c := range []struct {
		stream Stream
		want   error
	}{{Stream{-1, 1, 1}, ErrEvents}, {Stream{1, 0, 1}, ErrTime}, {Stream{1, 1, -1}, ErrTime}, {Stream{1, 1, math.NaN()}, ErrTime}, {Stream{1, math.Inf(1), 1}, ErrTime}} {
		if _, err := Ahead([]Stream{c.stream}, 0.9); !errors.Is(err, c.want) {
			t.Errorf("%+v: %v", c.stream, err)
		}
	}
}
