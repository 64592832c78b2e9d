package service

import (
	"fmt"
	"slices"
	"strconv"

	"isthmus/api/report"
	"isthmus/competency"
)

// hiddenWord stands for a count that does not leave the programme.
const hiddenWord = "hidden"

// smallWords say what is hidden.
func smallWords(limit int) string {
	return fmt.Sprintf("Counts from 1 to %d are hidden, and others with them where one could be worked out from the total.", limit-1)
}

// tally is a list of what cases can be, with how many are which, and which counts stay in the programme.
type tally struct {
	title  string
	names  []string
	counts []int
	hidden []bool
}

// word is a count as it leaves the programme.
func (t tally) word(i int) string {
	if t.hidden[i] {
		return hiddenWord
	}
	return strconv.Itoa(t.counts[i])
}

// told are the cases of a programme or a trainee as they leave it, in numbers.
type told struct {
	n     int
	all   bool // how many there are is told
	lists []tally
}

// tell counts cases by what says nothing of a single one, and hides what is small. Every list but the kinds of event adds up to all cases: where
// one must not tell how many these are, none tells anything. A case can have several kinds of event; they are told only beside how many
// cases had any.
func tell(records []signedRecord, limit int) told {
	const none, some = "none", "some"
	events := []competency.Choice{{ID: some, Name: "One or more"}, {ID: none, Name: "None"}}
	t := told{n: len(records), all: true, lists: []tally{
		tallied("Operation", competency.Operations, records, func(r signedRecord) []string { return []string{r.Record.Operation} }),
		tallied("AF pattern", competency.PatternChoices, records, func(r signedRecord) []string { return []string{string(r.Computed.Pattern)} }),
		tallied("Scope", competency.ScopeChoices, records, func(r signedRecord) []string { return []string{string(r.Computed.Scope)} }),
		tallied("Role", competency.RoleChoices, records, func(r signedRecord) []string { return []string{string(r.signed.Role)} }),
		tallied("Events up to 30 days", events, records, func(r signedRecord) []string {
			if len(r.Record.Events) == 0 {
				return []string{none}
			}
			return []string{some}
		}),
	}}
	for i := range t.lists {
		hidden, total := competency.HideSmall(t.lists[i].counts, limit)
		t.lists[i].hidden, t.all = hidden, t.all && !total
	}
	kinds := tallied("Kinds of event", competency.Events, records, func(r signedRecord) []string { return r.Record.Events })
	apart := slices.Contains(t.lists[len(t.lists)-1].hidden, true)
	for i, n := range kinds.counts {
		kinds.hidden[i] = apart || n > 0 && n < limit
	}
	t.lists = append(t.lists, kinds)
	if !t.all {
		for _, list := range t.lists {
			for i := range list.hidden {
				list.hidden[i] = true
			}
		}
	}
	return t
}

func tallied(title string, choices []competency.Choice, records []signedRecord, of func(signedRecord) []string) tally {
	t := tally{title: title, counts: make([]int, len(choices)), hidden: make([]bool, len(choices))}
	for i, choice := range choices {
		t.names = append(t.names, chosen(choices, choice.ID))
		for _, r := range records {
			if slices.Contains(of(r), choice.ID) {
				t.counts[i]++
			}
		}
	}
	return t
}

// total is how many cases there are, as it leaves the programme.
func (t told) total() string {
	if t.all {
		return strconv.Itoa(t.n)
	}
	return hiddenWord
}

// countBlocks tell signed cases to the outside.
func countBlocks(records []signedRecord, limit int) []report.Block {
	t := tell(records, limit)
	blocks := []report.Block{text("Signed-off cases: " + t.total() + "."), quietText(smallWords(limit))}
	for _, list := range t.lists {
		rows := [][]string{}
		for i, name := range list.names {
			if word := list.word(i); word != "0" {
				rows = append(rows, []string{name, word})
			}
		}
		columns := []report.Column{{Name: list.title, Width: 8}, {Name: "Cases", Width: 2, Right: true}}
		blocks = append(blocks, report.Block{Heading: list.title}, tableOf("No case.", columns, rows))
	}
	return blocks
}
