package interval_test

import (
	"errors"
	"fmt"
	"testing"

	"isthmus/competency/internal/published"
	"isthmus/competency/interval"
)

func TestMidP(t *testing.T) {
	published.Each(t, "B1.", func(t *testing.T, c published.Case) {
		p, err := interval.MidP(int(c.In(t, "x")), int(c.In(t, "n")), c.In(t, "conf"))
		if err != nil {
			t.Fatal(err)
		}
		c.Near(t, "mid_p.0", p.Low, 1e-9) // R's own root finder stops at 1e-15 of the argument, not of the probability
		c.Near(t, "mid_p.1", p.High, 1e-9)
	})
}

func TestBetween(t *testing.T) {
	published.Each(t, "B2.", func(t *testing.T, c published.Case) {
		d, err := interval.Between(int(c.In(t, "x1")), int(c.In(t, "n1")), int(c.In(t, "x2")), int(c.In(t, "n2")), c.In(t, "conf"))
		if err != nil {
			t.Fatal(err)
		}
		c.Want(t, "difference", d.Estimate)
		c.Want(t, "lower", d.Low)
		c.Want(t, "upper", d.High)
	})
}

func TestBelieve(t *testing.T) {
	published.Each(t, "B3.", func(t *testing.T, c published.Case) {
		p, err := interval.Believe(int(c.In(t, "x")), int(c.In(t, "n")), c.In(t, "prior_a"), c.In(t, "prior_b"), 0.95)
		if err != nil {
			t.Fatal(err)
		}
		for name, got := range map[string]float64{
			"post_a": p.Alpha, "post_b": p.Beta, "mean": p.Mean, "sd": p.Deviation, "median": p.Median, "interval.0": p.Low, "interval.1": p.High,
		} {
			c.Want(t, name, got)
		}
		for i, target := range c.InList(t, "targets") {
			c.Want(t, fmt.Sprintf("prob_above.%d.prob", i), p.Above(target))
		}
	})
}

func TestNext(t *testing.T) {
	c := published.Cases(t, "B4.")[0]
	p, err := interval.Believe(int(c.In(t, "x")), int(c.In(t, "n")), c.In(t, "prior_a"), c.In(t, "prior_b"), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	for k := range c.OutLen(t, "pmf") {
		c.Want(t, fmt.Sprintf("pmf.%d", k), p.Next(k, int(c.In(t, "m"))))
	}
	c.Want(t, "prob_at_least_need", p.AtLeast(int(c.In(t, "need")), int(c.In(t, "m"))))
}

func TestWithoutFailure(t *testing.T) {
	c := published.Cases(t, "B5.")[0]
	for i, p0 := range c.InList(t, "p0") {
		n, err := interval.WithoutFailure(p0, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		c.Want(t, fmt.Sprintf("zero_failure_cases.%d", i), float64(n))
	}
}

func TestRefused(t *testing.T) {
	_, counts := interval.Believe(3, 2, 1, 1, 0.95)
	_, prior := interval.Believe(1, 2, 0, 1, 0.95)
	_, none := interval.Between(0, 0, 1, 2, 0.95)
	_, level := interval.MidP(1, 2, 1)
	for _, test := range []struct{ got, want error }{{counts, interval.ErrCounts}, {prior, interval.ErrPrior}, {none, interval.ErrNoTrials}, {level, interval.ErrLevel}} {
		if !errors.Is(test.got, test.want) {
			t.Errorf("%v, want %v", test.got, test.want)
		}
	}
	if p, err := interval.Believe(0, 0, 2, 3, 0.9); err != nil || p.Alpha != 2 || p.Beta != 3 {
		t.Errorf("no trials give %+v, %v", p, err)
	}
}
