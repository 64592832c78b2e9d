package rating

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// crossed makes ratings of people by four assessors.
func crossed(seed uint64, n, people int, spread float64) (*problem, error) {
	random := rand.New(rand.NewPCG(seed, 2))
	own := make([]float64, people)
	for i := range own {
		own[i] = spread * random.NormFloat64()
	}
	y, person, assessor := make([]float64, n), make([]int, n), make([]int, n)
	for i := range n {
		person[i], assessor[i] = random.IntN(people), random.IntN(4)
		y[i] = own[person[i]] + 0.5*float64(assessor[i]) + random.NormFloat64()
	}
	return newProblem(y, []Factor{{Name: "person", Level: person}, {Name: "assessor", Level: assessor}})
}

// TestLowPlaceInside: these 21 ratings of four people have a low place of the criterion with both factors, 72.12, and a lower one without people,
// 72.00. lme4 1.1-31 (R 4.2.2) has both, 72.120730 and 71.997983, and finds the one or the other by its optimizer and where it starts.
func TestLowPlaceInside(t *testing.T) {
	p, err := crossed(0x1b44, 21, 4, 1.439453125)
	if err != nil {
		t.Fatal(err)
	}
	inside, ok := p.newton([]int{0, 1})
	if at := p.deviance(inside); !ok || math.Abs(at-72.120730) > 1e-6 {
		t.Fatalf("%v gives %v, %v", inside, at, ok)
	}
	found, err := p.settle()
	if at := p.deviance(found); err != nil || found[0] != 0 || math.Abs(at-71.997983) > 1e-6 {
		t.Errorf("%v gives %v, %v", found, at, err)
	}
}

// TestNothingLower holds that what is found is no worse than what a simplex over all finds, nor than any place of a net over both deviations.
func TestNothingLower(t *testing.T) {
	arrived, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p, err := crossed(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(20, 120).Draw(t, "n"), rapid.IntRange(3, 12).Draw(t, "people"), rapid.Float64Range(0, 2).Draw(t, "spread"))
		if err != nil {
			t.Skip(err)
		}
		all++
		if _, ok := p.newton([]int{0, 1}); ok {
			arrived++
		}
		found, err := p.settle()
		if err != nil {
			t.Fatal(err)
		}
		slow, err := p.simplex([]int{0, 1})
		if err != nil {
			t.Fatal(err)
		}
		places := [][]float64{slow}
		for _, a := range []float64{0, 0.05, 0.1, 0.2, 0.4, 0.7, 1, 1.5, 2.5, 5} {
			for _, b := range []float64{0, 0.05, 0.1, 0.2, 0.4, 0.7, 1, 1.5, 2.5, 5} {
				places = append(places, []float64{a, b})
			}
		}
		least := p.deviance(found)
		for _, place := range places {
			if lower := p.deviance(place); least > lower+1e-7 {
				t.Fatalf("%v gives %.10f, %v gives %.10f", found, least, place, lower)
			}
		}
	})
	if all > 50 && arrived < all/2 {
		t.Errorf("Newton's steps arrive %d times of %d", arrived, all)
	}
}
