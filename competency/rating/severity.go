package rating

import (
	"gonum.org/v1/gonum/stat/distuv"
)

// What it takes to tell how severe assessors are. Below five levels a variance can hardly be estimated (Gelman and Hill 2007, Data Analysis
// Using Regression, 11.5, from memory); the numbers for one assessor are common practice, no source.
const (
	FewestAssessors     = 5
	FewestTrainees      = 5
	FewestOfOne         = 5 // ratings by an assessor
	FewestTraineesOfOne = 3 // different trainees among them
)

// Why an assessor has no figure; Severity.Withheld is one of these, or empty.
const (
	WithheldFew   = "fewer than 5 ratings, or of fewer than 3 trainees"
	WithheldApart = "rated no trainee whom the others rated too: severity and the trainees' ability cannot be told apart"
	WithheldAlike = "the ratings show no difference between assessors beyond chance"
)

// Severity is how far below an average assessor one rates the same trainees, in units of the scale: positive is severe. It is shrunk
// towards 0 by how few ratings there are.
type Severity struct {
	Assessor  int // the level of the assessor, from 0
	N         int // ratings
	Trainees  int // different ones
	Value     float64
	SE        float64 // how far the true severity may lie from Value
	Low, High float64
	Withheld  string // why the four above are not told, and 0; empty when they are
}

// Severities are those of all assessors of a programme, with the model they come from.
type Severities struct {
	Model     Variances // the first component is the trainee, the second the assessor
	Level     float64   // two-sided confidence of every interval
	Assessors []Severity
}

// AssessorSeverity fits rating = mean + trainee + assessor + residual, trainees and assessors crossed, by restricted maximum likelihood
// (Components), and tells every assessor's severity with normal limits of its prediction error. trainee[i] and assessor[i] tell whose
// rating i is, from 0. Assessors are compared through the trainees they share: what a trainee is worth is taken out, the kind of case is
// not. The limits take the variances as known, so with few assessors they are a little too narrow. An assessor of whom too little is known
// gets a reason in place of figures, and all do where the assessors differ by no more than chance. The error is ErrLevel, ErrTooFew for
// fewer than five assessors or trainees with ratings, or one of Components.
func AssessorSeverity(ratings []float64, trainee, assessor []int, level float64) (Severities, error) {
	if !(level > 0 && level < 1) {
		return Severities{}, ErrLevel
	}
	model, err := Components(ratings, []Factor{{Name: "trainee", Level: trainee}, {Name: "assessor", Level: assessor}})
	if err != nil {
		return Severities{}, err
	}
	if rated(model.Components[0]) < FewestTrainees || rated(model.Components[1]) < FewestAssessors {
		return Severities{}, ErrTooFew
	}
	s := Severities{Model: model, Level: level}
	z := -distuv.UnitNormal.Quantile((1 - level) / 2)
	trainees, linked := acquainted(trainee, assessor, model.Components[1].Levels)
	for a, effect := range model.Components[1].Effects {
		one := Severity{Assessor: a, N: effect.Ratings, Trainees: trainees[a]}
		switch {
		case one.N < FewestOfOne || one.Trainees < FewestTraineesOfOne:
			one.Withheld = WithheldFew
		case !linked[a]:
			one.Withheld = WithheldApart
		case model.Components[1].Variance == 0:
			one.Withheld = WithheldAlike
		default:
			one.Value, one.SE = -effect.Value, effect.PredictionSE
			one.Low, one.High = one.Value-z*one.SE, one.Value+z*one.SE
		}
		s.Assessors = append(s.Assessors, one)
	}
	return s, nil
}

// rated counts the levels of a factor that have a rating.
func rated(c Component) int {
	n := 0
	for _, e := range c.Effects {
		if e.Ratings > 0 {
			n++
		}
	}
	return n
}

// acquainted counts the different trainees of each assessor, and tells who belongs to the largest group of assessors that trainees in
// common link, however indirectly.
func acquainted(trainee, assessor []int, assessors int) (trainees []int, linked []bool) {
	of, by := make([]map[int]bool, assessors), map[int][]int{}
	for i, a := range assessor {
		if of[a] == nil {
			of[a] = map[int]bool{}
		}
		if !of[a][trainee[i]] {
			of[a][trainee[i]] = true
			by[trainee[i]] = append(by[trainee[i]], a)
		}
	}
	trainees, linked = make([]int, assessors), make([]bool, assessors)
	seen, most := make([]bool, assessors), 0
	for a := range assessors {
		trainees[a] = len(of[a])
		if group := reach(a, of, by, seen); len(group) > most {
			most = len(group)
			clear(linked)
			for _, member := range group {
				linked[member] = true
			}
		}
	}
	return trainees, linked
}

// reach gathers whoever is linked to an assessor and not seen yet.
func reach(from int, of []map[int]bool, by map[int][]int, seen []bool) []int {
	if seen[from] {
		return nil
	}
	seen[from] = true
	group := []int{from}
	for k := 0; k < len(group); k++ {
		for t := range of[group[k]] {
			for _, other := range by[t] {
				if !seen[other] {
					seen[other] = true
					group = append(group, other)
				}
			}
		}
	}
	return group
}
