package interval_test

import (
	"errors"
	"fmt"
	"testing"

	"isthmus/competency/internal/published"
	"isthmus/competency/interval"
)

func TestOneProportion(t *testing.T) {
	published.Each(t, func(t *testing.T, c published.Case) {
		p, err := interval.MidP(int(c.In(t, "x")), int(c.In(t, "n")), c.In(t, "conf"))
		if err != nil {
			t.Fatal(err)
		}
		c.Near(t, "mid_p.0", p.Low, 1e-9) // R's own root finder stops at 1e-15 of the argument, not of the probability
		c.Near(t, "mid_p.1", p.High, 1e-9)
		for name, of := range map[string]func(int, int, float64) (interval.Proportion, error){"wilson": interval.Wilson, "clopper_pearson": interval.ClopperPearson} {
			p, err := of(int(c.In(t, "x")), int(c.In(t, "n")), c.In(t, "conf"))
			if err != nil {
				t.Fatal(err)
			}
			c.Want(t, name+".0", p.Low)
			c.Want(t, name+".1", p.High)
		}
		c.NotOurs("wilson_cc", "the correction makes the interval too wide (Newcombe 1998)")
		c.NotOurs("wald", "it leaves 0 to 1, and is empty at 0")
	}, "B1.newcombe.81_263", "B1.newcombe.15_148", "B1.newcombe.0_20", "B1.newcombe.1_29",
		"B1.extra.18_20_0.9", "B1.extra.45_50_0.95", "B1.extra.7_12_0.99")
}

func TestBetween(t *testing.T) {
	published.Each(t, func(t *testing.T, c published.Case) {
		d, err := interval.Between(int(c.In(t, "x1")), int(c.In(t, "n1")), int(c.In(t, "x2")), int(c.In(t, "n2")), c.In(t, "conf"))
		if err != nil {
			t.Fatal(err)
		}
		c.Want(t, "difference", d.Estimate)
		c.Want(t, "lower", d.Low)
		c.Want(t, "upper", d.High)
	}, "B2.newcombe_diff")
}

func TestBelieve(t *testing.T) {
	published.Each(t, func(t *testing.T, c published.Case) {
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
	}, "B3.beta.18_20_1_1", "B3.beta.18_20_0.5_0.5", "B3.beta.9_10_8_2", "B3.beta.47_50_1_1", "B3.beta.0_15_1_1")
}

func TestNext(t *testing.T) {
	c := published.One(t, "B4.betabinom")
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
	c := published.One(t, "B5.rule_of_three")
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
