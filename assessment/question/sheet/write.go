package sheet

import (
	"bytes"
	"encoding/csv"
	"strings"

	"isthmus/assessment"
	"isthmus/assessment/question"
)

// Table is what Write gives.
type Table struct {
	Data    []byte            // CSV in UTF-8, with the mark that spreadsheets need to see it
	Items   int               // rows below the column names
	LeftOut []question.ItemID // items on the atrial map, whose drawings no cell can hold
}

// Write makes a table of valid items that Read gives back equal, but for ends of lines: CSV has one for all (RFC 4180 section 2), so a
// carriage return before a line feed is lost. No cell can be taken for a formula. The same items give the same bytes.
func Write(items []question.Item) (Table, error) {
	var t Table
	rows := make([][]string, 1, len(items)+1)
	for _, c := range columns {
		rows[0] = append(rows[0], c.name)
	}
	for _, it := range items {
		if it.Kind == question.OnMap {
			t.LeftOut = append(t.LeftOut, it.ID)
			continue
		}
		row := make([]string, len(columns))
		for i, c := range columns {
			row[i] = guarded(c.write(it))
		}
		rows = append(rows, row)
	}
	var out bytes.Buffer
	out.WriteString(mark)
	w := csv.NewWriter(&out)
	if err := w.WriteAll(rows); err != nil {
		return Table{}, err
	}
	t.Data, t.Items = out.Bytes(), len(rows)-1
	return t, nil
}

const mark = "\xef\xbb\xbf" // without it spreadsheets take UTF-8 for something else

// guarded puts an apostrophe before what a spreadsheet would run as a formula, and before an apostrophe that stands there already, so that
// bare gives back the same; the log of cases does likewise.
func guarded(cell string) string {
	if cell != "" && strings.ContainsRune("=+-@\t\r'", rune(cell[0])) {
		return "'" + cell
	}
	return cell
}

// bare takes the apostrophe of guarded off.
func bare(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.ContainsRune("=+-@\t\r'", rune(cell[1])) {
		return cell[1:]
	}
	return cell
}

// Template is a table with one example of each kind, to be written over.
func Template() ([]byte, error) {
	t, err := Write(examples)
	return t.Data, err
}

// examples are plain on purpose: nobody should take them for questions to be used. They are drafts.
var examples = []question.Item{
	{ID: "example-single-best", Version: 1, Topic: "examples", Status: assessment.Draft, Author: "Your name", Kind: question.SingleBest, Difficulty: question.Easy,
		Stem: "Example: one option is the best answer. Which of these is a bird?", Key: []string{"b"},
		Options: []question.Option{{ID: "a", Text: "Trout", Feedback: "A fish."}, {ID: "b", Text: "Heron", Feedback: "Yes."}, {ID: "c", Text: "Otter", Feedback: "A mammal."}},
		NotWith: []question.ItemID{"example-several"}, Rationale: "Say here why the answer is right.", Source: "the source of the fact, or: common practice, no source"},
	{ID: "example-several", Version: 1, Topic: "examples", Status: assessment.Draft, Author: "Your name", Kind: question.Several, Difficulty: question.Middling, Rule: question.Share,
		Stem: "Example: several options are right, and the number is told. Which two of these are birds?", Key: []string{"a", "d"},
		Options:   []question.Option{{ID: "a", Text: "Heron", Feedback: "Yes."}, {ID: "b", Text: "Trout", Feedback: "A fish."}, {ID: "c", Text: "Otter", Feedback: "A mammal."}, {ID: "d", Text: "Wren", Feedback: "Yes."}},
		Rationale: "Say here why the answers are right.", Source: "common practice, no source"},
	{ID: "example-numeric", Version: 1, Topic: "examples", Status: assessment.Draft, Author: "Your name", Kind: question.Numeric, Difficulty: question.Hard,
		Stem:      "Example: the answer is a number in a unit. How long is half a metre?",
		Number:    &question.Number{Value: 50, Tolerance: 0.5, Unit: "cm", Misses: []question.MissNumber{{Value: 500, Feedback: "That is in millimetres."}}},
		Rationale: "Say here why the number is right.", Source: "common practice, no source"},
	{ID: "example-ordering", Version: 1, Topic: "examples", Status: assessment.Draft, Author: "Your name", Kind: question.Ordering, Difficulty: question.Easy, Rule: question.Pairs,
		Stem: "Example: all options are put in order. Order these by size, the smallest first.", Key: []string{"c", "a", "b"},
		Options:   []question.Option{{ID: "a", Text: "Wren", Feedback: "In the middle."}, {ID: "b", Text: "Heron", Feedback: "The largest."}, {ID: "c", Text: "Bee", Feedback: "The smallest."}},
		Rationale: "Say here why this order is right.", Source: "common practice, no source"},
}
