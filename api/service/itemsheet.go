package service

import (
	"cmp"
	"errors"
	"slices"
	"strconv"

	"isthmus/api/store"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/competency/item"
)

// answerSheet is everybody's first answers in tests: a row for each person, a column for each version of a question.
type answerSheet struct {
	people  []competency.PersonID
	refs    []question.Ref
	items   map[question.Ref]question.Item
	cells   [][]answerCell // by person and column
	best    []int          // the people, who has most right first
	tests   []NamedTest
	topics  []question.Topic
	answers int
}

// answerCell is one first answer.
type answerCell struct {
	asked  bool
	right  bool
	chosen []string // ids of options
	ms     int
	day    competency.Day
}

// answerSheet gathers the closed tests of the programme.
func (h *scene) answerSheet(q ItemQuery) (answerSheet, error) {
	tests, err := h.takenTests()
	if err != nil {
		return answerSheet{}, err
	}
	sheet := answerSheet{items: map[question.Ref]question.Item{}}
	if err := h.itemsAsked(&sheet, tests); err != nil {
		return sheet, err
	}
	spread(len(tests), func(i int) {
		for at, o := range tests[i].answers {
			tests[i].answers[at].Chosen = idsOf(sheet.items[question.Ref{Item: o.Item, Version: o.Version}], tests[i].Seed, o.Chosen)
		}
	})
	row, column := map[competency.PersonID]int{}, map[question.Ref]int{}
	for _, test := range tests { // the earliest first
		named := NamedTest{string(test.Own), test.Title}
		if named.ID == "" {
			named.ID = test.Title
		}
		if i := slices.IndexFunc(sheet.tests, func(t NamedTest) bool { return t.ID == named.ID }); i >= 0 {
			sheet.tests[i] = named
		} else {
			sheet.tests = append(sheet.tests, named)
		}
		if q.Test != "" && named.ID != q.Test {
			continue
		}
		day := competency.DayOf(test.StartedAt)
		for _, o := range test.answers {
			if !slices.Contains(sheet.topics, o.Topic) {
				sheet.topics = append(sheet.topics, o.Topic)
			}
			if q.Topic != "" && o.Topic != q.Topic {
				continue
			}
			at, known := row[test.Trainee]
			if !known {
				at = len(sheet.people)
				row[test.Trainee], sheet.people, sheet.cells = at, append(sheet.people, test.Trainee), append(sheet.cells, make([]answerCell, len(sheet.refs)))
			}
			ref := question.Ref{Item: o.Item, Version: o.Version}
			col, known := column[ref]
			if !known {
				col = len(sheet.refs)
				column[ref], sheet.refs = col, append(sheet.refs, ref)
			}
			for len(sheet.cells[at]) <= col {
				sheet.cells[at] = append(sheet.cells[at], answerCell{})
			}
			cell := &sheet.cells[at][col]
			if cell.asked {
				continue // the first answer counts
			}
			*cell = answerCell{asked: true, right: o.Right, ms: o.MS, chosen: o.Chosen, day: day}
			sheet.answers++
		}
	}
	for i := range sheet.cells {
		for len(sheet.cells[i]) < len(sheet.refs) {
			sheet.cells[i] = append(sheet.cells[i], answerCell{})
		}
	}
	slices.SortFunc(sheet.tests, func(a, b NamedTest) int { return cmp.Or(cmp.Compare(a.Title, b.Title), cmp.Compare(a.ID, b.ID)) })
	slices.Sort(sheet.topics)
	sheet.best = sheet.bestFirst()
	return sheet, nil
}

// takenTest is a closed test with its answers.
type takenTest struct {
	store.TestTaken
	answers []store.TestAnswer
}

// takenTests reads the closed tests of the programme, the earliest first.
func (h *scene) takenTests() ([]takenTest, error) {
	rows, err := h.tx.TestsTaken(h.programme.ID)
	if err != nil {
		return nil, err
	}
	tests, failed := make([]takenTest, len(rows)), make([]error, len(rows))
	spread(len(rows), func(i int) {
		tests[i].TestTaken = rows[i]
		tests[i].answers, failed[i] = rows[i].Answers()
	})
	return tests, errors.Join(failed...)
}

// idsOf are the options behind the labels that somebody was shown.
func idsOf(it question.Item, seed int64, labels []string) []string {
	if len(labels) == 0 || it.Kind != question.SingleBest && it.Kind != question.Several {
		return nil
	}
	order := question.Place(it, seed).Order
	ids := make([]string, 0, len(labels))
	for _, label := range labels {
		if n, err := strconv.Atoi(label); err == nil && n >= 1 && n <= len(order) {
			ids = append(ids, order[n-1])
		}
	}
	return ids
}

// itemsAsked finds the text of every version that was asked: in the bank, among the versions kept, or in the papers of the attempts.
func (h *scene) itemsAsked(sheet *answerSheet, tests []takenTest) error {
	own, err := h.tx.AllQuestionVersions(h.programme.ID)
	if err != nil {
		return err
	}
	for _, it := range append(question.Starter().Items(), own...) {
		sheet.items[question.Ref{Item: it.ID, Version: it.Version}] = it
	}
	for _, test := range tests {
		missing := slices.ContainsFunc(test.answers, func(o store.TestAnswer) bool {
			_, there := sheet.items[question.Ref{Item: o.Item, Version: o.Version}]
			return !there
		})
		if !missing {
			continue
		}
		whole, err := h.tx.QuizByID(h.programme.ID, test.ID)
		if err != nil {
			return err
		}
		for _, it := range whole.Items {
			sheet.items[question.Ref{Item: it.ID, Version: it.Version}] = it
		}
	}
	return nil
}

// table is the sheet as numbers: 1 for right, 0 for wrong, not asked.
func (s answerSheet) table() [][]float64 {
	table := make([][]float64, len(s.cells))
	for i, row := range s.cells {
		table[i] = make([]float64, len(row))
		for j, cell := range row {
			switch {
			case !cell.asked:
				table[i][j] = item.NotAsked
			case cell.right:
				table[i][j] = 1
			}
		}
	}
	return table
}
