package competency

import (
	"fmt"

	"isthmus/competency/rating"
)

// What a D-study looks at: means of so many cases from so many assessors, the targets of dependability, and how far it looks. 0.7 and 0.8 are
// common practice for decisions of moderate and high weight, no source.
var (
	dstudyCases   = []int{5, 10, 15, 20}
	dstudyTargets = []float64{0.7, 0.8}
)

const (
	dstudyAssessors = 5
	dstudyMost      = 100 // cases
)

// DStudyAssumptions is what the projection rests on beside RatingsAssumptions.
const DStudyAssumptions = "cases are shared out evenly between the assessors; the variances stay as they were"

// DStudy is how far a mean of the programme's own ratings on one scale can be trusted, by how many cases from how many assessors it is taken
// over. Without variances there is nothing but the reason, in Refused of the components.
type DStudy struct {
	RatingComponents
	Means       []MeanTrusted `json:"means"`  // by cases, then assessors
	Fewest      []FewestCases `json:"fewest"` // by target
	Note        string        `json:"note"`   // what makes the projection doubtful; empty when nothing does
	Level       float64       `json:"level"`
	Method      string        `json:"method"`
	Limits      string        `json:"limits"`
	Assumptions string        `json:"assumptions"`
}

// MeanTrusted is phi of a mean over cases from assessors, with its limits.
type MeanTrusted struct {
	Cases     int     `json:"cases"`
	Assessors int     `json:"assessors"`
	Phi       float64 `json:"phi"`
	Low       float64 `json:"low"`
	High      float64 `json:"high"`
}

// FewestCases is how many cases a target takes, for each number of assessors from 1 on; 0 is not within 100 cases. Says names the fewest of all.
type FewestCases struct {
	Phi   float64 `json:"phi"`
	Cases []int   `json:"cases"`
	Says  string  `json:"says"`
}

// ProjectRatings is the D-study of estimated components.
func ProjectRatings(k RatingComponents) DStudy {
	d := DStudy{
		RatingComponents: k, Means: []MeanTrusted{}, Fewest: []FewestCases{}, Level: ratingsLevel, Method: RatingsMethod, Limits: RatingsLimits,
		Assumptions: RatingsAssumptions + "; " + DStudyAssumptions,
	}
	if k.Refused != "" {
		return d
	}
	if k.Assessors < rating.FewestAssessors {
		d.Note = fmt.Sprintf("Of %d assessors it is hardly known how far assessors differ: rely on several of them, whatever the figures say of one.", k.Assessors)
	}
	for _, cases := range dstudyCases {
		for assessors := 1; assessors <= dstudyAssessors; assessors++ {
			panel := evenPanel(cases, assessors)
			limits := k.interval(panel)
			d.Means = append(d.Means, MeanTrusted{cases, assessors, rounded(k.depend(panel).Phi), limits.Low, limits.High})
		}
	}
	for _, target := range dstudyTargets {
		d.Fewest = append(d.Fewest, k.fewest(target))
	}
	return d
}

// evenPanel shares cases out as evenly as they go.
func evenPanel(cases, assessors int) []int {
	panel := make([]int, assessors)
	for i := range cases {
		panel[i%assessors]++
	}
	return panel
}

// fewest looks for the fewest cases that reach a target, for each number of assessors.
func (k RatingComponents) fewest(target float64) FewestCases {
	f := FewestCases{Phi: target, Cases: make([]int, dstudyAssessors)}
	best := 0 // assessors
	for a := 1; a <= dstudyAssessors; a++ {
		for n := a; n <= dstudyMost && f.Cases[a-1] == 0; n++ {
			if k.depend(evenPanel(n, a)).Phi >= target {
				f.Cases[a-1] = n
			}
		}
		if n := f.Cases[a-1]; n > 0 && (best == 0 || n < f.Cases[best-1]) {
			best = a
		}
	}
	if best == 0 {
		f.Says = fmt.Sprintf("Phi %.1f: not within %d cases from up to %d assessors.", target, dstudyMost, dstudyAssessors)
		return f
	}
	f.Says = fmt.Sprintf("Phi %.1f: %s from %s.", target, cases(f.Cases[best-1]), plural(best, "assessor"))
	return f
}

// AssessorSeverity is how far below an average assessor one rates the same trainees, in levels of the scale: positive is severe.
type AssessorSeverity struct {
	N        int       `json:"n"`
	Trainees int       `json:"trainees"`
	Value    float64   `json:"value"`
	Interval *Interval `json:"interval,omitempty"`
	Withheld string    `json:"withheld"` // why the figures are not told; empty when they are
}

// SeverityMethod names the estimate beside its figures.
const SeverityMethod = "effect of the assessor in a mixed model with trainees and assessors crossed, shrunk towards the average by how few ratings there are (Bates 2015, J Stat Softw 67(1))"

// SeveritiesOf tells how severe each assessor with a rating is on a scale, from a programme's signed cases, all versions in any order, as known
// by the end of a day. It never fails: without enough to go by every assessor has the same reason in Withheld.
func SeveritiesOf(versions []Rated, scale string, on Day) map[PersonID]AssessorSeverity {
	rated := ratedOn(versions, on)
	levels, trainees, assessors := make([]float64, len(rated)), make(ranks[PersonID]), make(ranks[PersonID])
	byTrainee, byAssessor := make([]int, len(rated)), make([]int, len(rated))
	for i, r := range rated {
		levels[i], byTrainee[i], byAssessor[i] = float64(r.on(scale)), trainees.of(r.Trainee), assessors.of(r.Assessor)
	}
	all := map[PersonID]AssessorSeverity{}
	fit, err := rating.AssessorSeverity(levels, byTrainee, byAssessor, ratingsLevel)
	for person, i := range assessors {
		if err != nil {
			all[person] = AssessorSeverity{N: countOf(byAssessor, i), Withheld: whyNoSeverity(err, len(trainees), len(assessors))}
			continue
		}
		one := fit.Assessors[i]
		s := AssessorSeverity{N: one.N, Trainees: one.Trainees, Value: rounded(one.Value), Withheld: one.Withheld}
		if one.Withheld == "" {
			s.Interval = &Interval{Low: rounded(one.Low), High: rounded(one.High), Level: ratingsLevel, Method: SeverityMethod}
		}
		all[person] = s
	}
	return all
}

func countOf(list []int, what int) int {
	n := 0
	for _, one := range list {
		if one == what {
			n++
		}
	}
	return n
}

// whyNoSeverity says why no assessor has a figure.
func whyNoSeverity(err error, trainees, assessors int) string {
	if trainees < rating.FewestTrainees || assessors < rating.FewestAssessors {
		return fmt.Sprintf("ratings of %d trainees by %d assessors: it takes %d and %d", trainees, assessors, rating.FewestTrainees, rating.FewestAssessors)
	}
	return whyNoComponents(err)
}
