package main

import (
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"

	"isthmus/assessment"
	"isthmus/assessment/pack"
)

// CoverageCmd shows what the scenarios cover of the blueprint and where the holes are.
type CoverageCmd struct {
	Files []string `arg:"" optional:"" help:"Scenario files in YAML to count instead of the starter scenarios."`
	JSON  bool     `name:"json" help:"Print the counts as JSON."`
}

// Help shows examples.
func (CoverageCmd) Help() string {
	return `Counts live scenarios by AF pattern, operation and left atrium opened or closed, then by what else makes a patient another one, then the
flawed plans by the omission they make. A square that is not asked for shows a dash; one that is asked for and empty is listed as a hole.

Examples:
  isthmus coverage
  isthmus coverage our-scenarios/*.yaml --json`
}

// Run counts and prints. Holes are no error: a list of scenarios may be on its way.
func (c CoverageCmd) Run(streams Streams) error {
	list := pack.Scenarios()
	if len(c.Files) > 0 {
		list = nil
	}
	for _, name := range c.Files {
		data, err := readLimited(streams, name)
		if err != nil {
			return err
		}
		scenario, err := assessment.DecodeScenario(name, data)
		if err != nil {
			return sayFaults(streams.Err, err)
		}
		list = append(list, scenario)
	}
	coverage, err := pack.Cover(list)
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(streams.Out, coverage)
	}
	_, err = fmt.Fprint(streams.Out, coverageText(coverage))
	return err
}

// coverageText is the coverage as tables in plain text.
func coverageText(c pack.Coverage) string {
	var b strings.Builder
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	title := make([]string, len(pack.Patterns))
	for i, pattern := range pack.Patterns {
		title[i] = string(pattern)
	}
	for _, table := range []struct {
		name string
		rows []pack.Row
	}{{"operation", c.Operations}, {"modifier", c.Modifiers}} {
		width := 0
		for _, row := range table.rows {
			width = max(width, len(row.Says))
		}
		fmt.Fprintf(w, "%-*s\t%s\ttotal\t\n", width, table.name, strings.Join(title, "\t"))
		for _, row := range table.rows {
			fmt.Fprintf(w, "%-*s\t%s\t%d\t\n", width, row.Says, strings.Join(squares(row, table.name == "operation"), "\t"), row.Total())
		}
		fmt.Fprintln(w)
		w.Flush() // each table has columns of its own; writing to b cannot fail
	}
	fmt.Fprintln(&b, "flawed plans by omission")
	for _, o := range c.Omissions {
		fmt.Fprintf(&b, "%4d  %s\n", o.Plans, o.Says)
	}
	fmt.Fprintf(&b, "\nlive scenarios: %d, holes: %d\n", c.Scenarios, len(c.Holes))
	for _, hole := range c.Holes {
		fmt.Fprintln(&b, "  "+hole)
	}
	return b.String()
}

// squares are a row's counts as text; where squares are asked for one by one, an empty one that is not asked for is a dash.
func squares(row pack.Row, single bool) []string {
	list := make([]string, len(row.Counts))
	for i, n := range row.Counts {
		if list[i] = strconv.Itoa(n); single && n == 0 && !row.Asked[i] {
			list[i] = "-"
		}
	}
	return list
}
