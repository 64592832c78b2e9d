package competency

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"isthmus/competency/internal/published"
)

func helpRule() SuccessRule { return SuccessRule{Scale: ScaleHelpGiven, Level: 4} }

// TestLearnAgainstR takes the outcomes of the check case fitted with R's glm (testdata/reference.json, F3.cases_to_target): the curve through
// them, read off as chances, is R's.
func TestLearnAgainstR(t *testing.T) {
	c := published.Cases(t, "F3.cases_to_target")[0]
	var marks []bool
	for _, success := range c.InList(t, "success") {
		marks = append(marks, success == 1)
	}
	l := Learn(casesOf(marks), helpRule(), 0.8, "2026-12-31")
	if l.Fitted == nil {
		t.Fatalf("refused: %s", l.Refused)
	}
	b0, b1 := c.Out(t, "glm.coef.(Intercept)"), c.Out(t, "glm.coef.log(case)")
	for _, p := range l.Fitted.Points {
		if want := chance(b0 + b1*math.Log(p.N)); math.Abs(p.Share-want) > 0.5e-4+1e-9 { // shares are told to four places
			t.Errorf("case %v: %v, want %v", p.N, p.Share, want)
		}
	}
	if want := math.Exp((math.Log(0.8/0.2) - b0) / b1); l.Fitted.At == nil || math.Abs(*l.Fitted.At-want) > 0.5e-4+1e-6 {
		t.Errorf("reached at %v, want %v", l.Fitted.At, want)
	}
}

func TestLearnRefuses(t *testing.T) {
	for _, c := range []struct{ name, marks, want string }{
		{"nothing", "", "there are 0"},
		{"one", "+", "there is 1"},
		{"too few", "+-+-+-+-+", "there are 9"},
		{"all good", strings.Repeat("+", 12), "ended alike"},
		{"all bad", strings.Repeat("-", 12), "ended alike"},
		{"apart", "------++++++", "any steep curve fits"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := Learn(casesOf(outcomes(c.marks)), helpRule(), 0.8, "2026-12-31")
			if l.Fitted != nil || !strings.Contains(l.Refused, c.want) {
				t.Errorf("%q, want %q", l.Refused, c.want)
			}
		})
	}
}

func TestLearnSays(t *testing.T) {
	for _, c := range []struct{ name, marks, want string }{
		{"it falls", "+++++-++-+--+---", "does not rise"},
		{"it hardly rises", "-+-++--+-+++-+-+++++-+", "no upper limit"},
		{"it is level", "+-++-+-++-+-+++-+-++", "nearly level"},
		{"it rises", strings.Repeat("-", 12) + "-+-+-+" + strings.Repeat("+", 40) + "-+++++", "was reached at case"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := Learn(casesOf(outcomes(c.marks)), helpRule(), 0.8, "2026-12-31")
			if l.Fitted == nil || !strings.Contains(l.Fitted.Says, c.want) {
				t.Errorf("%+v, %s; want %q", l.Fitted, l.Refused, c.want)
			}
		})
	}
	rule := SuccessRule{Scale: ScaleComplete, Filter: Filter{Role: []Role{RolePrimary}}}
	if says := Learn(Evidence{}, rule, 0.8, "2026-12-31").Says; says != "Every line complete and block tested in signed-off cases as primary." {
		t.Error(says)
	}
}

// TestLearnHolds: no number that is none, each interval holds its share, blocks add up, and cases of another day change nothing.
func TestLearnHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		marks := rapid.SliceOfN(rapid.Bool(), 0, 60).Draw(t, "marks")
		target := rapid.Float64Range(0.5, 0.95).Draw(t, "target")
		l := Learn(casesOf(marks), helpRule(), target, "2026-12-31")
		n, hits := 0, 0
		for _, b := range l.Blocks {
			n, hits = n+b.To-b.From+1, hits+b.Hits
			if !(b.Low <= b.Share && b.Share <= b.High) {
				t.Fatalf("block %+v", b)
			}
		}
		if n != len(marks) || hits != l.Successes || len(l.Cases) != len(marks) || (l.Fitted == nil) == (l.Refused == "") {
			t.Fatalf("%+v", l)
		}
		if l.Fitted == nil {
			return
		}
		for _, p := range l.Fitted.Points {
			if !(0 <= p.Low && p.Low <= p.Share && p.Share <= p.High && p.High <= 1) {
				t.Fatalf("%+v", p)
			}
		}
		if f := l.Fitted; f.At != nil && (!(*f.Low <= *f.At) || (f.High != nil && *f.High < *f.At)) {
			t.Fatalf("reached at %v, %v to %v", *f.At, *f.Low, f.High)
		}
	})
}
