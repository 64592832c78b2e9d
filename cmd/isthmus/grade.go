package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/assessment/strict"
)

// GradeCmd grades a plan file without a server or a database.
type GradeCmd struct {
	Plan     string `arg:"" help:"Plan file in JSON, or - for standard input."`
	Scenario string `required:"" short:"s" placeholder:"ID|FILE" help:"Id of a starter scenario, or a scenario file in YAML."`
	Policy   string `placeholder:"FILE" help:"Scope policy in YAML; the default policy when left out."`
	JSON     bool   `name:"json" help:"Print the grade as JSON: the same input gives the same bytes."`
}

// Help shows examples.
func (GradeCmd) Help() string {
	ids := make([]string, 0, len(pack.Scenarios()))
	for _, s := range pack.Scenarios() {
		ids = append(ids, "  "+string(s.ID))
	}
	return `Prints the letter, the score, every finding with its source, and what the lines do; nothing is stored.

Examples:
  isthmus grade testdata/plans/persistent-mitral-repair-expert.json --scenario persistent-mitral-repair
  isthmus grade plan.json --scenario my-scenario.yaml --policy my-policy.yaml --json

Starter scenarios:
` + strings.Join(ids, "\n")
}

// Run grades the plan. A low grade is no error; a file with mistakes is, and each mistake is printed with its place.
func (c GradeCmd) Run(streams Streams) error {
	grade, err := c.grade(streams)
	if err != nil {
		return sayFaults(streams.Err, err)
	}
	if c.JSON {
		return printJSON(streams.Out, grade)
	}
	return assessment.GradeReport(streams.Out, grade)
}

// grade reads the files and grades.
func (c GradeCmd) grade(streams Streams) (assessment.Grade, error) {
	scenario, err := findScenario(streams, c.Scenario)
	if err != nil {
		return assessment.Grade{}, err
	}
	policy, err := policyFrom(streams, c.Policy)
	if err != nil {
		return assessment.Grade{}, err
	}
	data, err := readLimited(streams, c.Plan)
	if err != nil {
		return assessment.Grade{}, err
	}
	plan, err := assessment.DecodePlanFile(c.Plan, data)
	if err != nil {
		return assessment.Grade{}, err
	}
	return assessment.GradePlan(atrium.Default(), scenario, plan, policy)
}

// policyFrom reads a scope policy; without a name it is the default one.
func policyFrom(streams Streams, name string) (assessment.Policy, error) {
	if name == "" {
		return assessment.DefaultPolicy(), nil
	}
	data, err := readLimited(streams, name)
	if err != nil {
		return assessment.Policy{}, err
	}
	return assessment.DecodePolicy(name, data)
}

// findScenario takes the id of a starter scenario or the name of a file. An id has neither a dot nor a path separator.
func findScenario(streams Streams, name string) (assessment.Scenario, error) {
	if scenario, ok := pack.Scenario(assessment.ScenarioID(name)); ok {
		return scenario, nil
	}
	data, err := readLimited(streams, name)
	if errors.Is(err, fs.ErrNotExist) && !strings.ContainsAny(name, "."+string(filepath.Separator)) {
		return assessment.Scenario{}, fmt.Errorf("no starter scenario and no file is called %q: isthmus grade --help lists the scenarios", name)
	}
	if err != nil {
		return assessment.Scenario{}, err
	}
	return assessment.DecodeScenario(name, data)
}

// readLimited reads a file, or standard input for -, up to the limit of every reader of files here.
func readLimited(streams Streams, name string) ([]byte, error) {
	in := streams.In
	if name != "-" {
		file, err := os.Open(name)
		if err != nil {
			return nil, err
		}
		defer file.Close()
		in = file
	}
	data, err := io.ReadAll(io.LimitReader(in, strict.MaxBytes+1))
	if err == nil && len(data) > strict.MaxBytes {
		return nil, strict.Faults{File: name, List: []strict.Fault{{Message: fmt.Sprintf("larger than %d bytes", strict.MaxBytes)}}}
	}
	return data, err
}

// sayFaults prints every mistake on a line of its own; other errors are left to the caller.
func sayFaults(w io.Writer, err error) error {
	var faults strict.Faults
	if !errors.As(err, &faults) {
		return err
	}
	if _, err := fmt.Fprintln(w, faults.Error()); err != nil {
		return err
	}
	return errSaid
}

// printJSON writes v indented, as the API would name its fields.
func printJSON(w io.Writer, v any) error {
	encoder := json.NewEncoder(w)
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	return encoder.Encode(v)
}
