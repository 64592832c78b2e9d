package panel

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"isthmus/competency"
	"isthmus/competency/item"
)

// Round is what a closed round of Angoff's method came to. What cannot be said with one judge is absent.
type Round struct {
	Round     int         `json:"round"`
	Percent   float64     `json:"percent"`
	Deviation *float64    `json:"deviation,omitempty"` // between the judges' marks, in percentage points
	SE        *float64    `json:"se,omitempty"`        // of the mark, by the judges only, in percentage points
	Judges    []JudgeMark `json:"judges"`
	Items     []Spread    `json:"items"`   // as in the panel
	Ratings   [][]float64 `json:"ratings"` // a row for each judge, as in Judges; a column for each item
}

// JudgeMark is the mark that would follow from one judge alone.
type JudgeMark struct {
	Judge   competency.PersonID `json:"judge"`
	Percent float64             `json:"percent"`
}

// Spread is how far the judges are apart on one item, in per cent.
type Spread struct {
	Item      string   `json:"item"`
	N         int      `json:"n"`
	Mean      float64  `json:"mean"`
	Deviation *float64 `json:"deviation,omitempty"` // absent with one judge
	Least     float64  `json:"least"`
	Most      float64  `json:"most"`
	Discuss   bool     `json:"discuss"` // the deviation is LargeSpread or more
}

// Result is what a panel came to.
type Result struct {
	Judges  int      `json:"judges"`
	Found   bool     `json:"found"` // false when Hofstee's lines do not meet: there is no mark then
	Percent float64  `json:"percent"`
	SE      *float64 `json:"se,omitempty"`   // by the judges only; Hofstee's method has none
	Fail    *float64 `json:"fail,omitempty"` // of Hofstee: the failing share, in per cent, at which the judges' line meets the scores
	Scores  int      `json:"scores,omitempty"`
	Below   int      `json:"below,omitempty"`  // of them, those below the mark: many equal scores just there make it differ from Fail
	Limits  *Limits  `json:"limits,omitempty"` // the judges' mean
}

// CloseRound ends the open round on the sheets that say everything; judges who had not got so far are left out from then on. Scores are
// those of people who sat the test, in per cent, one each. The error is ErrClosed, ErrNobody or ErrScores.
func (p Panel) CloseRound(sheets []Sheet, scores []float64) (Panel, error) {
	if p.Status != Open {
		return p, ErrClosed
	}
	var whole []Sheet
	left := slices.Clone(p.LeftOut)
	for _, judge := range p.Judges {
		if slices.Contains(p.LeftOut, judge) {
			continue
		}
		i := slices.IndexFunc(sheets, func(s Sheet) bool { return s.Judge == judge && s.Round == p.Round })
		if i >= 0 {
			if said, asked := p.Rated(sheets[i]); said == asked {
				whole = append(whole, sheets[i])
				continue
			}
		}
		left = append(left, judge)
	}
	if len(whole) == 0 {
		return p, ErrNobody
	}
	if p.Method == Hofstee {
		result, err := compromise(whole, scores)
		if err != nil {
			return p, err
		}
		p.Status, p.Result = Closed, &result
	} else {
		round, err := p.round(whole)
		if err != nil {
			return p, err
		}
		p.Rounds = append(slices.Clone(p.Rounds), round)
		if p.Round == 2 {
			p.Status, p.Result = Closed, &Result{Judges: len(whole), Found: true, Percent: round.Percent, SE: round.SE}
		} else {
			p.Round = 2
		}
	}
	p.LeftOut = left
	p.Revision++
	return p, nil
}

// round is what whole sheets of a round come to.
func (p Panel) round(whole []Sheet) (Round, error) {
	r := Round{Round: p.Round}
	estimates := make([][]float64, len(whole))
	for i, s := range whole {
		row := make([]float64, len(p.Items))
		for j, name := range p.Items {
			row[j] = s.Ratings[name]
			estimates[i] = append(estimates[i], row[j]/100)
		}
		r.Ratings = append(r.Ratings, row)
	}
	cut, err := item.Angoff(estimates)
	if err != nil {
		return r, err
	}
	ofHundred := 100 / float64(len(p.Items))
	r.Percent, r.Deviation, r.SE = cut.Percent, number(cut.Deviation*ofHundred), number(cut.SE*ofHundred)
	for i, s := range whole {
		r.Judges = append(r.Judges, JudgeMark{s.Judge, cut.ByJudge[i] * ofHundred})
	}
	for j, name := range p.Items {
		column := make([]float64, len(whole))
		for i := range whole {
			column[i] = r.Ratings[i][j]
		}
		spread := Spread{Item: name, N: len(column), Mean: stat.Mean(column, nil), Least: slices.Min(column), Most: slices.Max(column)}
		if len(column) > 1 {
			spread.Deviation = number(stat.StdDev(column, nil))
			spread.Discuss = *spread.Deviation >= LargeSpread
		}
		r.Items = append(r.Items, spread)
	}
	return r, nil
}

// number is a figure, or nothing where there is none.
func number(value float64) *float64 {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return nil
	}
	return &value
}

// compromise meets the judges' mean limits with the scores.
func compromise(whole []Sheet, scores []float64) (Result, error) {
	if len(scores) < FewestScores {
		return Result{}, ErrScores
	}
	var mean Limits
	n := float64(len(whole))
	for _, s := range whole {
		mean.LeastMark += s.Limits.LeastMark / n
		mean.HighestMark += s.Limits.HighestMark / n
		mean.LeastFail += s.Limits.LeastFail / n
		mean.HighestFail += s.Limits.HighestFail / n
	}
	mark, fail, found, err := item.Hofstee(scores, item.Compromise(mean))
	if err != nil {
		return Result{}, err
	}
	r := Result{Judges: len(whole), Found: found, Scores: len(scores), Limits: &mean}
	if found {
		r.Percent, r.Fail = mark, &fail
		for _, score := range scores {
			if score < mark {
				r.Below++
			}
		}
	}
	return r, nil
}

// Of is the mark for a form of some of the rated items, by the last round: each item counts the same. ok is false when one of them was not
// rated, or when the panel has no ratings.
func (p Panel) Of(items []string) (percent float64, se *float64, ok bool) {
	if len(p.Rounds) == 0 || len(items) == 0 {
		return 0, nil, false
	}
	last := p.Rounds[len(p.Rounds)-1]
	estimates := make([][]float64, len(last.Ratings))
	for _, name := range items {
		j := slices.Index(p.Items, name)
		if j < 0 {
			return 0, nil, false
		}
		for i, row := range last.Ratings {
			estimates[i] = append(estimates[i], row[j]/100)
		}
	}
	cut, err := item.Angoff(estimates)
	if err != nil {
		return 0, nil, false
	}
	return cut.Percent, number(100 * cut.SE / float64(len(items))), true
}
