package rating

import (
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// TestTwoSearches holds that Newton's steps, where they arrive, arrive at a place no worse than the simplex finds.
func TestTwoSearches(t *testing.T) {
	arrived, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		n, people := rapid.IntRange(20, 120).Draw(t, "n"), rapid.IntRange(3, 12).Draw(t, "people")
		spread := rapid.Float64Range(0, 2).Draw(t, "spread")
		own := make([]float64, people)
		for i := range own {
			own[i] = spread * random.NormFloat64()
		}
		y, person, assessor := make([]float64, n), make([]int, n), make([]int, n)
		for i := range n {
			person[i], assessor[i] = random.IntN(people), random.IntN(4)
			y[i] = own[person[i]] + 0.5*float64(assessor[i]) + random.NormFloat64()
		}
		p, err := newProblem(y, []Factor{{Name: "person", Level: person}, {Name: "assessor", Level: assessor}})
		if err != nil {
			t.Skip(err)
		}
		all++
		at, ok := p.newton()
		if !ok {
			return
		}
		arrived++
		slow, err := p.simplex()
		if err != nil {
			t.Fatal(err)
		}
		if quick, sure := p.deviance(at), p.deviance(slow); quick > sure+1e-7 {
			t.Fatalf("%v gives %.10f, %v gives %.10f", at, quick, slow, sure)
		}
	})
	if all > 50 && arrived < all/2 {
		t.Errorf("Newton's steps arrive %d times of %d", arrived, all)
	}
}
