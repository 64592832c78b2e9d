package competency

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestHideSmall(t *testing.T) {
	for _, c := range []struct {
		counts []int
		limit  int
		hidden []bool
		total  bool
	}{
		{[]int{0, 7, 12}, 5, []bool{false, false, false}, false},
		{[]int{3, 7, 12}, 5, []bool{true, true, false}, false},
		{[]int{3, 4, 12}, 5, []bool{true, true, false}, false},
		{[]int{3, 0, 0}, 5, []bool{true, false, false}, true},
		{[]int{1, 1}, 5, []bool{true, true}, true},
		{[]int{1, 2}, 1, []bool{false, false}, false},
		{nil, 5, []bool{}, false},
	} {
		hidden, total := HideSmall(c.counts, c.limit)
		if !slices.Equal(hidden, c.hidden) || total != c.total {
			t.Errorf("HideSmall(%v, %d) = %v, %v, want %v, %v", c.counts, c.limit, hidden, total, c.hidden, c.total)
		}
	}
}

// TestHiddenCannotBeTaken: no small count is shown, and none is the shown total less the shown counts.
func TestHiddenCannotBeTaken(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		counts := rapid.SliceOfN(rapid.IntRange(0, 12), 0, 8).Draw(t, "counts")
		limit := rapid.IntRange(0, 10).Draw(t, "limit")
		hidden, total := HideSmall(counts, limit)
		sum, shown, gone := 0, 0, 0
		for i, n := range counts {
			sum += n
			switch {
			case hidden[i]:
				gone++
			case n > 0 && n < limit:
				t.Fatalf("%d is shown", n)
			default:
				shown += n
			}
			if hidden[i] && n == 0 {
				t.Fatal("a zero is hidden")
			}
		}
		if !total && (gone == 1 || sum > 0 && sum < limit) {
			t.Fatalf("%v, limit %d: the total %d gives %d away", counts, limit, sum, sum-shown)
		}
	})
}
