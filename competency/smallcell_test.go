package competency

import (
	"slices"
	"strconv"
	"strings"
	"testing"
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
		{[]int{2, 1, 56}, 5, []bool{true, true, true}, false}, // 3 would be the total less 56
		{[]int{1, 1, 1, 1, 1, 9}, 5, []bool{true, true, true, true, true, true}, false},
		{[]int{3, 0, 0}, 5, []bool{true, true, true}, true},
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

// TestHiddenCannotBeWorkedOut tries everything: of all lists of four counts that would be published alike, total included, every hidden count
// can have several values, also for who knows the rule; and no count below the limit is ever shown.
func TestHiddenCannotBeWorkedOut(t *testing.T) {
	const cells, most, tried = 4, 14, 7 // what is tried is up to 7; what it could be confused with is up to 14
	for _, limit := range []int{3, 4, 5} {
		values := map[string][cells]map[int]bool{}
		published := func(counts []int) (told string, hidden []bool) {
			sum := 0
			hidden, total := HideSmall(counts, limit)
			var b strings.Builder
			for i, n := range counts {
				sum += n
				if hidden[i] {
					b.WriteString(" hidden")
				} else {
					b.WriteString(" " + strconv.Itoa(n))
				}
			}
			if total {
				return b.String() + " of hidden", hidden
			}
			return b.String() + " of " + strconv.Itoa(sum), hidden
		}
		each(cells, most, func(counts []int) {
			told, _ := published(counts)
			known, found := values[told]
			for i, n := range counts {
				if !found {
					known[i] = map[int]bool{}
				}
				known[i][n] = true
			}
			values[told] = known
		})
		each(cells, tried, func(counts []int) {
			told, hidden := published(counts)
			for i, n := range counts {
				if !hidden[i] && n > 0 && n < limit {
					t.Fatalf("limit %d: %v shows %d", limit, counts, n)
				}
				if hidden[i] && len(values[told][i]) < 2 {
					t.Errorf("limit %d: who reads%s knows that place %d is %d", limit, told, i, n)
				}
			}
		})
	}
}

// each makes every list of so many counts up to the most.
func each(cells, most int, do func([]int)) {
	counts := make([]int, cells)
	for {
		do(counts)
		i := 0
		for ; i < cells && counts[i] == most; i++ {
			counts[i] = 0
		}
		if i == cells {
			return
		}
		counts[i]++
	}
}
