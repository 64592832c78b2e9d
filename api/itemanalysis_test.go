package api

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/competency/item"
)

// TestItemAnalysis: 60 people of known abilities take ten items of known difficulty; what is told agrees with plain counts of them, the scale
// with how they were made, and an item with a wrong key is flagged.
func TestItemAnalysis(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		const people, items = 60, 10
		table := make([][]bool, people)
		form := storetest.Taken(t, db, north, w.clock.Now(), people, items, func(r *rand.Rand, p, i int) bool {
			ability := float64(p-people/2) / 15
			chance := 1 / (1 + math.Exp(-(ability - float64(i-items/2)/2.5)))
			if i == 3 {
				chance = 1 - chance // its key is wrong: the better people miss it
			}
			right := r.Float64() < chance
			table[p] = append(table[p], right)
			return right
		})
		var view service.ItemAnalysis
		w.as("mei").do("GET", in("/item-analysis"), nil).want(200).into(&view)
		if view.People != people || view.Answers != people*items || len(view.Items) != items || view.Whole.Alpha == nil || view.Whole.N != people || view.Scale.N < 30 || len(view.Charts) != 1 {
			t.Fatalf("%d people, %d answers, %d items, whole %+v, scale %+v", view.People, view.Answers, len(view.Items), view.Whole, view.Scale)
		}
		for _, line := range view.Items {
			i := slices.IndexFunc(form, func(it question.Item) bool { return it.ID == line.Item })
			right := 0
			for _, row := range table {
				if row[i] {
					right++
				}
			}
			for _, o := range line.Options {
				if o.Key && form[i].Kind == question.SingleBest && o.N != right || o.N > people {
					t.Errorf("%s: %+v is chosen by %d", line.Item, o, o.N)
				}
			}
			if line.N != people || line.Right != right || (form[i].Kind == question.SingleBest) != (len(line.Options) > 0 && form[i].Kind != question.Several) || line.Difficulty.Value != float64(right)/people || line.Seconds != float64(i+1) || line.Group != 16 {
				t.Errorf("%s: %+v, %d right", line.Item, line, right)
			}
			backwards := slices.ContainsFunc(line.Flags, func(f service.ItemFlag) bool { return f.Flag == "backwards" })
			if backwards != (i == 3) {
				t.Errorf("%s (%d) is flagged %v", line.Item, i, line.Flags)
			}
		}
		if first := view.Items[0]; len(first.Flags) == 0 {
			t.Errorf("what should be looked at does not come first: %+v", first)
		}
		if len(view.Scale.Scores) != view.Scale.Items+1 {
			t.Fatalf("%d scores of %d questions", len(view.Scale.Scores), view.Scale.Items)
		}
		counted, before := 0, math.Inf(-1)
		for right, score := range view.Scale.Scores {
			n := 0
			for _, row := range table {
				if len(slices.DeleteFunc(slices.Clone(row), func(good bool) bool { return !good })) == right {
					n++
				}
			}
			if score.Right != right || score.Trainees != n || !(score.Ability > before && score.SE > 0) {
				t.Errorf("%d right: %+v, counted %d", right, score, n)
			}
			counted, before = counted+n, score.Ability
		}
		if counted != people {
			t.Errorf("scores of %d people", counted)
		}
		w.as("mei").do("GET", in("/item-analysis?topic=none"), nil).want(200).into(&view)
		if len(view.Items) != 0 || view.Whole.Withheld == "" || view.Sites.Withheld == "" {
			t.Errorf("of no topic: %+v", view)
		}
		for _, who := range []string{"ines", "jonas", "ruth"} {
			w.as(who).do("GET", in("/item-analysis"), nil).want(403)
		}
	})
}

// TestItemAnalysisOfFew withholds every figure, and says how many it takes.
func TestItemAnalysisOfFew(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	storetest.Taken(t, w.store, north, w.clock.Now(), 9, 4, func(r *rand.Rand, _, _ int) bool { return r.IntN(2) == 0 })
	var view service.ItemAnalysis
	w.as("mei").do("GET", in("/item-analysis"), nil).want(200).into(&view)
	for _, line := range view.Items {
		if line.N != 9 || line.Withheld != "9 so far; it takes 10." || line.Difficulty != nil || line.Corrected != nil || line.Options != nil || line.Rasch != nil || len(line.Flags) > 0 {
			t.Errorf("of nine people: %+v", line)
		}
	}
	if len(view.Items) != 4 || view.Scale.Withheld == "" || view.Whole.Withheld == "" || len(view.Charts) != 0 {
		t.Errorf("%+v", view)
	}
}

// TestItemsBySite: 160 people as able at one of two sites as at the other; one question is much harder at the second site; it alone differs.
func TestItemsBySite(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		const people, odd = 160, 4
		form := storetest.Taken(t, db, north, w.clock.Now(), people, 10, func(r *rand.Rand, p, i int) bool {
			chance := 1 / (1 + math.Exp(-(float64(p/2-people/4)/27 - float64(i-5)/5)))
			if i == odd && p%2 == 1 {
				chance /= 8
			}
			return r.Float64() < chance
		})
		w.write(north, func(tx *store.Tx) error {
			for p := range people {
				id := competency.PersonID(fmt.Sprintf("taker-%04d", p))
				if err := tx.CreateRotation(store.Rotation{ID: "rotation-" + string(id), Programme: north, Person: id, Site: []string{"Harbour", "Valley"}[p%2], From: joined, CreatedBy: "amara", CreatedAt: w.clock.Now()}); err != nil {
					return err
				}
			}
			return tx.Audit("rotation", "many", nil, nil)
		})
		var view service.ItemAnalysis
		w.as("amara").do("GET", in("/item-analysis"), nil).want(200).into(&view)
		if view.Sites.Site != "Valley" || view.Sites.People != [2]int{80, 80} || len(view.Sites.Items) != 10 {
			t.Fatalf("%+v", view.Sites)
		}
		for _, one := range view.Sites.Items {
			if one.Large != (one.Item == form[odd].ID) || one.Large && !(one.Odds.Low > 1 && one.Delta < -1.5) {
				t.Errorf("%+v", one)
			}
		}
		for _, one := range view.Items {
			flagged := slices.ContainsFunc(one.Flags, func(f service.ItemFlag) bool { return f.Flag == item.Differs })
			if flagged != (one.Item == form[odd].ID) {
				t.Errorf("%s: flagged for its sites is %v", one.Item, flagged)
			}
		}
	})
}

// BenchmarkItemAnalysis is the page of 2,000 people and 120 items.
func BenchmarkItemAnalysis(b *testing.B) {
	w := newWorld(b, storetest.Open(b, sqlite))
	const items = 120
	storetest.Taken(b, w.store, north, w.clock.Now(), 2000, items, func(r *rand.Rand, p, i int) bool {
		return r.Float64() < 1/(1+math.Exp(-(float64(p-1000)/600-float64(i-items/2)/float64(items)*3)))
	})
	for b.Loop() {
		var view service.ItemAnalysis
		w.as("mei").do("GET", in("/item-analysis"), nil).want(200).into(&view)
	}
}
