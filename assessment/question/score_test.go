package question_test

import (
	"math"
	"testing"

	"isthmus/assessment/question"
	"isthmus/competency/rating"
)

func marksOf(points ...float64) []question.Mark {
	var list []question.Mark
	for _, p := range points {
		list = append(list, question.Mark{Points: p, Right: p == 1, Answered: true})
	}
	return list
}

// TestTotal: worked by hand. 3 of 4 right: error sqrt(3 x 1 / 3) = 1 item, 25 points of a hundred.
func TestTotal(t *testing.T) {
	group := &question.Group{People: 40, Deviation: 2, Reliability: 0.75}
	for _, tt := range []struct {
		name    string
		marks   []question.Mark
		group   *question.Group
		percent float64
		se      float64
		method  question.Method
	}{
		{"nothing", nil, nil, 0, 0, question.Unknown},
		{"one", marksOf(1), nil, 100, 0, question.Unknown},
		{"three of four", marksOf(1, 1, 1, 0), nil, 75, 25, question.Binomial},
		{"all", marksOf(1, 1, 1, 1), nil, 100, 0, question.Unknown},
		{"none", marksOf(0, 0, 0, 0), nil, 0, 0, question.Unknown},
		{"below none", marksOf(-1, 0, 0.5, 0), nil, 0, 0, question.Unknown},
		{"with a group", marksOf(1, 1, 1, 0), group, 75, 25, question.Consistency}, // 2 x sqrt(0.25) = 1 item of 4
		{"all, with a group", marksOf(1, 1, 1, 1), group, 100, 25, question.Consistency},
		{"few people", marksOf(1, 1, 1, 0), &question.Group{People: 29, Deviation: 2, Reliability: 0.75}, 75, 25, question.Binomial},
		{"no reliability", marksOf(1, 1, 0, 0), &question.Group{People: 40, Deviation: 2, Reliability: -0.2}, 50, 100 / math.Sqrt(12), question.Binomial},
		{"not a number", marksOf(1, 1, 0, 0), &question.Group{People: 40, Deviation: 2, Reliability: math.NaN()}, 50, 100 / math.Sqrt(12), question.Binomial},
	} {
		s := question.Total(tt.marks, tt.group)
		if s.Percent != tt.percent || math.Abs(s.SE-tt.se) > 1e-12 || s.Method != tt.method {
			t.Errorf("%s: %+v", tt.name, s)
		}
	}
	s := question.Total(append(marksOf(1, 0.5), question.Mark{}), nil)
	if s.Items != 3 || s.Answered != 2 || s.Right != 1 || s.Points != 1.5 {
		t.Errorf("%+v", s)
	}
}

// TestConsistencyAgrees: the error by KR-20 is the standard error of measurement that the statistics of ratings give for the same table.
func TestConsistencyAgrees(t *testing.T) {
	var table [][]float64
	var totals []float64
	for i := range 40 {
		row, total := make([]float64, 8), 0.0
		for j := range row {
			if (i*7+j*5)%(11+j) > 4+j/3 || i > 4*j+8 {
				row[j] = 1
			}
			total += row[j]
		}
		table, totals = append(table, row), append(totals, total)
	}
	alpha, err := rating.Alpha(table, 0.95)
	if err != nil || alpha.Alpha <= 0 {
		t.Fatal(alpha, err)
	}
	mean, squares := 0.0, 0.0
	for _, x := range totals {
		mean += x / 40
	}
	for _, x := range totals {
		squares += (x - mean) * (x - mean)
	}
	s := question.Total(marksOf(1, 1, 0, 0, 1, 0, 1, 1), &question.Group{People: 40, Deviation: math.Sqrt(squares / 39), Reliability: alpha.Alpha})
	if want := 100 * alpha.SEM / 8; s.Method != question.Consistency || math.Abs(s.SE-want) > 1e-9 {
		t.Errorf("%+v, want an error of %v", s, want)
	}
}
