package survival_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"isthmus/competency/internal/published"
	"isthmus/competency/survival"

	"pgregory.net/rapid"
)

// groupsOf splits a case's subjects by the group's place in the list of groups.
func groupsOf(t *testing.T, c published.Case) [][]survival.Subject {
	t.Helper()
	names := map[string]int{}
	var groups [][]survival.Subject
	for i := range c.OutLen(t, "groups") {
		names[c.Outputs["groups"].([]any)[i].(map[string]any)["group"].(string)] = i
		groups = append(groups, nil)
	}
	times, events := c.InList(t, "time"), c.InList(t, "status")
	for i, name := range c.Inputs["group"].([]any) {
		g := names[name.(string)]
		groups[g] = append(groups[g], survival.Subject{Time: times[i], Event: events[i] == 1})
	}
	return groups
}

func TestKaplanMeier(t *testing.T) {
	published.Each(t, func(t *testing.T, c published.Case) {
		groups := groupsOf(t, c)
		for g, group := range groups {
			curve, err := survival.KaplanMeier(group, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			at := fmt.Sprintf("groups.%d.", g)
			c.Want(t, at+"n", float64(curve.N))
			c.Want(t, at+"events", float64(curve.Events))
			for i, step := range curve.Steps {
				row := fmt.Sprintf("%stable.%d.", at, i)
				for name, got := range map[string]float64{
					"time": step.Time, "n_risk": float64(step.AtRisk), "n_event": float64(step.Events), "survival": step.Survival,
					"se_greenwood": step.StandardError, "ci_loglog.0": step.Low, "ci_loglog.1": step.High, "nelson_aalen": step.Hazard,
				} {
					c.Want(t, row+name, got)
				}
			}
			for i, p := range c.OutList(t, at+"quantiles.prob") {
				time, low, high := curve.Quantile(p)
				c.Want(t, fmt.Sprintf("%squantiles.time.%d", at, i), time)
				c.Want(t, fmt.Sprintf("%squantiles.lower_loglog.%d", at, i), low)
				c.Want(t, fmt.Sprintf("%squantiles.upper_loglog.%d", at, i), high)
				if p == 0.5 {
					c.Want(t, at+"median_log.time", time)
				}
			}
		}
		for name, rho := range map[string]float64{"logrank": 0, "peto_prentice_rho1": 1} {
			test, err := survival.LogRank(groups, rho)
			if err != nil {
				t.Fatal(err)
			}
			c.Want(t, name+".chisq", test.Square)
			c.Want(t, name+".df", float64(test.Freedom))
			c.Want(t, name+".p", test.P)
			for g := range groups {
				c.Want(t, fmt.Sprintf("%s.observed.%d", name, g), test.Observed[g])
				c.Want(t, fmt.Sprintf("%s.expected.%d", name, g), test.Expected[g])
			}
		}
	}, "E1.aml", "E1.freireich", "E2.three_groups")
}

// TestCumulativeIncidence compares with the R package survival 3.5-3: survfit(Surv(time, factor(cause)) ~ 1) on data of our own.
func TestCumulativeIncidence(t *testing.T) {
	times := []float64{2, 3, 3, 5, 6, 6, 8, 9, 11, 11, 12, 14, 15, 18, 20, 20, 22, 24, 24, 24}
	causes := []int{1, 0, 2, 1, 1, 2, 0, 1, 2, 1, 0, 1, 2, 0, 1, 1, 0, 2, 0, 0}
	var outcomes []survival.Outcome
	for i, time := range times {
		outcomes = append(outcomes, survival.Outcome{Time: time, Cause: causes[i]})
	}
	table, err := survival.CumulativeIncidence(outcomes, 2)
	if err != nil {
		t.Fatal(err)
	}
	want := []struct{ time, share1, share2, error1, error2 float64 }{
		{2, 0.050000000000000003, 0, 0.048733971724044853, 0},
		{3, 0.050000000000000003, 0.049999999999999996, 0.048733971724044853, 0.048733971724044846},
		{5, 0.10294117647058823, 0.049999999999999996, 0.069020029718486253, 0.048733971724044846},
		{6, 0.15588235294117648, 0.10294117647058823, 0.082788486167394468, 0.069020029718486253},
		{9, 0.21289592760180998, 0.10294117647058823, 0.094790685818031351, 0.069020029718486253},
		{11, 0.26990950226244348, 0.15995475113122171, 0.10360788729694329, 0.084950983693791143},
		{14, 0.33325791855203624, 0.15995475113122171, 0.11219156719762291, 0.084950983693791143},
		{15, 0.33325791855203624, 0.22330316742081446, 0.11219156719762291, 0.099251116419791632},
		{20, 0.48107088989441937, 0.22330316742081446, 0.12557307411570953, 0.099251116419791632},
		{24, 0.48107088989441937, 0.32184514831573657, 0.12557307411570953, 0.123536361469806996},
	}
	for i, w := range want {
		one, two := table[0][i], table[1][i]
		for name, pair := range map[string][2]float64{
			"time": {one.Time, w.time}, "share 1": {one.Share, w.share1}, "share 2": {two.Share, w.share2}, "se 1": {one.StandardError, w.error1}, "se 2": {two.StandardError, w.error2},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-12 {
				t.Errorf("step %d, %s = %.15g, want %.15g", i, name, pair[0], pair[1])
			}
		}
	}
}

// TestOneCause holds that with a single cause the incidence is one less Kaplan-Meier, with its standard error, and that with several the
// shares and the survival make one whole.
func TestOneCause(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 30).Draw(t, "n")
		outcomes, subjects := make([]survival.Outcome, n), make([]survival.Subject, n)
		single := make([]survival.Outcome, n)
		for i := range n {
			o := survival.Outcome{Time: float64(rapid.IntRange(1, 12).Draw(t, "time")), Cause: rapid.IntRange(0, 3).Draw(t, "cause")}
			outcomes[i], subjects[i] = o, survival.Subject{Time: o.Time, Event: o.Cause > 0}
			single[i] = survival.Outcome{Time: o.Time, Cause: min(1, o.Cause)}
		}
		curve, err := survival.KaplanMeier(subjects, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		one, err := survival.CumulativeIncidence(single, 1)
		if err != nil {
			t.Fatal(err)
		}
		parts, err := survival.CumulativeIncidence(outcomes, 3)
		if err != nil {
			t.Fatal(err)
		}
		for i, step := range curve.Steps {
			if math.Abs(1-step.Survival-one[0][i].Share) > 1e-12 || step.Survival > 0 && math.Abs(step.StandardError-one[0][i].StandardError) > 1e-12 {
				t.Fatalf("at %g: survival %g (%g), incidence %g (%g)", step.Time, step.Survival, step.StandardError, one[0][i].Share, one[0][i].StandardError)
			}
			if whole := step.Survival + parts[0][i].Share + parts[1][i].Share + parts[2][i].Share; math.Abs(whole-1) > 1e-12 {
				t.Fatalf("at %g the shares make %g", step.Time, whole)
			}
			if step.Survival > 0 && !(step.Low <= step.Survival && step.Survival <= step.High) {
				t.Fatalf("at %g: %g outside %g to %g", step.Time, step.Survival, step.Low, step.High)
			}
		}
	})
}

func TestRefusals(t *testing.T) {
	one := []survival.Subject{{Time: 1, Event: true}}
	_, nobody := survival.KaplanMeier(nil, 0.95)
	_, level := survival.KaplanMeier(one, 0)
	_, time := survival.KaplanMeier([]survival.Subject{{Time: math.NaN()}}, 0.95)
	_, single := survival.LogRank([][]survival.Subject{one}, 0)
	_, empty := survival.LogRank([][]survival.Subject{one, nil}, 0)
	_, tied := survival.LogRank([][]survival.Subject{{{Time: 1}}, {{Time: 2}}}, 0)
	_, cause := survival.CumulativeIncidence([]survival.Outcome{{Time: 1, Cause: 2}}, 1)
	for _, test := range []struct{ got, want error }{
		{nobody, survival.ErrNobody}, {level, survival.ErrLevel}, {time, survival.ErrTime}, {single, survival.ErrGroups}, {empty, survival.ErrGroups},
		{tied, survival.ErrTied}, {cause, survival.ErrCause},
	} {
		if !errors.Is(test.got, test.want) {
			t.Errorf("%v, want %v", test.got, test.want)
		}
	}
	curve, err := survival.KaplanMeier([]survival.Subject{{Time: 3}}, 0.95)
	if step, known := curve.At(2); err != nil || step.Survival != 1 || !known || curve.Events != 0 {
		t.Errorf("nobody had the event: %+v, %v", step, err)
	}
	if _, known := curve.At(4); known {
		t.Error("nothing is known after the last was followed")
	}
}
