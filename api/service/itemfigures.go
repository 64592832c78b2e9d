package service

import (
	"cmp"
	"math"
	"slices"

	"isthmus/assessment/question"
	"isthmus/competency/interval"
	"isthmus/competency/item"
	"isthmus/competency/rating"
)

// item is one line of the page.
func (s answerSheet) item(j int, ref question.Ref, a item.Analysis, rasch *RaschItem) AnalysedItem {
	it := s.items[ref]
	line := AnalysedItem{Item: ref.Item, Version: ref.Version, Topic: it.Topic, Kind: it.Kind, Stem: it.Stem, N: a.N, Right: int(math.Round(a.Difficulty * float64(a.N))), Flags: []ItemFlag{}}
	if a.N < item.FewestToTell {
		line.Withheld = tooFewWords(a.N, item.FewestToTell)
		line.Right = 0
		return line
	}
	if share, err := interval.Wilson(line.Right, a.N, itemLevel); err == nil {
		line.Difficulty = &Limits{share.Estimate, share.Low, share.High}
	}
	if low, high := item.CorrelationLimits(a.Corrected, a.N, itemLevel); !math.IsNaN(low) {
		line.Corrected = &Limits{a.Corrected, low, high}
	}
	line.Upper, line.Lower, line.Group, line.Rasch = a.Upper, a.Lower, a.GroupSize, rasch
	line.Seconds = s.seconds(j)
	infit := math.NaN()
	if rasch != nil {
		infit = rasch.Infit
	}
	chosen := s.options(j, it, a.GroupSize)
	for i, o := range chosen {
		line.Options = append(line.Options, AnalysedOption{Text: it.Options[i].Text, Key: o.Key, N: o.N, Upper: o.Upper, Lower: o.Lower})
	}
	for _, flag := range a.Flags(chosen, infit) {
		line.Flags = append(line.Flags, ItemFlag{flag, flagWords[flag]})
	}
	return line
}

// options counts the options of a choice: by all, by the best and by the weakest, who are those of the analysis.
func (s answerSheet) options(j int, it question.Item, size int) []item.Chosen {
	if it.Kind != question.SingleBest && it.Kind != question.Several {
		return nil
	}
	list := make([]item.Chosen, len(it.Options))
	for i, o := range it.Options {
		list[i].Key = slices.Contains(it.Key, o.ID)
	}
	order := slices.DeleteFunc(slices.Clone(s.best), func(i int) bool { return !s.cells[i][j].asked })
	for rank, i := range order {
		for at, o := range it.Options {
			if !slices.Contains(s.cells[i][j].chosen, o.ID) {
				continue
			}
			list[at].N++
			if rank < size {
				list[at].Upper += 1 / float64(size)
			}
			if rank >= len(order)-size {
				list[at].Lower += 1 / float64(size)
			}
		}
	}
	return list
}

// bestFirst are the people by their share right of all they were asked.
func (s answerSheet) bestFirst() []int {
	order, share := make([]int, len(s.cells)), make([]float64, len(s.cells))
	for i, row := range s.cells {
		right, asked := 0.0, 0.0
		for _, cell := range row {
			if cell.asked {
				asked++
			}
			if cell.right {
				right++
			}
		}
		order[i], share[i] = i, right/asked
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(share[b], share[a]) })
	return order
}

// seconds is the median time at a column.
func (s answerSheet) seconds(j int) float64 {
	var times []int
	for _, row := range s.cells {
		if row[j].asked {
			times = append(times, row[j].ms)
		}
	}
	slices.Sort(times)
	return float64(times[(len(times)-1)/2]+times[len(times)/2]) / 2000
}

// whole is the consistency, of those who were asked everything.
func (s answerSheet) whole(table [][]float64) WholeTest {
	var full [][]float64
	for _, row := range table {
		if !slices.ContainsFunc(row, math.IsNaN) {
			full = append(full, row)
		}
	}
	w := WholeTest{N: len(full), Items: len(s.refs), Method: alphaMethod}
	if len(full) < item.FewestToOverall {
		w.Withheld = "Of all who took the tests, " + tooFewWords(len(full), item.FewestToOverall) + " It takes people who were all asked the same questions: choose one test with a fixed form."
		return w
	}
	c, err := rating.Alpha(full, itemLevel)
	if err != nil {
		w.Withheld = "The totals do not differ."
		return w
	}
	w.Alpha, w.SEM = &Limits{c.Alpha, c.Low, c.High}, c.SEM
	return w
}

// scale fits the Rasch model to the columns that enough people were asked and that not everybody has right, or nobody. It gives which columns.
func (s answerSheet) scale(table [][]float64) (ItemScale, []int, *item.Rasch) {
	scale := ItemScale{Method: raschMethod, Scores: []ScoreEstimate{}}
	places := make([]int, len(s.refs))
	for j := range places {
		places[j] = j
	}
	for {
		kept := spreading(table, places)
		if len(kept) == len(places) {
			break
		}
		places = kept
	}
	scale.Items, scale.LeftOut = len(places), len(s.refs)-len(places)
	if len(places) < 2 {
		scale.Withheld = "Fewer than two questions were asked of " + plural(item.FewestForRasch, "trainee") + " and have both right and wrong answers."
		return scale, nil, nil
	}
	fit, err := item.FitRasch(columnsOf(table, places))
	switch {
	case err != nil:
		scale.Withheld = upperFirst(err.Error()) + "."
		return scale, nil, nil
	case fit.N < item.FewestForRasch:
		scale.N, scale.Withheld = fit.N, tooFewWords(fit.N, item.FewestForRasch)
		return scale, nil, nil
	}
	scale.N, scale.Scores = fit.N, scoresOf(columnsOf(table, places), fit.Difficulty)
	return scale, places, &fit
}

// scoresOf is Warm's estimate for each number right of a full table; of a table with gaps a number right does not mean the same of everybody.
func scoresOf(table [][]float64, difficulty []float64) []ScoreEstimate {
	trainees := make([]int, len(difficulty)+1)
	for _, row := range table {
		total := 0
		for _, x := range row {
			if math.IsNaN(x) {
				return []ScoreEstimate{}
			}
			total += int(x)
		}
		trainees[total]++
	}
	scores := make([]ScoreEstimate, len(trainees))
	for total, n := range trainees {
		person := item.Ability(difficulty, total)
		scores[total] = ScoreEstimate{Right: total, Trainees: n, Ability: person.Weighted, SE: person.SE}
	}
	return scores
}

// spreading are the columns of those given that FewestForRasch people were asked, and that some have right and some wrong among those who are
// neither all right nor all wrong.
func spreading(table [][]float64, places []int) []int {
	asked, right := make([]int, len(places)), make([]int, len(places))
	for _, row := range columnsOf(table, places) {
		total, n := 0.0, 0.0
		for _, x := range row {
			if !math.IsNaN(x) {
				total, n = total+x, n+1
			}
		}
		if total == 0 || total == n {
			continue
		}
		for at, x := range row {
			if !math.IsNaN(x) {
				asked[at]++
				right[at] += int(x)
			}
		}
	}
	var kept []int
	for at, j := range places {
		if asked[at] >= item.FewestForRasch && right[at] > 0 && right[at] < asked[at] {
			kept = append(kept, j)
		}
	}
	return kept
}

// columnsOf are some columns of a table.
func columnsOf(table [][]float64, places []int) [][]float64 {
	part := make([][]float64, len(table))
	for i, row := range table {
		part[i] = make([]float64, len(places))
		for at, j := range places {
			part[i][at] = row[j]
		}
	}
	return part
}

// byNeed puts what should be looked at first, then by topic and id.
func byNeed(a, b AnalysedItem) int {
	return cmp.Or(cmp.Compare(min(len(b.Flags), 1), min(len(a.Flags), 1)), cmp.Compare(a.Topic, b.Topic), cmp.Compare(a.Item, b.Item), cmp.Compare(a.Version, b.Version))
}
