package sheet_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/assessment/question/sheet"
	"isthmus/assessment/strict"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// returns writes items and reads them again; what lies on the map is left out.
func returns(t rapid.TB, items []question.Item) sheet.Table {
	t.Helper()
	var want []question.Item
	for _, it := range items {
		if it.Kind != question.OnMap {
			want = append(want, it)
		}
	}
	table, err := sheet.Write(items)
	if err != nil || table.Items != len(want) || len(table.LeftOut) != len(items)-len(want) {
		t.Fatal(err, table.Items, table.LeftOut)
	}
	got, err := sheet.Read("t.csv", table.Data)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Fatal(diff)
	}
	return table
}

func TestStarterReturns(t *testing.T) {
	if table := returns(t, question.Starter().Items()); len(table.LeftOut) == 0 {
		t.Error("no item on the map is told as left out")
	}
}

// TestTemplate: it has an example of every kind that a table can hold, and is itself a table that can be read.
func TestTemplate(t *testing.T) {
	data, err := sheet.Template()
	if err != nil {
		t.Fatal(err)
	}
	items, err := sheet.Read("template.csv", data)
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[question.Kind]bool{}
	for _, it := range items {
		kinds[it.Kind] = true
		if it.Status != assessment.Draft {
			t.Errorf("%s is not a draft", it.ID)
		}
	}
	if len(items) != 4 || len(kinds) != 4 || kinds[question.OnMap] {
		t.Errorf("examples: %v", kinds)
	}
}

// anyText draws a text with what spreadsheets and CSV take for something else.
func anyText(t *rapid.T, name string, low int) string {
	text := rapid.StringOfN(rapid.SampledFrom([]rune("=+-@\t'\"\n;, aÄ\U0001F600")), low, 30, -1).Draw(t, name)
	if short := low - len([]rune(strings.TrimSpace(text))); short > 0 {
		text += strings.Repeat("x", short)
	}
	return text
}

// TestDrawnReturn: whatever stands in a cell comes back as it was, and no cell of the file begins as a formula.
func TestDrawnReturn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		it := question.Item{ID: "a", Version: rapid.IntRange(1, 1e6).Draw(t, "version"), Topic: "x", Status: assessment.Live, Author: anyText(t, "author", 1),
			Kind: question.SingleBest, Difficulty: question.Hard, Stem: anyText(t, "stem", 10), Rationale: anyText(t, "rationale", 10), Source: anyText(t, "source", 3)}
		if rapid.Bool().Draw(t, "a number") {
			x := rapid.Float64Range(-1e9, 1e9).Draw(t, "value")
			it.Kind = question.Numeric
			it.Number = &question.Number{Value: x, Tolerance: rapid.Float64Range(0, 1).Draw(t, "tolerance"), Unit: rapid.SampledFrom([]string{"%", "mm", "=m", " m "}).Draw(t, "unit")}
			if x > 0 {
				it.Number.Misses = []question.MissNumber{{Value: -x - 5, Feedback: anyText(t, "miss", 1)}}
			}
		} else {
			for i := range rapid.IntRange(3, 10).Draw(t, "options") {
				it.Options = append(it.Options, question.Option{ID: fmt.Sprintf("o%d", i), Text: anyText(t, "option", 1) + fmt.Sprint(i), Feedback: anyText(t, "feedback", 1)})
			}
			it.KeepOrder, it.Key = rapid.Bool().Draw(t, "keep"), []string{"o1"}
		}
		if it.Validate().Err() != nil {
			t.Skip("not valid")
		}
		table := returns(t, []question.Item{it})
		rows, err := csv.NewReader(bytes.NewReader(table.Data[3:])).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for _, cell := range slices.Concat(rows...) {
			if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
				t.Fatalf("%q would be run as a formula", cell)
			}
		}
	})
}

// small is a table with one item, columns in an order of its own, ids of options left out.
const small = `kind,id,topic,author,stem,key,option_1_text,option_1_feedback,option_2_text,option_2_feedback,option_3_text,option_3_feedback,number,tolerance,unit,rationale,source
single-best,one,lines,A,What is the answer to this?,b,First,no,Second,yes,Third,no,,,,Because it is so.,a paper
numeric,two,lines,A,How long is it in millimetres?,,,,,,,,"12,5",0.5,mm,Because it is so.,a paper
`

func TestSmall(t *testing.T) {
	for _, text := range []string{small, strings.ReplaceAll(strings.ReplaceAll(small, ",", ";"), `"12;5"`, "12,5"), "\xef\xbb\xbf" + strings.ReplaceAll(small, "\n", "\r\n")} {
		items, err := sheet.Read("s.csv", []byte(text))
		if err != nil || len(items) != 2 {
			t.Fatal(items, err)
		}
		if items[0].Options[1].ID != "b" || items[0].Version != 1 || items[0].Status != assessment.Draft || items[1].Number.Value != 12.5 {
			t.Errorf("%+v", items)
		}
	}
}

// TestMistakes: each is told with its row, its column and the column's name; the other row comes in.
func TestMistakes(t *testing.T) {
	tests := []struct {
		name, old, new string
		row, column    int
		field, says    string
		left           int
	}{
		{"kind", "single-best,", "best,", 2, 1, "kind", `"best" is unknown`, 1},
		{"id", ",one,", ",One,", 2, 2, "id", "lower-case words", 1},
		{"id twice", ",two,", ",one,", 3, 2, "id", "is the id of row 2 too", 1},
		{"stem", "What is the answer to this?", "What?", 2, 5, "stem", "between 10 and", 1},
		{"key", ",b,First", ",d,First", 2, 6, "key", "no option", 1},
		{"too long a key", ",b,First", "," + strings.Repeat("b ", 11) + ",First", 2, 6, "key", "more than 10 options", 1},
		{"too long a cell", ",b,First", ",b," + strings.Repeat("First", 5000), 2, 7, "", "more than 20000 bytes", 1},
		{"option without feedback", "First,no", "First,", 2, 8, "option_1_feedback", "between 1 and", 1},
		{"number", `"12,5"`, "twelve", 3, 13, "number", "is no number", 1},
		{"hexadecimal", `"12,5"`, "0x10", 3, 13, "number", "is no number", 1},
		{"not a number", `"12,5"`, "NaN", 3, 13, "number", "is no number", 1},
		{"tolerance", `0.5,mm`, "-1,mm", 3, 14, "tolerance", "between 0 and", 1},
		{"unit", ",mm,", ",,", 3, 15, "unit", "between 1 and", 1},
		{"unknown column", "rationale", "reason", 1, 16, "reason", "no column of this table", 0},
		{"missing column", ",source\n", "\n", 1, 0, "source", "is missing", 0},
		{"column twice", "tolerance", "number", 1, 14, "number", "given twice", 0},
		{"no column name", "a paper\nnumeric", "a paper,more\nnumeric", 2, 18, "", "under no column name", 1},
		{"quotes", "Because it is so.,a paper\nnumeric", "\"Because\" it,a paper\nnumeric", 2, 1, "", "quotes", 0},
		{"not UTF-8", "First", "\xff", 0, 0, "", "UTF-8", 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if !strings.Contains(small, tt.old) {
				t.Fatalf("no %q to replace", tt.old)
			}
			items, err := sheet.Read("s.csv", []byte(strings.Replace(small, tt.old, tt.new, 1)))
			var faults strict.Faults
			if !errors.As(err, &faults) || len(items) != tt.left {
				t.Fatalf("%v, items %v", err, items)
			}
			for _, f := range faults.List {
				if f.Line == tt.row && f.Column == tt.column && f.Field == tt.field && strings.Contains(f.Message, tt.says) {
					return
				}
			}
			t.Errorf("want %d:%d: %s: %s in\n%v", tt.row, tt.column, tt.field, tt.says, err)
		})
	}
	for _, empty := range []string{"", "\xef\xbb\xbf", strings.SplitAfter(small, "\n")[0]} {
		if _, err := sheet.Read("s.csv", []byte(empty)); err == nil {
			t.Errorf("%q is read as a table", empty)
		}
	}
}

func FuzzRead(f *testing.F) {
	template, err := sheet.Template()
	if err != nil {
		f.Fatal(err)
	}
	f.Add([]byte(small))
	f.Add(template)
	f.Fuzz(func(t *testing.T, data []byte) {
		items, _ := sheet.Read("f", data)
		for _, it := range items {
			if err := it.Validate().Err(); err != nil {
				t.Fatal(err)
			}
			if strings.Contains(fmt.Sprint(it), "\r") {
				return // ends of lines are not kept
			}
		}
		if len(items) > 0 {
			returns(t, items)
		}
	})
}
