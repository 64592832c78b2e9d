package main

import (
	"errors"
	"fmt"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
	"isthmus/competency"
)

// CheckCmd finds the mistakes in scenario, policy and standard files.
type CheckCmd struct {
	Files []string `arg:"" help:"Files in YAML, or - for standard input."`
	Kind  string   `enum:"auto,scenario,policy,standard" default:"auto" help:"What the files are: scenario, policy or standard; found out from their fields when left out."`

	Policy string `placeholder:"FILE" help:"Grade the answers of scenarios under this scope policy in YAML instead of the default one."`
}

// Help shows examples.
func (CheckCmd) Help() string {
	return `Prints every mistake as file:line:column: field: message and ends with 1 when there is any.
Mistakes of form (unknown fields, wrong types) come first, mistakes of meaning once the form is right. Then the answers of a scenario
are graded: an expert's plan must get A or better, a flawed one its letter. The scenario library in the browser says the same.

Examples:
  isthmus check scenarios/*.yaml
  isthmus check scenario.yaml --policy our-policy.yaml
  isthmus check --kind policy our-policy.yaml
  isthmus check standard-2026.yaml`
}

// Run checks every file and goes on after a mistake, so that one run shows all of them.
func (c CheckCmd) Run(streams Streams) error {
	var failed error
	for _, name := range c.Files {
		kind, err := c.check(streams, name)
		if err == nil {
			if _, err := fmt.Fprintf(streams.Out, "%s: %s, no mistakes\n", name, kind); err != nil {
				return err
			}
			continue
		}
		if err := sayFaults(streams.Out, err); err != errSaid {
			fmt.Fprintf(streams.Out, "%s: %v\n", name, err)
		}
		if errors.Is(err, errAnswers) {
			fmt.Fprintln(streams.Out, assessment.Caution)
		}
		failed = errSaid
	}
	return failed
}

// check reads one file and says what it is.
func (c CheckCmd) check(streams Streams, name string) (kind string, err error) {
	data, err := readLimited(streams, name)
	if err != nil {
		return "", err
	}
	if kind = c.Kind; kind == "" || kind == "auto" {
		if kind, err = kindOf(name, data); err != nil {
			return "", err
		}
	}
	switch kind {
	case "scenario":
		err = c.scenario(streams, name, data)
	case "policy":
		_, err = assessment.DecodePolicy(name, data)
	case "standard":
		_, err = competency.DecodeStandard(name, data)
	}
	return kind, err
}

// scenario checks a scenario as the library does.
func (c CheckCmd) scenario(streams Streams, name string, data []byte) error {
	policy, err := policyFrom(streams, c.Policy)
	if err != nil {
		return err
	}
	found := assessment.Checker{Model: atrium.Default(), Policy: policy, Screen: competency.Identifiers}.File(name, data)
	if err = found.Err(); err != nil && len(found.Answers) > 0 {
		return fmt.Errorf("%w: %w", errAnswers, err)
	}
	return err
}

// errAnswers marks the mistakes that are verdicts on lesion sets: the caution goes with them.
var errAnswers = errors.New("an answer does not get the grade it should")

// kindOf tells what a file is from the fields only that kind has.
func kindOf(name string, data []byte) (string, error) {
	var anything map[string]any
	document, err := strict.YAML(name, data, &anything)
	if err != nil {
		return "", err
	}
	tells := map[string]string{
		"vignette": "scenario", "patient": "scenario", "operation": "scenario", "expert": "scenario",
		"rows": "policy", "weights": "policy", "deductions": "policy", "letters": "policy",
		"requirements": "standard",
	}
	for _, key := range document.Top() {
		if kind, ok := tells[key]; ok {
			return kind, nil
		}
	}
	return "", strict.Faults{File: name, List: []strict.Fault{{Line: 1, Message: "cannot tell what this is: give --kind scenario, policy or standard"}}}
}
