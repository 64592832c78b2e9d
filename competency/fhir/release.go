package fhir

import (
	"cmp"
	"fmt"
	"slices"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// Operation is all that the release is made from.
type Operation struct {
	OperatedOn string // at the programme's precision; only its year is looked at
	Operation  string // an id of competency.Operations
	Pattern    af.Pattern
	Scope      atrium.Scope
}

// Cell is a number of operations that look the same. What is empty was left out to make them alike.
type Cell struct {
	Year      string
	Operation string // in words
	Pattern   af.Pattern
	Scope     string // in words
	N         int
}

// Release is what may leave: every operation looks like at least K-1 others of it.
type Release struct {
	K       int // the programme's limit for small cells
	Cells   []Cell
	Coarser int // operations without their year, or without year and kind of operation
	Hidden  int // operations that look like too few others even so
}

// coarser are the steps by which a cell becomes alike: first the year goes, then the kind of operation.
var coarser = []func(Cell) Cell{
	func(c Cell) Cell { return c },
	func(c Cell) Cell { c.Year = ""; return c },
	func(c Cell) Cell { c.Year, c.Operation = "", ""; return c },
}

// NewRelease makes operations alike until each looks like at least k-1 others, and hides the rest (k-anonymity by local recoding). A date
// keeps no more than its year (45 CFR 164.514(b)(2)(i)(C)), whatever the programme's precision is; a week belongs to the year of its Thursday
// (ISO 8601). An operation whose date, pattern, kind or scope cannot be told is hidden. k below 2 counts as 2.
func NewRelease(operations []Operation, k int) Release {
	r := Release{K: max(2, k), Cells: []Cell{}}
	left := make([]Cell, 0, len(operations))
	for _, o := range operations {
		cell, known := cellOf(o)
		if !known {
			r.Hidden++
			continue
		}
		left = append(left, cell)
	}
	for step, alike := range coarser {
		counts := map[Cell]int{}
		for _, cell := range left {
			counts[alike(cell)]++
		}
		left = slices.DeleteFunc(left, func(cell Cell) bool { return counts[alike(cell)] >= r.K })
		for cell, n := range counts {
			if n < r.K {
				continue
			}
			cell.N = n
			r.Cells = append(r.Cells, cell)
			if step > 0 {
				r.Coarser += n
			}
		}
	}
	r.Hidden += len(left)
	slices.SortFunc(r.Cells, func(a, b Cell) int {
		return cmp.Or(cmp.Compare(a.Pattern, b.Pattern), cmp.Compare(a.Scope, b.Scope), cmp.Compare(a.Operation, b.Operation), cmp.Compare(a.Year, b.Year))
	})
	return r
}

// cellOf is what an operation looks like with all that may ever leave; false when part of it cannot be told.
func cellOf(o Operation) (Cell, bool) {
	period, err := competency.ParsePeriod(o.OperatedOn)
	_, pattern := reasons[o.Pattern]
	operation, scope := name(competency.Operations, o.Operation), name(competency.ScopeChoices, string(o.Scope))
	if err != nil || !pattern || operation == "" || scope == "" {
		return Cell{}, false
	}
	day := period.First
	if period.Precision == competency.PrecisionWeek {
		day = day.Add(3)
	}
	return Cell{Year: string(day)[:4], Operation: operation, Pattern: o.Pattern, Scope: scope}, true
}

// name is the words of an id of a closed list; empty when it is none of it.
func name(list []competency.Choice, id string) string {
	for _, choice := range list {
		if choice.ID == id {
			return choice.Name
		}
	}
	return ""
}

// Released counts the operations that leave.
func (r Release) Released() int {
	n := 0
	for _, cell := range r.Cells {
		n += cell.N
	}
	return n
}

// Removed lists what never leaves, whatever the numbers are.
func Removed() []string {
	return []string{
		"Who was operated on: the program does not know, and no number or key of a case leaves.",
		"Who operated, assisted, supervised or signed, and what was said of them.",
		"The site, and every text that somebody wrote.",
		"The day, week and month of the operation, and of every other date: the year stays where enough operations share it.",
		"Sizes, lesions one by one, complications and follow-up: a rare course would point at a patient.",
	}
}

// Says is the statement that goes with a release: what was removed, the limit used, and what is left to mind. A number below the limit is
// not told.
func (r Release) Says() []string {
	says := append([]string{}, Removed()...)
	says = append(says,
		fmt.Sprintf("Every operation here looks like at least %d others (k = %d, the programme's limit for small numbers).", r.K-1, r.K),
		"Without their year, or without year and kind of operation, because too few shared them: "+r.atLeast(r.Coarser)+". Left out altogether: "+r.atLeast(r.Hidden)+".",
		"Two exports of different days can be compared by whoever has both: give the same reader no second one without need.",
		"For education and quality work. Not a record of any patient, and no advice on one.")
	return says
}

// atLeast tells a count of operations, or that it is small.
func (r Release) atLeast(n int) string {
	switch {
	case n == 0:
		return "none"
	case n < r.K:
		return fmt.Sprintf("fewer than %d operations", r.K)
	}
	return fmt.Sprintf("%d operations", n)
}
