package panel_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/competency/panel"
)

func called(t interface{ Fatal(...any) }, p panel.Panel) panel.Panel {
	p, err := panel.New(p)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestNew names what a panel cannot be called with.
func TestNew(t *testing.T) {
	judges := []competency.PersonID{"mei", "leila"}
	for field, p := range map[string]panel.Panel{
		"judges":    {Method: panel.Angoff, Items: []string{"a/1"}},
		"judges[1]": {Method: panel.Angoff, Items: []string{"a/1"}, Judges: []competency.PersonID{"mei", "mei"}},
		"items":     {Method: panel.Angoff, Judges: judges},
		"items[1]":  {Method: panel.Angoff, Judges: judges, Items: []string{"a/1", "a/1"}},
		"method":    {Method: "lot", Judges: judges},
	} {
		var faults strict.Faults
		if _, err := panel.New(p); !errors.As(err, &faults) || faults.List[0].Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

// TestTwoRounds follows one panel of three judges, of whom one is left out, and checks its figures by hand.
func TestTwoRounds(t *testing.T) {
	p := called(t, panel.Panel{Method: panel.Angoff, Items: []string{"a/1", "b/2"}, Judges: []competency.PersonID{"mei", "leila", "tomasz"}})
	rate := func(judge competency.PersonID, a, b float64) panel.Sheet {
		s, err := p.Rate(panel.Sheet{Judge: judge, Round: p.Round}, map[string]float64{"a/1": a}, nil)
		if err != nil {
			t.Fatal(err)
		}
		if s, err = p.Rate(s, map[string]float64{"b/2": b}, nil); err != nil {
			t.Fatal(err)
		}
		return s
	}
	if _, err := p.CloseRound(nil, nil); !errors.Is(err, panel.ErrNobody) {
		t.Errorf("closed on nothing: %v", err)
	}
	half, _ := p.Rate(panel.Sheet{Judge: "tomasz", Round: 1}, map[string]float64{"a/1": 90}, nil)
	p, err := p.CloseRound([]panel.Sheet{rate("mei", 40, 60), rate("leila", 80, 64), half}, nil)
	if err != nil {
		t.Fatal(err)
	}
	first := p.Rounds[0]
	// Marks 50 and 72 of 100: mean 61, deviation 22/sqrt(2), error 11.
	if p.Round != 2 || first.Percent != 61 || math.Abs(*first.Deviation-22/math.Sqrt2) > 1e-9 || math.Abs(*first.SE-11) > 1e-9 || !slices.Equal(p.LeftOut, []competency.PersonID{"tomasz"}) {
		t.Errorf("first round: %+v of %+v", first, p)
	}
	if a, b := first.Items[0], first.Items[1]; a.Mean != 60 || a.Least != 40 || a.Most != 80 || !a.Discuss || b.Discuss || b.N != 2 {
		t.Errorf("spread: %+v and %+v", a, b)
	}
	if _, err := p.Rate(panel.Sheet{Judge: "tomasz", Round: 2}, nil, nil); !errors.Is(err, panel.ErrNotJudge) {
		t.Errorf("who was left out rates: %v", err)
	}
	p, err = p.CloseRound([]panel.Sheet{rate("mei", 55, 60), rate("leila", 65, 64)}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if r := p.Result; p.Status != panel.Closed || r.Percent != 61 || math.Abs(*r.SE-3.5) > 1e-9 || r.Judges != 2 || len(p.Rounds) != 2 || p.Rounds[0].Percent != 61 {
		t.Errorf("result: %+v", p)
	}
	if of, se, ok := p.Of([]string{"b/2"}); !ok || of != 62 || math.Abs(*se-2) > 1e-9 {
		t.Errorf("of one item: %g %v %v", of, se, ok)
	}
	if _, _, ok := p.Of([]string{"b/2", "c/1"}); ok {
		t.Error("an item nobody rated has a mark")
	}
	if _, err := p.CloseRound(nil, nil); !errors.Is(err, panel.ErrClosed) {
		t.Errorf("closed twice: %v", err)
	}
	if _, err := p.Withdraw("Enough."); !errors.Is(err, panel.ErrClosed) {
		t.Errorf("withdrawn with its result: %v", err)
	}
}

// TestOneJudge holds that one judge gives a mark without an error.
func TestOneJudge(t *testing.T) {
	p := called(t, panel.Panel{Method: panel.Angoff, Items: []string{"a/1"}, Judges: []competency.PersonID{"mei"}})
	for round := 1; round <= 2; round++ {
		var err error
		if p, err = p.CloseRound([]panel.Sheet{{Judge: "mei", Round: round, Ratings: map[string]float64{"a/1": 70}}}, nil); err != nil {
			t.Fatal(err)
		}
	}
	if r := p.Result; math.Abs(r.Percent-70) > 1e-9 || r.SE != nil || p.Rounds[1].Items[0].Deviation != nil || p.Rounds[1].Items[0].Discuss {
		t.Errorf("%+v", p)
	}
}

// TestRatingsRefused names what is no rating.
func TestRatingsRefused(t *testing.T) {
	angoff := called(t, panel.Panel{Method: panel.Angoff, Items: []string{"a/1"}, Judges: []competency.PersonID{"mei"}})
	hofstee := called(t, panel.Panel{Method: panel.Hofstee, Judges: []competency.PersonID{"mei"}})
	limits := panel.Limits{LeastMark: 50, HighestMark: 70, LeastFail: 5, HighestFail: 20}
	upside := panel.Limits{LeastMark: 70, HighestMark: 50, LeastFail: 20, HighestFail: 120}
	for name, try := range map[string]func() error{
		"another item": func() error {
			_, err := angoff.Rate(panel.Sheet{Judge: "mei"}, map[string]float64{"b/1": 5}, nil)
			return err
		},
		"above 100": func() error {
			_, err := angoff.Rate(panel.Sheet{Judge: "mei"}, map[string]float64{"a/1": 101}, nil)
			return err
		},
		"no number": func() error {
			_, err := angoff.Rate(panel.Sheet{Judge: "mei"}, map[string]float64{"a/1": math.NaN()}, nil)
			return err
		},
		"limits": func() error { _, err := angoff.Rate(panel.Sheet{Judge: "mei"}, nil, &limits); return err },
		"ratings": func() error {
			_, err := hofstee.Rate(panel.Sheet{Judge: "mei"}, map[string]float64{"a/1": 5}, nil)
			return err
		},
		"wrong limits": func() error { _, err := hofstee.Rate(panel.Sheet{Judge: "mei"}, nil, &upside); return err },
	} {
		var faults strict.Faults
		if err := try(); !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := hofstee.Rate(panel.Sheet{Judge: "leila"}, nil, &limits); !errors.Is(err, panel.ErrNotJudge) {
		t.Errorf("another's: %v", err)
	}
}

// TestHofstee meets limits with scores by hand, says when they do not meet, and refuses without enough scores.
func TestHofstee(t *testing.T) {
	p := called(t, panel.Panel{Method: panel.Hofstee, Judges: []competency.PersonID{"mei", "leila"}})
	sheets := []panel.Sheet{
		{Judge: "mei", Round: 1, Limits: &panel.Limits{LeastMark: 48, HighestMark: 68, LeastFail: 0, HighestFail: 40}},
		{Judge: "leila", Round: 1, Limits: &panel.Limits{LeastMark: 52, HighestMark: 72, LeastFail: 0, HighestFail: 40}},
	}
	spread := []float64{45, 50, 55, 58, 60, 65, 70, 75, 80, 90}
	if _, err := p.CloseRound(sheets, spread[:9]); !errors.Is(err, panel.ErrScores) {
		t.Errorf("nine scores: %v", err)
	}
	got, err := p.CloseRound(sheets, spread)
	// The line falls from 40 % at 50 to 0 at 70, 2 a mark; below 55 are 20 %, below 56 are 30 %: they meet between 55 (line 30) and 56 (28).
	if r := got.Result; err != nil || got.Status != panel.Closed || !r.Found || r.Percent < 55 || r.Percent > 56 || r.SE != nil || r.Scores != 10 || r.Below != 3 || r.Limits.LeastMark != 50 {
		t.Errorf("%+v, %v", got.Result, err)
	}
	high := slices.Repeat([]float64{95}, 10)
	if got, err := p.CloseRound(sheets, high); err != nil || got.Result.Found || got.Result.Percent != 0 {
		t.Errorf("nobody fails, and yet: %+v, %v", got.Result, err)
	}
}

// TestMarkWithinRatings holds that the mark lies within the judges' marks, does not depend on their order, and is the mean over the items.
func TestMarkWithinRatings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		judges := []competency.PersonID{"a", "b", "c", "d"}[:rapid.IntRange(1, 4).Draw(t, "judges")]
		items := []string{"i/1", "j/1", "k/1"}[:rapid.IntRange(1, 3).Draw(t, "items")]
		sheets := make([]panel.Sheet, len(judges))
		for i, judge := range judges {
			sheets[i] = panel.Sheet{Judge: judge, Round: 1, Ratings: map[string]float64{}}
			for _, name := range items {
				sheets[i].Ratings[name] = float64(rapid.IntRange(0, 100).Draw(t, "rating"))
			}
		}
		mark := func(order []competency.PersonID) panel.Panel {
			p, err := called(t, panel.Panel{Method: panel.Angoff, Items: items, Judges: order}).CloseRound(sheets, nil)
			if err != nil {
				t.Fatal(err)
			}
			return p
		}
		turned := slices.Clone(judges)
		slices.Reverse(turned)
		p, other := mark(judges), mark(turned)
		r := p.Rounds[0]
		least, most, mean := 100.0, 0.0, 0.0
		for _, one := range r.Judges {
			least, most = min(least, one.Percent), max(most, one.Percent)
		}
		for _, one := range r.Items {
			mean += one.Mean / float64(len(items))
		}
		if r.Percent < least-1e-9 || r.Percent > most+1e-9 || math.Abs(r.Percent-other.Rounds[0].Percent) > 1e-9 || math.Abs(r.Percent-mean) > 1e-9 {
			t.Fatalf("%g of judges %g to %g, turned %g, mean of items %g", r.Percent, least, most, other.Rounds[0].Percent, mean)
		}
		if of, _, ok := p.Of(items); !ok || math.Abs(of-r.Percent) > 1e-9 {
			t.Fatalf("of all items %g, want %g", of, r.Percent)
		}
	})
}
