package competency

// DefaultSmallCells is the count below which a new programme lets no number leave it (common practice in published health statistics, no
// source for 5 itself).
const DefaultSmallCells = 5

// HideSmall says which counts of a list must not leave the programme, where each thing counted has exactly one entry and how many there are
// in all is known or can be added up from another list; total says that this must not be told either, and with it no other list that adds up
// to it. Hidden are counts from 1 to below the limit, which is 3 or more. What is hidden together is the total less what is shown, so it must
// leave a doubt: it is more than one count, reaches the limit, and is neither the least nor the most that so many small counts can be, where
// each could only be 1, or one below the limit. Otherwise the next count in the list is hidden with it, and when there is none left every
// zero and the total.
func HideSmall(counts []int, limit int) (hidden []bool, total bool) {
	hidden = make([]bool, len(counts))
	gone, covered, last := 0, 0, 0
	for i, n := range counts {
		if n > 0 && n < limit {
			hidden[i] = true
			gone, covered, last = gone+n, covered+1, i
		}
	}
	for covered > 0 && (covered == 1 || gone < limit || gone == covered || gone == covered*(limit-1)) {
		next := following(last, counts, hidden)
		if next < 0 {
			for i := range hidden {
				hidden[i] = true
			}
			return hidden, true
		}
		hidden[next] = true
		gone, covered, last = gone+counts[next], covered+1, next
	}
	return hidden, false
}

// following is the next place, round the list, whose count is neither hidden nor 0; -1 when there is none. It goes by place and not by value:
// who knew that the smallest is taken could work out the one beside it.
func following(from int, counts []int, hidden []bool) int {
	for step := 1; step < len(counts); step++ {
		if at := (from + step) % len(counts); counts[at] > 0 && !hidden[at] {
			return at
		}
	}
	return -1
}
