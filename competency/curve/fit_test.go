package curve_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"isthmus/competency/curve"
	"isthmus/competency/internal/published"
)

func TestOnLogCase(t *testing.T) {
	c := published.One(t, "F3.cases_to_target")
	outcomes := failures(c.InList(t, "success"))
	for i := range outcomes {
		outcomes[i] = !outcomes[i]
	}
	fit, err := curve.OnLogCase(outcomes)
	if err != nil {
		t.Fatal(err)
	}
	c.Want(t, "glm.coef.(Intercept)", fit.Coefficient[0])
	c.Want(t, "glm.coef.log(case)", fit.Coefficient[1])
	c.Want(t, "glm.deviance", fit.Deviance)
	for i := range 2 {
		for k := range 2 {
			c.Want(t, fmt.Sprintf("glm.vcov.%d.%d", i, k), fit.Covariance.At(i, k))
		}
	}
	for i, share := range c.InList(t, "targets") {
		target, err := fit.Reaches(0, 1, share, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		at := fmt.Sprintf("inverse_on_ln_case.%d.", i)
		c.Want(t, at+"x", target.At)
		c.Want(t, at+"se_delta", target.SE)
		c.Want(t, at+"g", target.G)
		c.Want(t, at+"fieller.0", target.Low)
		c.Want(t, at+"fieller.1", target.High)
		c.Want(t, fmt.Sprintf("case_number.%d.case", i), math.Exp(target.At))
	}
}

// TestLogisticGroups has two intercepts and one slope: Venables and Ripley, Modern Applied Statistics with S, section 7.2.
func TestLogisticGroups(t *testing.T) {
	c := published.One(t, "F2.inverse.budworm")
	var design [][]float64
	var trials []float64
	for i, x := range c.InList(t, "log2_dose") {
		male := 0.0
		if c.Inputs["group"].([]any)[i] == "M" {
			male = 1
		}
		design, trials = append(design, []float64{1 - male, male, x}), append(trials, c.In(t, "n"))
	}
	fit, err := curve.Logistic(design, c.InList(t, "successes"), trials)
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"sexF", "sexM", "ld"} {
		c.Want(t, "glm.coef."+name, fit.Coefficient[i])
		c.Want(t, "glm.se."+name, fit.SE(i))
	}
	for k, group := range []string{"female", "male"} {
		for i, share := range c.InList(t, "p") {
			target, err := fit.Reaches(k, 2, share, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			at := fmt.Sprintf("%s.%d.", group, i)
			c.Want(t, at+"x", target.At)
			c.Want(t, at+"se_delta", target.SE)
			c.Want(t, at+"fieller.0", target.Low)
			c.Want(t, at+"fieller.1", target.High)
		}
	}
}

func TestRandomIntercept(t *testing.T) {
	c := published.One(t, "F4.mixed_logistic.cbpp")
	c.NotOurs("laplace", "the book integrates at one point (Laplace), ours at nine")
	var design [][]float64
	var person []int
	periods := c.InList(t, "period")
	for i, herd := range c.InList(t, "herd") {
		row := []float64{1, 0, 0, 0}
		if p := int(periods[i]); p > 1 {
			row[p-1] = 1
		}
		design, person = append(design, row), append(person, int(herd)-1)
	}
	m, err := curve.RandomIntercept(design, c.InList(t, "incidence"), c.InList(t, "size"), person)
	if err != nil {
		t.Fatal(err)
	}
	for i, coefficient := range m.Coefficient {
		c.Want(t, fmt.Sprintf("agq9.fixef.%d", i), coefficient)
	}
	c.Want(t, "agq9.sd", m.Spread)
	if m.People != 15 {
		t.Errorf("%d people", m.People)
	}
}

func TestPower(t *testing.T) {
	c := published.One(t, "F1.power.danwood")
	p, err := curve.FitPower(c.InList(t, "x"), c.InList(t, "y"), false)
	if err != nil {
		t.Fatal(err)
	}
	for field, got := range map[string]float64{"coef.b1": p.Gain, "coef.b2": p.Exponent, "se.b1": p.SE[1], "se.b2": p.SE[2], "rss": p.Residual, "sigma": p.Sigma} {
		c.Near(t, field, got, 1e-7)
	}
	c = published.One(t, "F3.time_curves")
	cases, minutes := c.InList(t, "case"), c.InList(t, "minutes")
	p, err = curve.FitPower(cases, minutes, true)
	if err != nil {
		t.Fatal(err)
	}
	for field, got := range map[string]float64{
		"coef.a": p.Floor, "coef.b": p.Gain, "coef.c": -p.Exponent, "se.a": p.SE[0], "se.b": p.SE[1], "se.c": p.SE[2], "rss": p.Residual,
	} {
		c.Near(t, "power3."+field, got, 1e-5)
	}
	line, err := curve.OnLogs(cases, minutes, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	at, low, high, err := line.CaseFor(c.In(t, "target_minutes"))
	if err != nil {
		t.Fatal(err)
	}
	for field, got := range map[string]float64{
		"intercept": line.Intercept, "slope": line.Slope, "sigma": line.Sigma, "learning_rate_per_doubling": line.Doubling,
		"case_for_target": at, "ci_t.0": low, "ci_t.1": high,
	} {
		c.Want(t, "loglog."+field, got)
	}
}

// TestNoUpperLimit holds that an uncertain slope gives no upper limit rather than a large number, and a falling curve no target.
func TestNoUpperLimit(t *testing.T) {
	fit, err := curve.OnLogCase([]bool{true, false, true, false, true, false, false, true, false, false})
	if err != nil {
		t.Fatal(err)
	}
	target, err := fit.Reaches(0, 1, 0.9, 0.95)
	if err != nil || target.Bounded || !math.IsInf(target.High, 1) || target.G < 1 {
		t.Errorf("%+v, %v", target, err)
	}
	falling, err := curve.OnLogCase([]bool{false, false, false, true, false, true, true, true})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := falling.Reaches(0, 1, 0.9, 0.95); !errors.Is(err, curve.ErrFlat) {
		t.Errorf("%v, want %v", err, curve.ErrFlat)
	}
	for name, outcomes := range map[string][]bool{"alike": {true, true, true}, "apart": {true, true, false, false}} {
		if _, err := curve.OnLogCase(outcomes); !errors.Is(err, curve.ErrSeparated) {
			t.Errorf("%s: %v, want %v", name, err, curve.ErrSeparated)
		}
	}
	if _, err := curve.OnLogCase(nil); !errors.Is(err, curve.ErrLengths) {
		t.Errorf("%v, want %v", err, curve.ErrLengths)
	}
}

// TestProbit has the doses and deaths of a plant poison (Finney 1952), on the logarithm of the dose to base 10.
func TestProbit(t *testing.T) {
	c := published.One(t, "F2.inverse.finney")
	var design [][]float64
	for _, dose := range c.InList(t, "dose") {
		design = append(design, []float64{1, math.Log10(dose)})
	}
	fit, err := curve.Probit(design, c.InList(t, "r"), c.InList(t, "n"))
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"(Intercept)", "log10(d)"} {
		c.Want(t, "glm.coef."+name, fit.Coefficient[i])
		c.Want(t, "glm.se."+name, fit.SE(i))
	}
	c.Want(t, "glm.deviance", fit.Deviance)
	for i, share := range []float64{0.5, 0.9} {
		target, err := fit.Reaches(0, 1, share, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		at := fmt.Sprintf("inverse.%d.", i)
		for name, got := range map[string]float64{"p": target.Share, "x": target.At, "se_delta": target.SE, "g": target.G, "fieller.0": target.Low, "fieller.1": target.High} {
			c.Want(t, at+name, got)
		}
		if share == 0.5 {
			c.Want(t, "ld50", math.Pow(10, target.At))
		}
	}
}

// TestApproach has certified values: NIST Statistical Reference Datasets, Misra1a.
func TestApproach(t *testing.T) {
	c := published.One(t, "F1.exp.misra1a")
	a, err := curve.FitApproach(c.InList(t, "x"), c.InList(t, "y"))
	if err != nil {
		t.Fatal(err)
	}
	for name, got := range map[string]float64{"coef.b1": a.Ceiling, "coef.b2": a.Rate, "se.b1": a.SE[0], "se.b2": a.SE[1], "rss": a.Residual, "sigma": a.Sigma} {
		c.Want(t, name, got)
	}
	if at := a.At(math.Ln2 / a.Rate); math.Abs(at-a.Ceiling/2) > 1e-9 {
		t.Errorf("after the cases that halve it stands at %g of %g", at, a.Ceiling)
	}
	for name, test := range map[string]struct {
		cases, values []float64
		want          error
	}{
		"few": {[]float64{1, 2}, []float64{1, 2}, curve.ErrLengths}, "before the first": {[]float64{0, 1, 2}, []float64{1, 2, 3}, curve.ErrRisk},
		"no number": {[]float64{1, 2, 3}, []float64{1, math.NaN(), 3}, curve.ErrNumbers}, "straight": {[]float64{1, 2, 3, 4}, []float64{2, 4, 6, 8}, curve.ErrSeparated},
	} {
		if _, err := curve.FitApproach(test.cases, test.values); !errors.Is(err, test.want) {
			t.Errorf("%s: %v, want %v", name, err, test.want)
		}
	}
}
