package rating_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"isthmus/competency/rating"
)

// TestSeverity compares the design of TestComponentsCrossed with R 4.2: variances from lme4 1.1-31, then Henderson's equations for mean,
// trainees and assessors solved, minus the assessors' solutions and the roots of their part of the inverse's diagonal.
func TestSeverity(t *testing.T) {
	less := func(i int) int { return i - 1 }
	trainee := apply([]int{1, 1, 1, 1, 2, 2, 2, 3, 3, 3, 3, 3, 4, 4, 4, 5, 5, 5, 5, 6, 6, 6, 7, 7, 7, 7, 8, 8, 8, 8}, less)
	assessor := apply([]int{1, 2, 3, 1, 2, 2, 4, 1, 3, 5, 5, 2, 4, 4, 1, 3, 2, 5, 1, 2, 3, 4, 5, 5, 1, 2, 3, 4, 4, 1}, less)
	y := []float64{3, 2, 4, 3, 2, 3, 2, 4, 5, 3, 3, 4, 2, 1, 3, 4, 3, 3, 4, 3, 4, 2, 3, 2, 4, 3, 5, 3, 4, 5}
	s, err := rating.AssessorSeverity(y, trainee, assessor, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	for a, want := range [][2]float64{
		{-0.5571579910, 0.3804823664}, {0.1825776383, 0.3822927625}, {-0.9971780814, 0.3882362302}, {0.7893810766, 0.3957127736}, {0.5823773574, 0.3974565084},
	} {
		one := s.Assessors[a]
		reach := 1.6448536269514722 * want[1]
		for name, pair := range map[string][2]float64{
			"severity": {one.Value, want[0]}, "standard error": {one.SE, want[1]}, "low": {one.Low, want[0] - reach}, "high": {one.High, want[0] + reach},
		} {
			if math.Abs(pair[0]-pair[1]) > 3e-5 {
				t.Errorf("assessor %d: %s %.8f, want %.8f", a+1, name, pair[0], pair[1])
			}
		}
		if one.Withheld != "" || one.N < 5 || one.Trainees < 3 {
			t.Errorf("%+v", one)
		}
	}
}

// crossing draws ratings of trainees by assessors with known severities.
func crossing(random *rand.Rand, trainees, assessors, each int, spread float64) (y []float64, trainee, assessor []int, severity []float64) {
	ability := make([]float64, trainees)
	for i := range ability {
		ability[i] = random.NormFloat64() * 0.6
	}
	severity = make([]float64, assessors)
	for a := range severity {
		severity[a] = random.NormFloat64() * spread
	}
	for i := range trainees {
		for range each {
			a := random.IntN(assessors)
			y = append(y, 3+ability[i]-severity[a]+random.NormFloat64()*0.8)
			trainee, assessor = append(trainee, i), append(assessor, a)
		}
	}
	return y, trainee, assessor, severity
}

// TestSeverityCovers holds that the interval holds the severity the ratings were drawn with about as often as it says, and that severe
// assessors come out severe.
func TestSeverityCovers(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	inside, all, agree := 0, 0, 0
	for range 60 {
		y, trainee, assessor, severity := crossing(random, 20, 10, 8, 0.5)
		s, err := rating.AssessorSeverity(y, trainee, assessor, 0.9)
		if err != nil {
			t.Fatal(err)
		}
		for a, one := range s.Assessors {
			if one.Withheld != "" {
				continue
			}
			all++
			if one.Low <= severity[a] && severity[a] <= one.High {
				inside++
			}
			if one.Value*severity[a] > 0 {
				agree++
			}
		}
	}
	if share := float64(inside) / float64(all); all < 500 || share < 0.86 || share > 0.94 || float64(agree)/float64(all) < 0.75 {
		t.Errorf("%d severities of which %d inside their 90 %% interval, %d with the right sign", all, inside, agree)
	}
}

func TestSeverityWithheld(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	y, trainee, assessor, _ := crossing(random, 12, 6, 10, 0.5)
	for i := range 3 { // one assessor with three ratings
		y, trainee, assessor = append(y, 3), append(trainee, i), append(assessor, 6)
	}
	for i := range 8 { // one with trainees of their own
		y, trainee, assessor = append(y, 2+float64(i%3)), append(trainee, 12+i%4), append(assessor, 7)
	}
	s, err := rating.AssessorSeverity(y, trainee, assessor, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	for a, one := range s.Assessors {
		want := ""
		switch a {
		case 6:
			want = rating.WithheldFew
		case 7:
			want = rating.WithheldApart
		}
		if one.Withheld != want || (want == "") != (one.SE > 0) {
			t.Errorf("%+v, want withheld because %q", one, want)
		}
	}
	alike := make([]float64, 60)
	for i := range alike {
		alike[i] = float64(i / 6 % 2) // each of six assessors rates every trainee the same
	}
	s, err = rating.AssessorSeverity(alike, tens(60), apply(make([]int, 60), func(int) int { return 0 }), 0.9)
	if !errors.Is(err, rating.ErrFactor) {
		t.Errorf("one assessor: %+v, %v", s, err)
	}
	sixths := make([]int, 60)
	for i := range sixths {
		sixths[i] = i % 6
		alike[i] += []float64{0, 1, 0, 1, 1, 0}[(i+i/6)%6]
	}
	s, err = rating.AssessorSeverity(alike, tens(60), sixths, 0.9)
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range s.Assessors {
		if s.Model.Components[1].Variance == 0 && one.Withheld != rating.WithheldAlike {
			t.Errorf("nobody differs: %+v", one)
		}
	}
	if s.Model.Components[1].Variance != 0 {
		t.Errorf("the assessors were meant to be alike: %+v", s.Model.Components[1])
	}
	_, _, few, _ := crossing(random, 10, 3, 4, 1)
	y, trainee, _, _ = crossing(random, 10, 3, 4, 1)
	if _, err := rating.AssessorSeverity(y, trainee, few, 0.9); !errors.Is(err, rating.ErrTooFew) {
		t.Errorf("three assessors: %v, want %v", err, rating.ErrTooFew)
	}
	if _, err := rating.AssessorSeverity(y, trainee, few, 1); !errors.Is(err, rating.ErrLevel) {
		t.Errorf("%v, want %v", err, rating.ErrLevel)
	}
}

// tens numbers trainees who have six ratings each.
func tens(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i / 6
	}
	return list
}
