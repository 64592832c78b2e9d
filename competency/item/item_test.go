package item_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"isthmus/competency/internal/published"
	"isthmus/competency/item"
)

func TestAnalyse(t *testing.T) {
	published.Each(t, func(t *testing.T, c published.Case) {
		for f, fraction := range []float64{item.UpperLower, 1.0 / 3} {
			list, err := item.Analyse(c.InTable(t, "responses"), fraction)
			if err != nil {
				t.Fatal(err)
			}
			for j, a := range list {
				at := fmt.Sprintf("items.%d.", j)
				group := fmt.Sprintf("%sdiscrimination.%d.", at, f)
				for name, got := range map[string]float64{
					at + "difficulty_p": a.Difficulty, at + "item_sd": a.Deviation, at + "item_total_r": a.Total, at + "corrected_item_total_r": a.Corrected,
					group + "group_size": float64(a.GroupSize), group + "p_upper": a.Upper, group + "p_lower": a.Lower, group + "D": a.Discriminal,
				} {
					c.Want(t, name, got)
				}
			}
		}
	}, "D1.items.brennan1", "D1.items.wuensch")
	c := published.One(t, "C4.kr20.wuensch") // the same answers; its shares are printed
	list, err := item.Analyse(c.InTable(t, "responses"), item.UpperLower)
	if err != nil {
		t.Fatal(err)
	}
	for j, a := range list {
		c.Want(t, fmt.Sprintf("p.%d", j), a.Difficulty)
	}
	c.NotOurs("total_variance_population", "it is compared in rating")
}

// answersOf lays out patterns of 0 and 1, each as often as the case says.
func answersOf(t *testing.T, c published.Case) [][]float64 {
	t.Helper()
	var answers [][]float64
	frequency := c.InList(t, "frequency")
	for i, pattern := range c.Inputs["patterns"].([]any) {
		row := make([]float64, len(pattern.(string)))
		for j, r := range pattern.(string) {
			row[j] = float64(r - '0')
		}
		for range int(frequency[i]) {
			answers = append(answers, row)
		}
	}
	return answers
}

// TestRasch takes section 6 of the Law School Admission Test (Bock and Lieberman 1970; difficulties of Andersen 1980) and the data of the
// R package eRm (Mair and Hatzinger 2007, J Stat Softw 20(9): log-likelihood -1434.482).
func TestRasch(t *testing.T) {
	published.Each(t, func(t *testing.T, c published.Case) {
		c.NotOurs("mml_normal", "marginal likelihood, which takes abilities to be normal; ours is conditional and does not")
		r, err := item.FitRasch(answersOf(t, c))
		if err != nil {
			t.Fatal(err)
		}
		c.Want(t, "cml.loglik", r.LogLik)
		c.Want(t, "cml.n_used", float64(r.N))
		for j := range r.Difficulty {
			c.Want(t, fmt.Sprintf("cml.difficulty.%d", j), r.Difficulty[j])
			c.Want(t, fmt.Sprintf("cml.se.%d", j), r.SE[j])
			c.Want(t, fmt.Sprintf("fit.infit_msq.%d", j), r.Infit[j])
			c.Want(t, fmt.Sprintf("fit.outfit_msq.%d", j), r.Outfit[j])
		}
		for i := range c.OutLen(t, "person_wle") {
			p := item.Ability(r.Difficulty, i)
			c.Want(t, fmt.Sprintf("person_wle.%d.theta", i), p.Weighted)
			c.Want(t, fmt.Sprintf("person_wle.%d.se", i), p.SE)
		}
		for i := range c.OutLen(t, "person_mle") {
			p := item.Ability(r.Difficulty, i+1)
			c.Want(t, fmt.Sprintf("person_mle.%d.theta", i), p.Likely)
			c.Want(t, fmt.Sprintf("person_mle.%d.se", i), p.LikelySE)
		}
	}, "D2.rasch.lsat6", "D2.rasch.raschdat1")
}

func TestCuts(t *testing.T) {
	c := published.One(t, "D3.angoff")
	cut, err := item.Angoff(c.InTable(t, "ratings"))
	if err != nil {
		t.Fatal(err)
	}
	for name, got := range map[string]float64{"cut_score": cut.Mark, "cut_percent": cut.Percent, "sd_judges": cut.Deviation, "se_cut": cut.SE} {
		c.Want(t, name, got)
	}
	for i, mark := range cut.ByJudge {
		c.Want(t, fmt.Sprintf("judge_cuts.%d", i), mark)
	}
	for j, mean := range cut.ByItem {
		c.Want(t, fmt.Sprintf("item_means.%d", j), mean)
	}
	c = published.One(t, "D3.hofstee")
	scores := c.InList(t, "scores")
	limits := item.Compromise{LeastMark: c.In(t, "c_min"), HighestMark: c.In(t, "c_max"), LeastFail: c.In(t, "f_min"), HighestFail: c.In(t, "f_max")}
	mark, fail, found, err := item.Hofstee(scores, limits)
	if err != nil || !found {
		t.Fatal(found, err)
	}
	c.Want(t, "cut_score", mark)
	c.Want(t, "fail_percent_at_cut", fail)
	limits.HighestFail, limits.LeastFail = 4, 1
	if _, _, found, err := item.Hofstee(scores, limits); found || err != nil {
		t.Errorf("limits that do not meet the scores give a mark (%v)", err)
	}
	c = published.One(t, "D3.borderline_regression")
	b, err := item.BorderlineRegression(c.InList(t, "global_grade"), c.InList(t, "checklist"), c.In(t, "borderline_grade"))
	if err != nil {
		t.Fatal(err)
	}
	for name, got := range map[string]float64{"intercept": b.Intercept, "slope": b.Slope, "cut_regression": b.Mark, "se_fit": b.SE, "r_squared": b.RSquared} {
		c.Want(t, name, got)
	}
}

func TestRefusals(t *testing.T) {
	_, shape := item.Analyse([][]float64{{1, 0}, {1}}, 0.27)
	_, half := item.Analyse([][]float64{{1, 0.5}, {1, 0}}, 0.27)
	_, few := item.Analyse([][]float64{{1, 0}}, 0.27)
	_, fraction := item.Analyse([][]float64{{1, 0}, {0, 1}}, 0.6)
	_, spread := item.FitRasch([][]float64{{1, 0, 1}, {1, 1, 0}, {1, 0, 0}})
	_, nobody := item.FitRasch([][]float64{{1, 1}, {0, 0}})
	_, apart := item.FitRasch([][]float64{{1, 0, 0}, {1, 1, 0}, {1, 0, 0}, {0, 1, 0}})
	_, judge := item.Angoff([][]float64{{1.2}})
	_, _, _, limits := item.Hofstee([]float64{1}, item.Compromise{})
	for i, test := range []struct{ got, want error }{
		{shape, item.ErrShape}, {half, item.ErrShape}, {few, item.ErrFew}, {fraction, item.ErrRange}, {spread, item.ErrNoSpread}, {nobody, item.ErrFew},
		{apart, item.ErrNoSpread}, {judge, item.ErrRange}, {limits, item.ErrRange},
	} {
		if !errors.Is(test.got, test.want) {
			t.Errorf("%d: %v, want %v", i, test.got, test.want)
		}
	}
}

// drawn makes answers of people by items that follow the model, from a fixed seed.
func drawn(people, items int) [][]float64 {
	random := rand.New(rand.NewPCG(1, 2))
	answers := make([][]float64, people)
	for i := range answers {
		ability := random.NormFloat64()
		answers[i] = make([]float64, items)
		for j := range answers[i] {
			if random.Float64() < 1/(1+math.Exp(float64(j)*3/float64(items)-1.5-ability)) {
				answers[i][j] = 1
			}
		}
	}
	return answers
}

// TestRecovers holds that difficulties the answers were drawn from are found again within their standard errors.
func TestRecovers(t *testing.T) {
	const items = 20
	r, err := item.FitRasch(drawn(1500, items))
	if err != nil {
		t.Fatal(err)
	}
	for j, b := range r.Difficulty {
		truth := float64(j)*3/items - 1.5*(items-1)/items
		if math.Abs(b-truth) > 4*r.SE[j] {
			t.Errorf("item %d: %.3f (standard error %.3f), drawn from %.3f", j, b, r.SE[j], truth)
		}
		if r.Infit[j] < 0.85 || r.Infit[j] > 1.15 {
			t.Errorf("item %d has infit %.2f", j, r.Infit[j])
		}
	}
}

func BenchmarkRasch(b *testing.B) {
	answers := drawn(2000, 120)
	for b.Loop() {
		if _, err := item.FitRasch(answers); err != nil {
			b.Fatal(err)
		}
	}
}
