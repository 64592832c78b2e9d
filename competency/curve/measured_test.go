package curve_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"isthmus/competency/curve"
	"isthmus/competency/internal/published"

	"gonum.org/v1/gonum/stat/distuv"
)

// side is the run length of one chart of a measured quantity, from 0 and from a head start.
func side(t *testing.T, shift, reference, limit, start float64) curve.Side {
	t.Helper()
	var s curve.Side
	for from, into := range map[float64]*float64{0: &s.FromZero, start: &s.FromStart} {
		length, err := curve.RunLength(curve.Measured(shift, reference), limit, from)
		if err != nil {
			t.Fatal(err)
		}
		*into = length
	}
	if start == 0 {
		s.FromZero = s.FromStart
	}
	return s
}

func TestMeasuredRunLength(t *testing.T) {
	published.Each(t, func(t *testing.T, c published.Case) {
		start := 0.0
		if _, has := c.Inputs["headstart"]; has {
			start = c.In(t, "headstart")
		}
		for i, shift := range c.InList(t, "shifts") {
			up, down := side(t, shift, c.In(t, "k"), c.In(t, "h"), start), side(t, -shift, c.In(t, "k"), c.In(t, "h"), start)
			both := curve.TwoSided(up, down)
			if start > 0 {
				c.Want(t, fmt.Sprintf("rows.%d.arl", i), both)
				continue
			}
			c.Want(t, fmt.Sprintf("rows.%d.arl_one_sided", i), up.FromZero)
			c.Want(t, fmt.Sprintf("rows.%d.arl_two_sided", i), both)
		}
	}, "A1.arl.k0.5.h4", "A1.arl.k0.5.h5", "A1.arl.fir")
	c := published.One(t, "A1.arl.sas")
	k, h, mu := c.In(t, "k"), c.In(t, "h"), c.In(t, "mu")
	up, down := side(t, mu, k, h, c.In(t, "headstart")), side(t, -mu, k, h, 0)
	c.Want(t, "one", up.FromZero)
	c.Want(t, "one_hs", up.FromStart)
	c.Want(t, "two", curve.TwoSided(curve.Side{FromZero: up.FromZero, FromStart: up.FromZero}, down))
}

func TestGridRunLength(t *testing.T) {
	c := published.One(t, "A1.arl.brook_evans")
	for i, field := range []string{"mu0", "mu1_5"} {
		law := curve.Measured(c.InList(t, "means")[i], c.In(t, "k"))
		exact, err := curve.RunLength(law, c.In(t, "h"), 0)
		if err != nil {
			t.Fatal(err)
		}
		c.Want(t, "integral_equation."+field, exact)
		for row, states := range c.InList(t, "states") {
			length, err := curve.GridRunLength(law.CDF, c.In(t, "h"), 0, int(states))
			if err != nil {
				t.Fatal(err)
			}
			c.Want(t, fmt.Sprintf("markov.%d.%s", row, field), length)
		}
	}
}

// TestGridOfOutcomes sets the chain, which takes any law of scores, beside the exact run length of scores with two values: two ways that
// share no step.
func TestGridOfOutcomes(t *testing.T) {
	w, err := curve.Worsening(0.1, 0.2)
	if err != nil {
		t.Fatal(err)
	}
	for _, rate := range []float64{0.1, 0.2} {
		exact, err := curve.AverageRunLength(rate, w, 2.5)
		if err != nil {
			t.Fatal(err)
		}
		grid, err := curve.GridRunLength(w.Below(rate), 2.5, 0, 800)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(grid/exact-1) > 0.02 {
			t.Errorf("failing at %g: %.2f cases on a grid, %.2f exactly", rate, grid, exact)
		}
	}
}

func TestSiegmund(t *testing.T) {
	c := published.One(t, "A1.siegmund")
	of := func(shift, limit float64) float64 {
		length, err := curve.Siegmund(shift, c.In(t, "k"), limit)
		if err != nil {
			t.Fatal(err)
		}
		return length
	}
	one := of(0, c.In(t, "h"))
	c.Want(t, "one_sided_in_control", one)
	c.Want(t, "two_sided_in_control", curve.TwoSided(curve.Side{FromZero: one, FromStart: one}, curve.Side{FromZero: one, FromStart: one}))
	c.Want(t, "one_sided_shift2", of(2, c.In(t, "h")))
	if wanted := of(0, c.Out(t, "h_for_two_sided_370")) / 2; math.Abs(wanted-370) > 1e-6 {
		t.Errorf("the limit for 370 cases gives %g", wanted)
	}
	if at := of(0.5, 5); at != 6.166*6.166 {
		t.Errorf("without a drift it is %g", at)
	}
}

func TestMeasuredRefusals(t *testing.T) {
	law := curve.Measured(0, 0.5)
	for name, test := range map[string]struct{ got, want error }{
		"limit":        {second(curve.RunLength(law, 0, 0)), curve.ErrLimit},
		"start":        {second(curve.RunLength(law, 4, 4)), curve.ErrLimit},
		"narrow":       {second(curve.RunLength(distuv.Normal{Mu: 0.01, Sigma: 1e-4}, 1, 0)), curve.ErrNarrow},
		"states":       {second(curve.GridRunLength(law.CDF, 4, 0, 1)), curve.ErrStates},
		"grid's start": {second(curve.GridRunLength(law.CDF, 4, -1, 10)), curve.ErrLimit},
		"approximate":  {second(curve.Siegmund(0, 0.5, math.Inf(1))), curve.ErrLimit},
	} {
		if !errors.Is(test.got, test.want) {
			t.Errorf("%s: %v, want %v", name, test.got, test.want)
		}
	}
	if length, err := curve.GridRunLength(func(score float64) float64 { return map[bool]float64{true: 1}[score >= -1] }, 4, 0, 10); err != nil || !math.IsInf(length, 1) {
		t.Errorf("a chart that only falls signals after %g cases, %v", length, err)
	}
}
