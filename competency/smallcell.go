package competency

// DefaultSmallCells is the count below which a new programme lets no number leave it (common practice in published health statistics, no
// source for 5 itself).
const DefaultSmallCells = 5

// HideSmall says which counts of a table must not leave the programme, and whether their total must not: those from 1 to below the limit,
// and, since a single hidden count is the total less the others, the smallest of the others with it. The total goes where it is small
// itself, or where one hidden count has no other to hide behind. Zeros are shown. A limit of 1 or less hides nothing.
func HideSmall(counts []int, limit int) (hidden []bool, total bool) {
	hidden = make([]bool, len(counts))
	sum, covered, smallest := 0, 0, -1
	for i, n := range counts {
		sum += n
		switch {
		case n > 0 && n < limit:
			hidden[i] = true
			covered++
		case n > 0 && (smallest < 0 || n < counts[smallest]):
			smallest = i
		}
	}
	if covered == 1 && smallest >= 0 {
		hidden[smallest] = true
		covered++
	}
	return hidden, covered == 1 || sum > 0 && sum < limit
}
