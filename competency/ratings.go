package competency

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"

	"isthmus/competency/rating"
)

// RatingsMethod names the estimate of the components beside their figures.
const RatingsMethod = "variance components of unbalanced ratings by restricted maximum likelihood (Bates 2015, J Stat Softw 67(1)); " +
	"phi for a mean over this trainee's own cases and assessors (Brennan 2001, Generalizability Theory)"

// RatingsLimits names the interval of phi.
const RatingsLimits = "F limits of the variance between trainees (Searle 1971, Linear Models), approximate for uneven numbers; the other components taken as estimated"

// RatingsAssumptions is what they rest on; show it with them.
const RatingsAssumptions = "assessors are as if drawn at random from many, whoever they are asked to rate; cases differ by chance; levels are evenly apart; " +
	"trainees are the same throughout: what they learn meanwhile counts as difference from case to case"

// The fewest ratings from which components are estimated: a variance between fewer people is hardly known at all. Common practice, no source.
const (
	fewestRatings   = 30
	fewestTrainees  = 5
	fewestAssessors = 3
)

// Rated is one signed version of a case as a rating of its trainee.
type Rated struct {
	Case            CaseID
	Trainee         PersonID
	Assessor        PersonID
	HelpGiven       int
	SupervisionNext int
	SignedAt        time.Time
	Withdrawn       bool
}

// on is the level on a scale.
func (r Rated) on(scale string) int {
	if scale == ScaleSupervisionNext {
		return r.SupervisionNext
	}
	return r.HelpGiven
}

// RatingComponents is why ratings in a programme differ on one scale: the variances, in squared levels, by their source. It is of all its
// trainees, so it comes with the evidence about each of them; without it nobody could compute the standing again.
type RatingComponents struct {
	Scale     string  `json:"scale"`
	On        Day     `json:"on"` // signed by the end of this day
	Ratings   int     `json:"ratings"`
	Trainees  int     `json:"trainees"`
	Assessors int     `json:"assessors"`
	Pairs     int     `json:"pairs"`       // trainees with an assessor who rated them
	Trainee   float64 `json:"trainee"`     // how far trainees differ
	Least     float64 `json:"trainee_low"` // its limits, 90 % two-sided: of few trainees they are wide
	Most      float64 `json:"trainee_high"`
	Assessor  float64 `json:"assessor"` // how far some assessors are severer than others
	Pair      float64 `json:"pair"`     // an assessor's own view of one trainee; part of Residual when no pair met twice
	Residual  float64 `json:"residual"` // from case to case
	Refused   string  `json:"refused"`  // why there are no variances; empty when there are
}

// EstimateRatings estimates the components on a scale from a programme's signed cases, all versions in any order, as known by the end of a
// day. It is pure, and it never fails: without enough to go by it says why in Refused.
func EstimateRatings(versions []Rated, scale string, on Day) RatingComponents {
	rated := ratedOn(versions, on)
	levels, trainees, assessors, pairs := make([]float64, len(rated)), make(ranks[PersonID]), make(ranks[PersonID]), make(ranks[[2]PersonID])
	byTrainee, byAssessor, byPair := make([]int, len(rated)), make([]int, len(rated)), make([]int, len(rated))
	for i, r := range rated {
		levels[i] = float64(r.on(scale))
		byTrainee[i], byAssessor[i], byPair[i] = trainees.of(r.Trainee), assessors.of(r.Assessor), pairs.of([2]PersonID{r.Trainee, r.Assessor})
	}
	k := RatingComponents{Scale: scale, On: on, Ratings: len(rated), Trainees: len(trainees), Assessors: len(assessors), Pairs: len(pairs)}
	if k.Refused = k.tooFew(); k.Refused != "" {
		return k
	}
	factors := []rating.Factor{{Name: "trainee", Level: byTrainee}, {Name: "assessor", Level: byAssessor}}
	if k.Pairs < k.Ratings {
		factors = append(factors, rating.Factor{Name: "pair", Level: byPair})
	}
	fit, err := rating.Components(levels, factors)
	if err != nil {
		k.Refused = whyNoComponents(err)
		return k
	}
	k.Trainee, k.Assessor, k.Residual = rounded(fit.Components[0].Variance), rounded(fit.Components[1].Variance), rounded(fit.Residual)
	if len(fit.Components) > 2 {
		k.Pair = rounded(fit.Components[2].Variance)
	}
	k.Least, k.Most = k.limits(byTrainee, byAssessor)
	return k
}

// limits are those of the variance between trainees. The error in a trainee's mean is what disturbs a comparison of trainees: not the severity
// of assessors, whom they share.
func (k RatingComponents) limits(byTrainee, byAssessor []int) (low, high float64) {
	panels := make([][]int, k.Trainees)
	for t := range panels {
		panels[t] = make([]int, k.Assessors)
	}
	for i, t := range byTrainee {
		panels[t][byAssessor[i]]++
	}
	noise := 0.0
	for _, panel := range panels {
		noise += rating.Depend(k.Trainee, k.errors(panel)[1:]).AbsoluteError / float64(k.Trainees)
	}
	low, high, err := rating.BetweenLimits(k.Trainee, noise, k.Trainees, k.Ratings-k.Trainees-k.Assessors+1, ratingsLevel)
	if err != nil { // no error left at all: the variance between trainees is all there is
		return k.Trainee, k.Trainee
	}
	return rounded(low), rounded(high)
}

// ratedOn is each case as it was signed last by the end of a day, by case.
func ratedOn(versions []Rated, on Day) []Rated {
	newest := map[CaseID]Rated{}
	for _, r := range versions {
		if known, ok := newest[r.Case]; DayOf(r.SignedAt) <= on && !r.Withdrawn && (!ok || r.SignedAt.After(known.SignedAt)) {
			newest[r.Case] = r
		}
	}
	rated := make([]Rated, 0, len(newest))
	for _, r := range newest {
		rated = append(rated, r)
	}
	slices.SortFunc(rated, func(a, b Rated) int { return cmp.Compare(a.Case, b.Case) })
	return rated
}

// ranks numbers things in the order they are first seen.
type ranks[T comparable] map[T]int

func (r ranks[T]) of(thing T) int {
	if _, known := r[thing]; !known {
		r[thing] = len(r)
	}
	return r[thing]
}

// tooFew says why these ratings cannot tell their sources apart; empty when they can. A trainee and an assessor are told apart by others who
// rated, and were rated: with fewer pairs than people nothing is left over to see it from.
func (k RatingComponents) tooFew() string {
	switch {
	case k.Trainees < fewestTrainees:
		return fmt.Sprintf("ratings of at least %d trainees are needed, there are %d", fewestTrainees, k.Trainees)
	case k.Assessors < fewestAssessors:
		return fmt.Sprintf("ratings by at least %d assessors are needed, there are %d", fewestAssessors, k.Assessors)
	case k.Ratings < fewestRatings:
		return fmt.Sprintf("at least %d ratings are needed, there are %d", fewestRatings, k.Ratings)
	case k.Pairs < k.Trainees+k.Assessors:
		return "too few trainees were rated by several assessors to tell a good trainee from a mild assessor"
	}
	return ""
}

func whyNoComponents(err error) string {
	if errors.Is(err, rating.ErrNoRange) {
		return "all ratings are alike, so they tell nobody apart"
	}
	return "the components cannot be estimated from these ratings: " + err.Error()
}

// ratingsLevel is the two-sided confidence of the limits.
const ratingsLevel = 0.90

// errors are the sources of error in a mean over numbers of cases, by assessor: the assessors first.
func (k RatingComponents) errors(panel []int) []rating.Source {
	n := 0
	for _, cases := range panel {
		n += cases
	}
	shared := rating.Shared(panel)
	return []rating.Source{
		{Variance: k.Assessor, Over: shared, Ranking: true}, {Variance: k.Pair, Over: shared, Ranking: true}, {Variance: k.Residual, Over: float64(n), Ranking: true},
	}
}

// depend is how far such a mean can be trusted.
func (k RatingComponents) depend(panel []int) rating.Dependability {
	return rating.Depend(k.Trainee, k.errors(panel))
}

// interval is that of phi: at the limits of the variance between trainees, the other components taken as they are.
func (k RatingComponents) interval(panel []int) *Interval {
	sources := k.errors(panel)
	return &Interval{Low: rounded(rating.Depend(k.Least, sources).Phi), High: rounded(rating.Depend(k.Most, sources).Phi), Level: ratingsLevel, Method: RatingsLimits}
}
