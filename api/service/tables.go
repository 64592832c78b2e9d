package service

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"isthmus/api/report"
	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// tabled is a trainee as the tables tell of them.
type tabled struct {
	CohortTrainee
	judgement
	records []signedRecord
}

// tables writes the programme's tables, as a workbook or as CSV: people, standing, cases and ratings; for the outside cases in numbers and
// how many trainees are in which state, with small counts hidden.
func (h *scene) tables(one store.Report, ready func(int) error) (written, error) {
	if _, err := h.gatherAll(); err != nil {
		return written{}, err
	}
	cohort, err := h.cohort(CohortQuery{On: string(one.On)})
	if err != nil {
		return written{}, err
	}
	line, err := h.standards()
	if err != nil {
		return written{}, err
	}
	standard, err := line.at(one.On)
	if err != nil {
		return written{}, err
	}
	trainees := make([]tabled, len(cohort.Trainees))
	for i, t := range cohort.Trainees {
		trainees[i].CohortTrainee = t
		if trainees[i].judgement, err = h.judge(t.ID, one.On); err != nil {
			return written{}, err
		}
		if trainees[i].records, err = h.signedRecords(t.ID, one.On); err != nil {
			return written{}, err
		}
		if err := ready(i + 1); err != nil {
			return written{}, err
		}
	}
	slices.SortFunc(trainees, func(a, b tabled) int { return strings.Compare(string(a.ID), string(b.ID)) })
	book := report.Book{Programme: h.programme.Name, On: string(one.On), Standard: standardWords(standard), Caution: atrium.Caution, Made: h.now}
	if one.Outside {
		limit := h.programme.Settings.Filled().SmallCells
		book.About = []report.Fact{{Name: "small counts", Value: smallWords(limit)}}
		var all []signedRecord
		for _, t := range trainees {
			all = append(all, t.records...)
		}
		book.Sheets = []report.Sheet{caseCounts(all, limit), stateCounts(trainees, limit)}
	} else {
		people, standing := peopleSheets(trainees)
		cases, ratings, err := h.caseSheets(trainees)
		if err != nil {
			return written{}, err
		}
		book.Sheets = []report.Sheet{people, standing, cases, ratings}
	}
	return h.bound(book, one)
}

// bound seals tables and writes their file.
func (h *scene) bound(book report.Book, one store.Report) (written, error) {
	hash, code, err := book.Seal(string(h.programme.ID))
	if err != nil {
		return written{}, err
	}
	made := written{standard: book.Standard, contentHash: hash, code: code}
	if one.Kind == store.Workbook {
		made.name = "workbook-" + string(one.On) + ".xlsx"
		made.data, err = report.XLSX(book, code)
	} else {
		made.name = "tables-" + string(one.On) + ".zip"
		made.data, err = report.CSV(book, code)
	}
	return made, err
}

// midnight is a calendar day as a cell; nil for none.
func midnight(day competency.Day) any {
	at, err := time.Parse(time.DateOnly, string(day))
	if err != nil {
		return nil
	}
	return at
}

// peopleSheets are the trainees, and their standing line by line.
func peopleSheets(trainees []tabled) (people, standing report.Sheet) {
	people = report.Sheet{Name: "people", Says: "A trainee of the programme on the day.", Fields: []report.Field{
		{Name: "trainee", Type: report.Words, Meaning: "Id of the trainee, the same on every sheet."}, {Name: "name", Type: report.Words, Meaning: "Name."},
		{Name: "since", Type: report.Day, Meaning: "First day as a trainee here."}, {Name: "standard", Type: report.Words, Meaning: "Id of the standard that judges the trainee."},
		{Name: "standard_version", Type: report.Whole, Meaning: "Its version."}, {Name: "met", Type: report.Whole, Meaning: "Requirements met."},
		{Name: "requirements", Type: report.Whole, Meaning: "Requirements there are."}, {Name: "ready", Type: report.YesNo, Meaning: "Ready for committee review: every requirement met. People decide."},
		{Name: "overall", Type: report.Words, Meaning: "The same in words."}, {Name: "needed", Type: report.Words, Meaning: "What is needed from somebody first; empty when nothing is."},
	}}
	standing = report.Sheet{Name: "standing", Says: "One requirement of one trainee on the day.", Fields: []report.Field{
		{Name: "trainee", Type: report.Words, Meaning: "Id of the trainee."}, {Name: "requirement", Type: report.Words, Meaning: "Id in the standard."},
		{Name: "kind", Type: report.Words, Meaning: "What sort of requirement."}, {Name: "says", Type: report.Words, Meaning: "The requirement in words."},
		{Name: "state", Type: report.Words, Meaning: "met, on-course, short, lapsed or not-enough-data."}, {Name: "value", Type: report.Number, Meaning: "Where the trainee is, in the unit."},
		{Name: "target", Type: report.Number, Meaning: "What is asked for, in the unit."}, {Name: "unit", Type: report.Words, Meaning: "cases, share (0 to 1), patterns, chart, topics or phi."},
		{Name: "n", Type: report.Whole, Meaning: "Cases, plans or results the value rests on."}, {Name: "low", Type: report.Number, Meaning: "Lower end of the interval; empty without one."},
		{Name: "high", Type: report.Number, Meaning: "Upper end."}, {Name: "level", Type: report.Share, Meaning: "Confidence of the interval."},
		{Name: "method", Type: report.Words, Meaning: "How the interval is computed."}, {Name: "left_out", Type: report.Whole, Meaning: "Pieces of evidence that were not used."},
		{Name: "rests_on", Type: report.Words, Meaning: "What the state rests on."}, {Name: "next", Type: report.Words, Meaning: "What would move it; empty when met."},
	}}
	for _, t := range trainees {
		met := 0
		for _, r := range t.standing.Requirements {
			if r.State == competency.Met {
				met++
			}
			row := []any{string(t.ID), r.Requirement, r.Kind, r.Says, string(r.State), r.Value, r.Target, r.Unit, r.N, nil, nil, nil, nil, len(r.LeftOut), r.Explanation, r.Next}
			if r.Interval != nil {
				row[9], row[10], row[11], row[12] = r.Interval.Low, r.Interval.High, r.Interval.Level, r.Interval.Method
			}
			standing.Rows = append(standing.Rows, row)
		}
		people.Rows = append(people.Rows, []any{string(t.ID), t.Name, midnight(t.Since), t.standing.Standard, t.standing.StandardVersion, met, len(t.standing.Requirements), t.Ready, t.Overall, t.Attention})
	}
	return people, standing
}

// caseCounts are the cases for the outside.
func caseCounts(records []signedRecord, limit int) report.Sheet {
	sheet := report.Sheet{Name: "cases", Says: "How many signed-off cases of the programme's trainees have an entry of a list.", Fields: []report.Field{
		{Name: "list", Type: report.Words, Meaning: "What is counted by."}, {Name: "entry", Type: report.Words, Meaning: "Entry of the list."},
		{Name: "cases", Type: report.Counted, Meaning: "Cases. " + smallWords(limit) + " A case can have several kinds of event."},
	}}
	t := tell(records, limit)
	if t.all {
		sheet.Rows = append(sheet.Rows, []any{"all", "All", t.n})
	}
	for _, list := range t.lists {
		for i, name := range list.names {
			sheet.Rows = append(sheet.Rows, []any{list.title, name, countOr(list.counts[i], list.hidden[i])})
		}
	}
	return sheet
}

// countOr is a count as a cell, or the word that hides it.
func countOr(n int, hidden bool) any {
	if hidden {
		return hiddenWord
	}
	return n
}

// stateCounts say how many trainees are in which state of a requirement. Those of the standards are one row each.
func stateCounts(trainees []tabled, limit int) report.Sheet {
	states := []competency.State{competency.Met, competency.OnCourse, competency.Short, competency.Lapsed, competency.NotEnoughData}
	sheet := report.Sheet{Name: "standing", Says: "How many trainees are in which state of a requirement.", Fields: []report.Field{
		{Name: "standard", Type: report.Words, Meaning: "Id and version."}, {Name: "requirement", Type: report.Words, Meaning: "The requirement in words."},
	}}
	for _, state := range states {
		sheet.Fields = append(sheet.Fields, report.Field{Name: string(state), Type: report.Counted, Meaning: "Trainees. " + smallWords(limit)})
	}
	type line struct{ standard, says string }
	counts, order := map[line][]int{}, []line{}
	for _, t := range trainees {
		for _, r := range t.standing.Requirements {
			l := line{fmt.Sprintf("%s, version %d", t.standing.Standard, t.standing.StandardVersion), r.Says}
			if counts[l] == nil {
				counts[l], order = make([]int, len(states)), append(order, l)
			}
			if i := slices.Index(states, r.State); i >= 0 {
				counts[l][i]++
			}
		}
	}
	hidden, nothing := map[line][]bool{}, false
	for _, l := range order {
		var total bool
		hidden[l], total = competency.HideSmall(counts[l], limit)
		nothing = nothing || total // every line adds up to the trainees
	}
	for _, l := range order {
		row := []any{l.standard, l.says}
		for i, n := range counts[l] {
			row = append(row, countOr(n, nothing || hidden[l][i]))
		}
		sheet.Rows = append(sheet.Rows, row)
	}
	return sheet
}
