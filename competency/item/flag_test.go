package item_test

import (
	"math"
	"slices"
	"testing"

	"isthmus/competency/item"
)

// TestFlags: each flag is raised by what it names, and by nothing less.
func TestFlags(t *testing.T) {
	usual := item.Analysis{N: 40, Difficulty: 0.6, Corrected: 0.3}
	options := []item.Chosen{{Key: true, N: 24, Upper: 0.8}, {N: 8, Upper: 0.1}, {N: 8, Upper: 0.1}}
	with := func(change func(*item.Analysis)) item.Analysis { a := usual; change(&a); return a }
	for name, tt := range map[string]struct {
		a       item.Analysis
		options []item.Chosen
		infit   float64
		want    []item.Flag
	}{
		"usual":       {usual, options, 1, []item.Flag{}},
		"no fit":      {usual, options, math.NaN(), []item.Flag{}},
		"too few":     {with(func(a *item.Analysis) { a.N, a.Difficulty = 29, 1 }), options, 3, []item.Flag{}},
		"easy":        {with(func(a *item.Analysis) { a.Difficulty = 0.96 }), options, 1, []item.Flag{item.TooEasy}},
		"hard":        {with(func(a *item.Analysis) { a.Difficulty = 0.2 }), options, 1, []item.Flag{item.TooHard}},
		"backwards":   {with(func(a *item.Analysis) { a.Corrected = -0.1 }), options, 1, []item.Flag{item.Backwards}},
		"weak":        {with(func(a *item.Analysis) { a.Corrected = 0.05 }), options, 1, []item.Flag{item.Weak}},
		"key":         {usual, []item.Chosen{{Key: true, N: 20, Upper: 0.4}, {N: 20, Upper: 0.6}}, 1, []item.Flag{item.KeyDoubt}},
		"idle":        {usual, []item.Chosen{{Key: true, N: 39, Upper: 1}, {N: 1}}, 1, []item.Flag{item.Idle}},
		"misfit":      {usual, options, 1.4, []item.Flag{item.Misfit}},
		"no variance": {with(func(a *item.Analysis) { a.Corrected = math.NaN() }), options, 1, []item.Flag{}},
	} {
		if got := tt.a.Flags(tt.options, tt.infit); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v", name, got, tt.want)
		}
	}
	if d := (item.Differential{OddsRatio: 3, Low: 1.7, High: 5, Delta: -2.58, P: 0.001}); !d.Large() {
		t.Error("a large difference that is sure is not told")
	}
	if d := (item.Differential{OddsRatio: 3, Low: 1.1, High: 8, Delta: -2.58, P: 0.03}); d.Large() {
		t.Error("a large difference that may be small is told")
	}
}

// TestCorrelationLimits: Fisher's transform by hand for r = 0.5 of 28 pairs: 0.549306 give or take 1.959964 / 5.
func TestCorrelationLimits(t *testing.T) {
	low, high := item.CorrelationLimits(0.5, 28, 0.95)
	if math.Abs(low-math.Tanh(0.549306-0.391993)) > 1e-5 || math.Abs(high-math.Tanh(0.549306+0.391993)) > 1e-5 {
		t.Errorf("%f to %f", low, high)
	}
	if low, _ := item.CorrelationLimits(0.5, 3, 0.95); !math.IsNaN(low) {
		t.Error("three pairs have limits")
	}
}
