package published_test

import (
	"testing"

	"isthmus/competency/curve"
)

func FuzzCurveJSON(f *testing.F) {
	fuzzJSON(f, func(a *awkward, show func(any, error)) {
		failures := make([]bool, a.below(30))
		for i := range failures {
			failures[i] = a.below(3) == 0
		}
		w, err := curve.Learning(a.number(), a.number())
		show(w, err)
		path, err := curve.Chart(failures, w, a.number(), true)
		show(path, err)
		path, err = curve.Chart(failures, curve.Weights{Success: a.number(), Failure: a.number()}, a.number(), false)
		show(path, err)
		risks := a.list(len(failures))
		path, err = curve.RiskAdjusted(failures, risks, a.number(), a.number(), false)
		show(path, err)
		against, err := curve.Compare(failures, risks, a.number())
		show(against, err)
		design, err := curve.OperatingCharacteristic(curve.Weights{Success: a.number(), Failure: a.number()}, a.number(), a.number(), a.number(), a.below(60))
		show(design, err)
		by, err := curve.SignalBy(a.number(), w, a.number(), a.below(60))
		show(by, err)
		test, err := curve.NewSequential(a.number(), a.number(), a.number(), a.number())
		show(test, err)
		if err == nil {
			show(test.Path(failures), nil)
			if test.ExpectedAtS < 300 {
				decision, err := test.Decide(a.number())
				show(decision, err)
			}
		}
	})
}

func FuzzFitJSON(f *testing.F) {
	fuzzJSON(f, func(a *awkward, show func(any, error)) {
		n := a.below(14)
		design, won, tried, person := make([][]float64, n), make([]float64, n), make([]float64, n), a.levels(n, 3)
		for i := range design {
			design[i] = []float64{1, a.number()}
			tried[i] = float64(a.below(4))
			won[i] = min(tried[i], float64(a.below(4)))
		}
		for _, of := range []func([][]float64, []float64, []float64) (curve.Fit, error){curve.Logistic, curve.Probit} {
			fit, err := of(design, won, tried)
			show([]any{fit, fit.Coefficient}, err)
			if err == nil {
				target, err := fit.Reaches(0, 1, a.number(), a.number())
				show(target, err)
				show([]float64{fit.SE(0), fit.SE(1)}, nil)
			}
		}
		if a.below(16) == 0 { // slow
			mixed, err := curve.RandomIntercept(design, won, tried, person)
			show(mixed, err)
		}
		cases, values := a.list(n), a.list(n)
		for _, floor := range []bool{true, false} {
			power, err := curve.FitPower(cases, values, floor)
			show(power, err)
		}
		approach, err := curve.FitApproach(cases, values)
		show(approach, err)
		line, err := curve.OnLogs(cases, values, a.number())
		show(line, err)
	})
}
