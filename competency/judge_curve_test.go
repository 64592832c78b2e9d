package competency

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"isthmus/assessment/atrium"

	"pgregory.net/rapid"
)

// curveLine is a requirement with the rates whose limits methods of the field print: adequate at 10 % failures, inadequate at 20 %.
func curveLine() Requirement {
	return Requirement{
		ID: "curve", Kind: KindCurve, Scale: ScaleHelpGiven, Level: 4, AcceptableRate: 0.10, InadequateRate: 0.20, HorizonCases: 100, FalseDeclaration: 0.10, FalseAlarm: 0.10,
	}
}

// casesOf makes one signed case a day, a success at level 4.
func casesOf(outcomes []bool) Evidence {
	var e Evidence
	for i, good := range outcomes {
		day := Day("2025-01-01").Add(i)
		c := SignedCase{
			ID: CaseID(fmt.Sprintf("c%03d", i+1)), OperatedOn: string(day), SubmittedAt: day.Start(), SignedAt: day.Start().Add(time.Hour), Role: RolePrimary,
			Scope: atrium.ScopeBiatrial, Assessor: "a", HelpGiven: 2, LinesComplete: good, BlockTested: good,
		}
		if good {
			c.HelpGiven = 4
		}
		e.Cases = append(e.Cases, c)
	}
	return e
}

func outcomes(text string) []bool { // + a success, - a failure
	list := make([]bool, len(text))
	for i, r := range text {
		list[i] = r == '+'
	}
	return list
}

func standOn(line Requirement, e Evidence) RequirementStanding {
	return Stand(Standard{ID: "s", Version: 1, Requirements: []Requirement{line}}, e, "2026-12-31").Requirements[0]
}

// TestCurveLimit takes the published design: at 10 against 20 % a false declaration of at most 10 % within 100 cases needs a limit of 3.20
// and then declares 83.9 % of adequate operators (testdata/reference.json, A3.lccusum.0.1_0.1, exact computation).
func TestCurveLimit(t *testing.T) {
	d := curveLine().design()
	if d.Adequate.Limit != 3.20 || math.Abs(d.Adequate.False-0.09913264645590765) > 1e-9 || math.Abs(d.Adequate.True-0.8394211969856695) > 1e-9 {
		t.Errorf("%+v", d.Adequate)
	}
	if d.Alarm.False > 0.10 || d.Alarm.True < d.Alarm.False {
		t.Errorf("%+v", d.Alarm)
	}
}

func TestCurveStates(t *testing.T) {
	line := curveLine()
	well := strings.Repeat("+", 28) // 28 successes of weight 0.1178 reach 3.20
	for _, test := range []struct {
		name, outcomes string
		want           State
	}{
		{"nothing", "", NotEnoughData},
		{"four cases", "++++", NotEnoughData},
		{"beginning", "+-+-+-+", Short},
		{"half way", strings.Repeat("+", 14), OnCourse},
		{"one short of the limit", strings.Repeat("+", 27), OnCourse},
		{"declared", well, Met},
		{"declared, then a failure", well + "-", Met},
		{"an alarm", well + "--------", Lapsed},
		{"learnt again", well + "--------" + strings.Repeat("+", 40), Met},
	} {
		s := standOn(line, casesOf(outcomes(test.outcomes)))
		if s.State != test.want || s.Unit != "chart" || s.Target != 3.20 || len(s.Curve.Points) != len(test.outcomes) {
			t.Errorf("%s: %s (%s), want %s", test.name, s.State, s.Explanation, test.want)
		}
		if test.want == Met != (s.Next == "") {
			t.Errorf("%s: next is %q", test.name, s.Next)
		}
	}
	s := standOn(line, casesOf(outcomes(strings.Repeat("+", 14))))
	for _, words := range []string{"14 signed-off cases, 0 of them failures", "1.65 of 3.20", "failing 20 %", "9.91 %", "83.9 %"} {
		if !strings.Contains(s.Explanation, words) {
			t.Errorf("%q does not say %q", s.Explanation, words)
		}
	}
	if !strings.HasPrefix(s.Next, "14 more signed-off cases at level 4 or above") {
		t.Errorf("next is %q", s.Next)
	}
}

// TestCurveGoesOn holds that what would move it does: so many successes in a row as told declare adequate, and one fewer does not.
func TestCurveGoesOn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := curveLine()
		line.Scale, line.Level = ScaleComplete, 0
		history := rapid.SliceOfN(rapid.Bool(), 1, 40).Draw(t, "outcomes")
		s := standOn(line, casesOf(history))
		if s.State == Met {
			return
		}
		n := s.Curve.toGo()
		ahead := func(more int) State {
			all := append([]bool(nil), history...)
			for range more {
				all = append(all, true)
			}
			return standOn(line, casesOf(all)).State
		}
		if got := ahead(n); got != Met {
			t.Fatalf("%d more give %s", n, got)
		}
		if n > 1 && ahead(n-1) == Met {
			t.Fatalf("%d more are enough already", n-1)
		}
	})
}

func TestCompleteness(t *testing.T) {
	line := Requirement{ID: "lines", Kind: KindCompleteness, Share: 0.9, Last: 20, LowerBound: 0.7, Confidence: 0.9}
	for _, test := range []struct {
		name, outcomes string
		want           State
	}{
		{"nothing", "", NotEnoughData},
		{"few", "+++", NotEnoughData},
		{"on course", "++++++++++", OnCourse},
		{"short", "+++++-+-+-", Short},
		{"met", strings.Repeat("+", 19) + "-", Met},
		{"only the last count", "-----" + strings.Repeat("+", 20), Met},
	} {
		s := standOn(line, casesOf(outcomes(test.outcomes)))
		if s.State != test.want || s.Unit != "share" {
			t.Errorf("%s: %s (%s), want %s", test.name, s.State, s.Explanation, test.want)
		}
	}
	if says := line.Says(); !strings.HasPrefix(says, "Every line complete and block tested in at least 90 % of the last 20 signed-off cases") {
		t.Error(says)
	}
}

func TestCurveRequirementFaults(t *testing.T) {
	for field, change := range map[string]func(r *Requirement){
		"scale":             func(r *Requirement) { r.Scale = "" },
		"level":             func(r *Requirement) { r.Scale = ScaleComplete },
		"inadequate_rate":   func(r *Requirement) { r.InadequateRate = 0.10 },
		"horizon_cases":     func(r *Requirement) { r.HorizonCases = 501 },
		"false_declaration": func(r *Requirement) { r.FalseDeclaration = 0 },
		"false_alarm":       func(r *Requirement) { r.FalseAlarm = math.NaN() },
		"share":             func(r *Requirement) { r.Share = 0.5 },
	} {
		r := curveLine()
		change(&r)
		list := r.validate().List
		if len(list) != 1 || list[0].Field != field {
			t.Errorf("%s: %v", field, list)
		}
	}
	if list := curveLine().validate().List; len(list) > 0 {
		t.Errorf("%v", list)
	}
}
