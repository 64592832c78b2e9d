// Package sheet takes items of the bank out and in as CSV, one item a row: for those who write questions in a spreadsheet. Every mistake
// has its row and column. Bytes in, items out; it knows no database.
package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"isthmus/assessment"
	"isthmus/assessment/question"
)

// Limits of a file that is read.
const (
	MaxBytes    = 20 << 20
	maxRows     = 5000
	maxCell     = 20_000 // bytes of a cell: the longest text of an item has 2000 characters
	maxFound    = 100    // mistakes told: nobody reads more
	mostOptions = 10
	mostMisses  = 10
)

// column is one column: its name, the field of an item it fills, and how it is written and read. read says what is wrong with a cell.
type column struct {
	name, field string
	write       func(it question.Item) string
	read        func(it *question.Item, cell string) error
}

// text is a column of one string.
func text(name string, of func(it *question.Item) *string) column {
	return column{name, name,
		func(it question.Item) string { return *of(&it) },
		func(it *question.Item, cell string) error { *of(it) = cell; return nil }}
}

// columns are all columns in the order they are written. A file may have them in any order, and leave out those it does not use.
var columns = build()

func build() []column {
	list := []column{
		text("id", func(it *question.Item) *string { return (*string)(&it.ID) }),
		{"version", "version", func(it question.Item) string { return strconv.Itoa(it.Version) }, readVersion},
		text("topic", func(it *question.Item) *string { return (*string)(&it.Topic) }),
		text("status", func(it *question.Item) *string { return (*string)(&it.Status) }),
		text("author", func(it *question.Item) *string { return &it.Author }),
		text("kind", func(it *question.Item) *string { return (*string)(&it.Kind) }),
		text("difficulty", func(it *question.Item) *string { return (*string)(&it.Difficulty) }),
		text("stem", func(it *question.Item) *string { return &it.Stem }),
		{"key", "key", func(it question.Item) string { return strings.Join(it.Key, " ") },
			readKey},
		text("rule", func(it *question.Item) *string { return (*string)(&it.Rule) }),
		{"keep_order", "keep_order", writeKeep, readKeep},
	}
	for i := range mostOptions {
		list = append(list, optionColumns(i)...)
	}
	list = append(list,
		numberColumn("number", "number.value", func(n *question.Number) *float64 { return &n.Value }),
		numberColumn("tolerance", "number.tolerance", func(n *question.Number) *float64 { return &n.Tolerance }),
		column{"unit", "number.unit", func(it question.Item) string {
			if it.Number == nil {
				return ""
			}
			return it.Number.Unit
		}, func(it *question.Item, cell string) error { asked(it).Unit = cell; return nil }})
	for i := range mostMisses {
		list = append(list, missColumns(i)...)
	}
	return append(list,
		column{"not_with", "not_with", func(it question.Item) string {
			ids := make([]string, len(it.NotWith))
			for i, id := range it.NotWith {
				ids[i] = string(id)
			}
			return strings.Join(ids, " ")
		}, func(it *question.Item, cell string) error {
			for _, id := range words(cell) {
				it.NotWith = append(it.NotWith, question.ItemID(id))
			}
			return nil
		}},
		text("rationale", func(it *question.Item) *string { return &it.Rationale }),
		text("source", func(it *question.Item) *string { return &it.Source }))
}

// words are the ids in a cell, between blanks or commas.
func words(cell string) []string {
	return strings.FieldsFunc(cell, func(c rune) bool { return strings.ContainsRune(" ,;\t\n", c) })
}

func readKey(it *question.Item, cell string) error {
	it.Key = words(cell)
	if len(it.Key) > mostOptions {
		it.Key = nil
		return fmt.Errorf("names more than %d options: write their ids with blanks between them, for example a c", mostOptions)
	}
	return nil
}

func readVersion(it *question.Item, cell string) error {
	n, err := strconv.Atoi(cell)
	if err != nil {
		return fmt.Errorf("%q is no whole number", shorten(cell))
	}
	it.Version = n
	return nil
}

func writeKeep(it question.Item) string {
	if it.KeepOrder {
		return "yes"
	}
	return ""
}

func readKeep(it *question.Item, cell string) error {
	switch strings.ToLower(cell) {
	case "yes":
		it.KeepOrder = true
	case "no":
	default:
		return fmt.Errorf("%q is neither yes nor no", shorten(cell))
	}
	return nil
}

// letters are the ids of options that have none in the file.
const letters = "abcdefghij"

// optionColumns are those of the i-th option. An option is there when its text is; options stand in the order of their columns.
func optionColumns(i int) []column {
	part := func(name string, of func(o *question.Option) *string) column {
		return column{fmt.Sprintf("option_%d_%s", i+1, name), fmt.Sprintf("options[%d].%s", i, name),
			func(it question.Item) string {
				if i >= len(it.Options) {
					return ""
				}
				return *of(&it.Options[i])
			},
			func(it *question.Item, cell string) error {
				for len(it.Options) <= i {
					it.Options = append(it.Options, question.Option{ID: letters[len(it.Options) : len(it.Options)+1]})
				}
				*of(&it.Options[i]) = cell
				return nil
			}}
	}
	return []column{
		part("id", func(o *question.Option) *string { return &o.ID }),
		part("text", func(o *question.Option) *string { return &o.Text }),
		part("feedback", func(o *question.Option) *string { return &o.Feedback }),
	}
}

// asked is the number an item asks for, made when the first cell of it is read.
func asked(it *question.Item) *question.Number {
	if it.Number == nil {
		it.Number = &question.Number{}
	}
	return it.Number
}

func numberColumn(name, field string, of func(n *question.Number) *float64) column {
	return column{name, field,
		func(it question.Item) string {
			if it.Number == nil {
				return ""
			}
			return number(*of(it.Number))
		},
		func(it *question.Item, cell string) error { return readNumber(of(asked(it)), cell) }}
}

// missColumns are those of the i-th wrong number.
func missColumns(i int) []column {
	at := func(it *question.Item) *question.MissNumber {
		n := asked(it)
		for len(n.Misses) <= i {
			n.Misses = append(n.Misses, question.MissNumber{})
		}
		return &n.Misses[i]
	}
	has := func(it question.Item) bool { return it.Number != nil && i < len(it.Number.Misses) }
	field := fmt.Sprintf("number.misses[%d]", i)
	return []column{
		{fmt.Sprintf("miss_%d_number", i+1), field + ".value", func(it question.Item) string {
			if !has(it) {
				return ""
			}
			return number(it.Number.Misses[i].Value)
		}, func(it *question.Item, cell string) error { return readNumber(&at(it).Value, cell) }},
		{fmt.Sprintf("miss_%d_feedback", i+1), field + ".feedback", func(it question.Item) string {
			if !has(it) {
				return ""
			}
			return it.Number.Misses[i].Feedback
		}, func(it *question.Item, cell string) error { at(it).Feedback = cell; return nil }},
	}
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// readNumber takes a point or a comma before the decimals; what has both is no number here.
func readNumber(into *float64, cell string) error {
	plain := cell
	if !strings.Contains(cell, ".") {
		plain = strings.Replace(cell, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(plain, 64)
	if err != nil || strings.ContainsAny(plain, "_xXpPnN") {
		return fmt.Errorf("%q is no number: write it with figures, for example 12.5", shorten(cell))
	}
	*into = x
	return nil
}

// shorten keeps a quoted cell from flooding a message.
func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}

// defaults are what an empty cell of these columns means.
func defaults(it *question.Item) {
	if it.Version == 0 {
		it.Version = 1
	}
	if it.Status == "" {
		it.Status = assessment.Draft
	}
	if it.Difficulty == "" {
		it.Difficulty = question.Middling
	}
}
