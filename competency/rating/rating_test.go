package rating_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"isthmus/competency/internal/published"
	"isthmus/competency/rating"
)

func TestKappa(t *testing.T) {
	published.Each(t, func(t *testing.T, c published.Case) {
		if c.ID == "C1.fleiss100" {
			c.Misprinted("unweighted.z", "it was made from the printed kappa and standard error, both rounded")
			ratio := c.PrintedAt(t, "unweighted.kappa") / c.PrintedAt(t, "unweighted.se0")
			if z := c.PrintedAt(t, "unweighted.z"); math.Abs(ratio-z) > 0.005 {
				t.Errorf("the printed figures make %.4f, not the printed %g", ratio, z)
			}
		}
		table := c.InTable(t, "table")
		schemes := map[string][][]float64{"unweighted": rating.Plain(len(table)), "linear": rating.Linear(len(table)), "quadratic": rating.Quadratic(len(table))}
		if _, has := c.Inputs["custom_agreement_weights"]; has {
			schemes["custom"] = c.InTable(t, "custom_agreement_weights")
		}
		for name, weights := range schemes {
			a, err := rating.Kappa(table, weights, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			for field, got := range map[string]float64{
				"n": a.N, "po": a.Observed, "pe": a.Expected, "kappa": a.Kappa, "ase": a.SE, "se0": a.SE0, "z": a.Z, "ci.0": a.Low, "ci.1": a.High,
			} {
				c.Want(t, name+"."+field, got)
			}
		}
	}, "C1.cohen1968", "C1.cohen1968b", "C1.fce1969", "C1.kavanagh", "C1.agresti118", "C1.fleiss100", "C1.2x2", "C1.five_level")
}

func TestFleissKappa(t *testing.T) {
	c := published.One(t, "C2.fleiss_kappa")
	m, err := rating.FleissKappa(c.InTable(t, "counts"))
	if err != nil {
		t.Fatal(err)
	}
	for field, got := range map[string]float64{
		"N": float64(m.Subjects), "m": float64(m.Raters), "p_bar": m.Observed, "p_e": m.Expected, "kappa": m.Kappa, "se0": m.SE0,
	} {
		c.Want(t, field, got)
	}
}

func TestICC(t *testing.T) {
	c := published.One(t, "C3.shrout_fleiss")
	icc, err := rating.ICC(c.InTable(t, "ratings"), c.In(t, "conf"))
	if err != nil {
		t.Fatal(err)
	}
	for field, got := range map[string]float64{"BMS": icc.Between, "WMS": icc.Within, "JMS": icc.Judges, "EMS": icc.Error} {
		c.Want(t, field, got)
	}
	for field, got := range map[string]rating.Coefficient{
		"1_1": icc.OneWay, "2_1": icc.Agreement, "3_1": icc.Consistency, "1_k": icc.OneWayMean, "2_k": icc.AgreementMean, "3_k": icc.ConsistencyMean,
	} {
		c.Want(t, "icc_"+field, got.Value)
		c.Want(t, "ci_"+field+".0", got.Low)
		c.Want(t, "ci_"+field+".1", got.High)
	}
}

func TestAlpha(t *testing.T) {
	published.Each(t, func(t *testing.T, c published.Case) {
		in, at := "ratings", ""
		if _, nested := c.Outputs["alpha"].(map[string]any); nested {
			in, at = "responses", "alpha."
		}
		a, err := rating.Alpha(c.InTable(t, in), 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if at != "" {
			c.Want(t, "kr.kr20", a.Alpha)
		}
		for field, got := range map[string]float64{"alpha": a.Alpha, "feldt_ci.0": a.Low, "feldt_ci.1": a.High, "sem": a.SEM} {
			c.Want(t, at+field, got)
		}
		for j, without := range a.Without {
			c.Want(t, fmt.Sprintf("%salpha_if_deleted.%d", at, j), without)
		}
	}, "C4.alpha_kr20.brennan1", "C4.alpha.attitude")
	c := published.One(t, "C4.kr20.wuensch")
	a, err := rating.Alpha(c.InTable(t, "responses"), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	c.Want(t, "kr20", a.Alpha)
	n := float64(a.N)
	c.Want(t, "total_variance_population", a.SEM*a.SEM/(1-a.Alpha)*(n-1)/n)
	c.NotOurs("p", "the shares of right answers are item.Analyse's, compared there")
}

func TestSpearmanBrown(t *testing.T) {
	c := published.One(t, "C6.spearman_brown")
	for i, single := range c.InList(t, "single") {
		for k, wanted := range c.InList(t, "target") {
			c.Want(t, fmt.Sprintf("n_needed.%d.%d.n", i, k), float64(rating.RatingsFor(single, wanted)))
		}
		for k, n := range c.InList(t, "n") {
			c.Want(t, fmt.Sprintf("projected.%d.%d", i, k), rating.SpearmanBrown(single, n))
		}
	}
}

// byColumn lays a table out as ratings with the row as one level, and gives the column of each.
func byColumn(table [][]float64) (ratings []float64, rows, columns []int) {
	for i, row := range table {
		for j, y := range row {
			ratings, rows, columns = append(ratings, y), append(rows, i), append(columns, j)
		}
	}
	return ratings, rows, columns
}

// pairs numbers the pairs of two factors' levels.
func pairs(a, b []int) []int {
	number, out := map[[2]int]int{}, make([]int, len(a))
	for i := range a {
		key := [2]int{a[i], b[i]}
		if _, known := number[key]; !known {
			number[key] = len(number)
		}
		out[i] = number[key]
	}
	return out
}

func apply(list []int, fn func(int) int) []int {
	out := make([]int, len(list))
	for i, x := range list {
		out[i] = fn(x)
	}
	return out
}

// The balanced sets are Brennan's synthetic ones (Generalizability Theory, 2001), where restricted maximum likelihood and the expected
// mean squares agree because no estimate is negative.
func TestComponentsBalanced(t *testing.T) {
	const near = 2e-6
	fit := func(ratings []float64, factors ...rating.Factor) rating.Variances {
		t.Helper()
		v, err := rating.Components(ratings, factors)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	const squares = "restricted maximum likelihood takes no sums of squares"
	c := published.One(t, "C5.g_pi.brennan1")
	c.NotOurs("ms", squares)
	y, person, item := byColumn(c.InTable(t, "scores"))
	v := fit(y, rating.Factor{Name: "person", Level: person}, rating.Factor{Name: "item", Level: item})
	c.Near(t, "vc.p", v.Components[0].Variance, near)
	c.Near(t, "vc.i", v.Components[1].Variance, near)
	c.Near(t, "vc.pi_e", v.Residual, near)
	for i := range c.OutLen(t, "dstudy") {
		at := fmt.Sprintf("dstudy.%d.", i)
		n := c.Out(t, at+"n_i")
		d := rating.Depend(v.Components[0].Variance, []rating.Source{{v.Components[1].Variance, n, false}, {v.Residual, n, true}})
		c.Near(t, at+"g", d.G, near)
		c.Near(t, at+"phi", d.Phi, near)
		c.Near(t, at+"rel_error", d.RelativeError, near)
		c.Near(t, at+"abs_error", d.AbsoluteError, near)
	}

	c = published.One(t, "C5.g_p_rt.brennan4")
	c.NotOurs("ms", squares)
	c.NotOurs("ss", squares)
	raters := int(c.In(t, "n_r"))
	y, person, item = byColumn(c.InTable(t, "scores_person_rows_columns_t1r1_to_t3r4"))
	task := apply(item, func(j int) int { return j / raters })
	v = fit(y, rating.Factor{Name: "person", Level: person}, rating.Factor{Name: "task", Level: task}, rating.Factor{Name: "rater in task", Level: item},
		rating.Factor{Name: "person x task", Level: pairs(person, task)})
	for k, name := range []string{"p", "t", "rt", "pt"} {
		c.Near(t, "vc."+name, v.Components[k].Variance, near)
	}
	c.Near(t, "vc.prt_e", v.Residual, near)
	for i := range c.OutLen(t, "dstudy") {
		at := fmt.Sprintf("dstudy.%d.", i)
		nt, nr := c.Out(t, at+"n_t"), c.Out(t, at+"n_r")
		d := rating.Depend(v.Components[0].Variance, []rating.Source{
			{v.Components[1].Variance, nt, false}, {v.Components[2].Variance, nt * nr, false}, {v.Components[3].Variance, nt, true}, {v.Residual, nt * nr, true}})
		c.Near(t, at+"g", d.G, near)
		c.Near(t, at+"phi", d.Phi, near)
	}

	c = published.One(t, "C5.g_pio.brennan3")
	c.NotOurs("ss", squares)
	items := int(c.In(t, "n_i"))
	y, person, item = byColumn(c.InTable(t, "scores_person_rows_columns_o1i1_to_o2i4"))
	occasion, question := apply(item, func(j int) int { return j / items }), apply(item, func(j int) int { return j % items })
	v = fit(y, rating.Factor{Name: "p", Level: person}, rating.Factor{Name: "i", Level: question}, rating.Factor{Name: "o", Level: occasion},
		rating.Factor{Name: "pi", Level: pairs(person, question)}, rating.Factor{Name: "po", Level: pairs(person, occasion)}, rating.Factor{Name: "io", Level: pairs(question, occasion)})
	for k, name := range []string{"p", "i", "o", "pi", "po", "io"} {
		c.Near(t, "vc."+name, v.Components[k].Variance, 1e-5) // six factors: the criterion is flat along o, estimated from two occasions
	}
	c.Near(t, "vc.pio_e", v.Residual, 1e-5)
	for i := range c.OutLen(t, "dstudy") {
		at := fmt.Sprintf("dstudy.%d.", i)
		ni, no := c.Out(t, at+"n_i"), c.Out(t, at+"n_o")
		over := []float64{ni, no, ni, no, ni * no}
		sources := []rating.Source{{Variance: v.Residual, Over: ni * no, Ranking: true}}
		for k, n := range over {
			sources = append(sources, rating.Source{Variance: v.Components[k+1].Variance, Over: n, Ranking: k == 2 || k == 3})
		}
		d := rating.Depend(v.Components[0].Variance, sources)
		c.Near(t, at+"g", d.G, 1e-5)
		c.Near(t, at+"phi", d.Phi, 1e-5)
	}
}

func TestComponentsOneWay(t *testing.T) {
	c := published.One(t, "C5.g_oneway.unbalanced")
	trainee := make([]int, 0)
	for _, id := range c.InList(t, "trainee") {
		trainee = append(trainee, int(id)-1)
	}
	v, err := rating.Components(c.InList(t, "score"), []rating.Factor{{Name: "trainee", Level: trainee}})
	if err != nil {
		t.Fatal(err)
	}
	for field, got := range map[string]float64{
		"reml.var_person": v.Components[0].Variance, "reml.var_error": v.Residual, "reml.grand_mean": v.Mean, "reml.loglik_reml": v.Criterion,
	} {
		c.Near(t, field, got, 1e-6)
	}
	for i, effect := range v.Components[0].Effects {
		c.Near(t, fmt.Sprintf("reml.shrunken_means.%d", i), v.Mean+effect.Value, 1e-6)
	}
}

// TestComponentsCrossed compares an unbalanced crossed design of our own with the R package lme4 1.1-31: lmer(y ~ 1 + (1|trainee) +
// (1|assessor)), ranef with condVar.
func TestComponentsCrossed(t *testing.T) {
	trainee := []int{1, 1, 1, 1, 2, 2, 2, 3, 3, 3, 3, 3, 4, 4, 4, 5, 5, 5, 5, 6, 6, 6, 7, 7, 7, 7, 8, 8, 8, 8}
	assessor := []int{1, 2, 3, 1, 2, 2, 4, 1, 3, 5, 5, 2, 4, 4, 1, 3, 2, 5, 1, 2, 3, 4, 5, 5, 1, 2, 3, 4, 4, 1}
	y := []float64{3, 2, 4, 3, 2, 3, 2, 4, 5, 3, 3, 4, 2, 1, 3, 4, 3, 3, 4, 3, 4, 2, 3, 2, 4, 3, 5, 3, 4, 5}
	less := func(i int) int { return i - 1 }
	v, err := rating.Components(y, []rating.Factor{{Name: "trainee", Level: apply(trainee, less)}, {Name: "assessor", Level: apply(assessor, less)}})
	if err != nil {
		t.Fatal(err)
	}
	near := func(name string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 2e-5 { // lme4's own optimiser stops at about 1e-5
			t.Errorf("%s = %.8g, want %.8g", name, got, want)
		}
	}
	near("trainee", v.Components[0].Variance, 0.374354436548)
	near("assessor", v.Components[1].Variance, 0.611335112431)
	near("residual", v.Residual, 0.176754178188)
	near("mean", v.Mean, 3.14289041071)
	near("standard error of the mean", v.MeanSE, 0.418807082341)
	near("criterion", v.Criterion, -31.0430613396)
	for k, want := range [][][2]float64{
		{{-0.55912308114, 0.2702337399}, {-0.36695621250, 0.2928081487}, {0.56258308655, 0.2597334442}, {-0.69324675523, 0.2976941902},
			{0.14289604981, 0.2670253956}, {-0.13072309127, 0.2860660561}, {0.04888392426, 0.2766071518}, {0.99568607952, 0.2733211406}},
		{{0.5571600375, 0.2419664962}, {-0.1825783982, 0.2432101742}, {0.9971830466, 0.2591939997}, {-0.7893847456, 0.2630287653}, {-0.5823799403, 0.2756204525}},
	} {
		for i, w := range want {
			near(fmt.Sprintf("%s %d", v.Components[k].Name, i+1), v.Components[k].Effects[i].Value, w[0])
			near(fmt.Sprintf("%s %d, standard error", v.Components[k].Name, i+1), v.Components[k].Effects[i].SE, w[1])
		}
	}
}

// TestNoDifference holds that a factor that makes no difference gets nothing, and all its levels the effect 0.
func TestNoDifference(t *testing.T) {
	v, err := rating.Components([]float64{1, 2, 1, 2, 1, 2, 2, 1}, []rating.Factor{{Name: "site", Level: []int{0, 0, 1, 1, 0, 0, 1, 1}}})
	if err != nil {
		t.Fatal(err)
	}
	if site := v.Components[0]; site.Variance != 0 || site.Effects[0].Value != 0 || site.Effects[1].SE != 0 {
		t.Errorf("%+v", site)
	}
	if d := rating.Depend(0, nil); d.G != 0 || d.Phi != 0 {
		t.Errorf("nobody differs: %+v", d)
	}
}

func TestRefusals(t *testing.T) {
	two := []rating.Factor{{Name: "a", Level: []int{0, 1, 0}}}
	_, same := rating.Components([]float64{1, 1, 1}, two)
	_, short := rating.Components([]float64{1, 2, 3, 4}, two)
	_, few := rating.Components([]float64{1, 2}, nil)
	_, each := rating.Components([]float64{1, 2, 3}, []rating.Factor{{Level: []int{0, 1, 2}}})
	_, shape := rating.Kappa([][]float64{{1, 2}}, nil, 0.95)
	_, counts := rating.Kappa([][]float64{{0, 0}, {0, 0}}, rating.Plain(2), 0.95)
	_, single := rating.Kappa([][]float64{{5, 0}, {0, 0}}, rating.Plain(2), 0.95)
	_, level := rating.ICC([][]float64{{1, 2}, {2, 1}}, 1)
	_, alpha := rating.Alpha([][]float64{{1, 0}, {0, 1}}, 0.95)
	_, fleiss := rating.FleissKappa([][]float64{{2, 0}, {1, 0}})
	for i, test := range []struct{ got, want error }{
		{same, rating.ErrNoRange}, {short, rating.ErrFactor}, {few, rating.ErrTooFew}, {each, rating.ErrTooFew}, {shape, rating.ErrShape},
		{counts, rating.ErrCounts}, {single, rating.ErrNoRange}, {level, rating.ErrLevel}, {alpha, rating.ErrNoRange}, {fleiss, rating.ErrCounts},
	} {
		if !errors.Is(test.got, test.want) {
			t.Errorf("%d: %v, want %v", i, test.got, test.want)
		}
	}
}

// TestSurgicalScale projects the published shares of a surgical rating scale: trainee 66.1 %, trainee x case 31.6 %, rater 2.3 %, at least
// three cases (Bilgic 2016, Surg Endosc).
func TestSurgicalScale(t *testing.T) {
	c := published.One(t, "C6.surgical_dstudy")
	trainee, byCase, rater := c.In(t, "share_trainee"), c.In(t, "share_trainee_by_case"), c.In(t, "share_rater")
	needed := map[string]int{}
	for i, n := range c.InList(t, "n_cases") {
		for name, raters := range map[string]float64{"one_rater_for_all": 1, "new_rater_each_case": n} {
			d := rating.Depend(trainee, []rating.Source{{Variance: byCase, Over: n, Ranking: true}, {Variance: rater, Over: raters}})
			c.Want(t, fmt.Sprintf("%s.%d", name, i), d.Phi)
			if needed[name] == 0 && d.Phi >= c.In(t, "target") {
				needed[name] = int(n)
			}
		}
	}
	c.Want(t, "cases_needed_one_rater", float64(needed["one_rater_for_all"]))
	c.Want(t, "cases_needed_new_raters", float64(needed["new_rater_each_case"]))
}

// TestShared: even numbers count as many as there are, uneven ones fewer; of 8 and 4 ratings 144 / 80 = 1.8 by hand.
func TestShared(t *testing.T) {
	for _, c := range []struct {
		ratings []int
		want    float64
	}{{nil, 0}, {[]int{0, 0}, 0}, {[]int{7}, 1}, {[]int{4, 4, 4}, 3}, {[]int{8, 4}, 1.8}, {[]int{8, 4, 0}, 1.8}} {
		if got := rating.Shared(c.ratings); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("Shared(%v) = %g, want %g", c.ratings, got, c.want)
		}
	}
}

// TestBetweenLimits: with the points 2.866 and 1/5.803 of F (5 % tables, 4 and 20 degrees of freedom), by hand.
func TestBetweenLimits(t *testing.T) {
	low, high, err := rating.BetweenLimits(2, 1, 5, 20, 0.90)
	if err != nil || math.Abs(low-(3/2.866-1)) > 1e-3 || math.Abs(high-(3*5.803-1)) > 1e-2 {
		t.Errorf("%g to %g, %v", low, high, err)
	}
	if low, high, err := rating.BetweenLimits(0, 1, 5, 20, 0.90); err != nil || low != 0 || !(high > 0) {
		t.Errorf("none found: %g to %g, %v", low, high, err)
	}
	for _, c := range []struct {
		noise, level float64
		n, free      int
		want         error
	}{{1, 1, 5, 20, rating.ErrLevel}, {1, 0.9, 1, 20, rating.ErrTooFew}, {1, 0.9, 5, 0, rating.ErrTooFew}, {0, 0.9, 5, 20, rating.ErrTooFew}} {
		if _, _, err := rating.BetweenLimits(2, c.noise, c.n, c.free, c.level); !errors.Is(err, c.want) {
			t.Errorf("%+v: %v", c, err)
		}
	}
}
