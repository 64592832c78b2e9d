package published_test

import (
	"testing"

	"isthmus/competency/funnel"
	"isthmus/competency/interval"
	"isthmus/competency/item"
	"isthmus/competency/rating"
	"isthmus/competency/survival"
)

func FuzzIntervalJSON(f *testing.F) {
	fuzzJSON(f, func(a *awkward, show func(any, error)) {
		n := a.below(40) * (1 + a.below(2)*20_000)
		x, level := min(n, a.below(60))-a.below(256)/250, a.number()
		for _, of := range []func(int, int, float64) (interval.Proportion, error){interval.Wilson, interval.ClopperPearson, interval.MidP} {
			p, err := of(x, n, level)
			show(p, err)
		}
		between, err := interval.Between(x, n, a.below(40), 39, level)
		show(between, err)
		posterior, err := interval.Believe(x, n, a.number(), a.number(), level)
		show(posterior, err)
		if err == nil {
			show([]float64{posterior.Above(a.number()), posterior.Next(x, min(n, 100)), posterior.AtLeast(x, min(n, 100))}, nil)
		}
		cases, err := interval.WithoutFailure(a.number(), level)
		show(cases, err)
	})
}

func FuzzFunnelJSON(f *testing.F) {
	fuzzJSON(f, func(a *awkward, show func(any, error)) {
		target, units := a.number(), make([]funnel.Unit, a.below(8))
		for i := range units {
			n := a.below(100) * (1 + a.below(2)*1_000_000)
			units[i] = funnel.Unit{Events: min(n, a.below(50)), N: n}
		}
		limit, err := funnel.Limit(target, a.below(256), a.number())
		show(limit, err)
		places, phi, err := funnel.Overdispersed(units, target)
		show([]any{places, phi}, err)
	})
}

func FuzzSurvivalJSON(f *testing.F) {
	fuzzJSON(f, func(a *awkward, show func(any, error)) {
		groups, outcomes := make([][]survival.Subject, 1+a.below(4)), []survival.Outcome{}
		for g := range groups {
			for range a.below(6) {
				subject := survival.Subject{Time: a.number(), Event: a.below(2) == 1}
				groups[g] = append(groups[g], subject)
				outcomes = append(outcomes, survival.Outcome{Time: subject.Time, Cause: a.below(4)})
			}
		}
		level := a.number()
		for _, group := range groups {
			curve, err := survival.KaplanMeier(group, level)
			show(curve, err)
			if err == nil {
				step, _ := curve.At(a.number())
				show(step, nil)
			}
		}
		test, err := survival.LogRank(groups, a.number())
		show(test, err)
		incidence, err := survival.CumulativeIncidence(outcomes, 3)
		show(incidence, err)
	})
}

func FuzzItemJSON(f *testing.F) {
	fuzzJSON(f, func(a *awkward, show func(any, error)) {
		answers := a.zeroOne(a.below(9), a.below(6))
		list, err := item.Analyse(answers, a.number())
		show(list, err)
		rasch, err := item.FitRasch(answers)
		show(rasch, err)
		if err == nil {
			show(item.Ability(rasch.Difficulty, a.below(1+len(rasch.Difficulty))), nil)
		}
		cut, err := item.Angoff(a.table(a.below(4), a.below(4)))
		show(cut, err)
		mark, fail, _, err := item.Hofstee(a.list(a.below(6)), item.Compromise{LeastMark: a.number(), HighestMark: a.number(), LeastFail: a.number(), HighestFail: a.number()})
		show([]float64{mark, fail}, err)
		n := a.below(6)
		line, err := item.BorderlineRegression(a.list(n), a.list(n), a.number())
		show(line, err)
	})
}

func FuzzRatingJSON(f *testing.F) {
	fuzzJSON(f, func(a *awkward, show func(any, error)) {
		level, rows, columns := a.number(), a.below(6), a.below(5)
		alpha, err := rating.Alpha(a.table(rows, columns), level)
		show(alpha, err)
		icc, err := rating.ICC(a.table(rows, columns), level)
		show(icc, err)
		many, err := rating.FleissKappa(a.table(rows, columns))
		show(many, err)
		kappa, err := rating.Kappa(a.table(rows, rows), a.table(rows, rows), level)
		show(kappa, err)
		kappa, err = rating.Kappa(a.zeroOne(rows, rows), rating.Quadratic(rows), level)
		show(kappa, err)
		show(rating.Depend(a.number(), []rating.Source{{Variance: a.number(), Over: a.number(), Ranking: true}, {Variance: a.number(), Over: a.number()}}), nil)
		n := a.below(40)
		y, trainee, assessor := a.list(n), a.levels(n, 5), a.levels(n, 4)
		v, err := rating.Components(y, []rating.Factor{{Name: "trainee", Level: trainee}, {Name: "assessor", Level: assessor}})
		show(v, err)
		severity, err := rating.AssessorSeverity(y, trainee, assessor, level)
		show(severity, err)
	})
}
