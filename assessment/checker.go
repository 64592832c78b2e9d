package assessment

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/strict"
)

// ExpertLetter is the least an expert's plan must be graded.
const ExpertLetter = Letter("A")

// mostFaults is how many are reported of one scenario: nobody reads more.
const mostFaults = 100

// Checker finds what is wrong with a scenario: mistakes of form and of meaning, what could name a patient, and answers that do not get the
// grade they should. The command line and the browser ask the same one, so that they agree on every mistake.
type Checker struct {
	Model  Conductor
	Policy Policy
	// Screen says what in a free text could name a patient, each finding with its reason; nil looks for nothing.
	Screen func(text string) []string
}

// Check is what a Checker found.
type Check struct {
	Scenario Scenario      // as far as it could be read
	Faults   strict.Faults // every mistake; an answer with another grade than it should have is one
	Answers  []AnswerCheck // how the scenario's own answers are graded; none while there are other mistakes
}

// AnswerCheck is one of a scenario's own answers with the grade it gets.
type AnswerCheck struct {
	Title        string    `json:"title"`
	Kind         string    `json:"kind"` // expert, flawed
	Letter       Letter    `json:"letter"`
	Wanted       Letter    `json:"wanted"` // of an expert's plan the least, of a flawed one the very letter
	Score        float64   `json:"score"`
	Codes        []string  `json:"codes"`         // of the findings it raises, most serious first
	MissingCodes []string  `json:"missing_codes"` // that it should raise and does not
	Findings     []Finding `json:"findings"`
	OK           bool      `json:"ok"`
}

// Err is the mistakes as an error, or nil.
func (c Check) Err() error { return c.Faults.Err() }

// File checks a scenario file in YAML. Every mistake has its place in the file. Mistakes of form hide those of meaning, and both hide
// those of grade.
func (c Checker) File(name string, data []byte) Check {
	var s Scenario
	document, err := strict.YAML(name, data, &s)
	if err != nil {
		return Check{Scenario: s, Faults: asFaults(err)}
	}
	found := c.Scenario(s)
	found.Faults = document.Locate(found.Faults)
	return found
}

// Scenario checks a scenario that has no file: mistakes have their field.
func (c Checker) Scenario(s Scenario) Check {
	found := Check{Scenario: s, Faults: c.Mistakes(s)}
	if len(found.Faults.List) > 0 {
		return found
	}
	for i, a := range s.Expert {
		c.answer(&found, fmt.Sprintf("expert[%d]", i), a.Plan, AnswerCheck{Title: a.Title, Kind: kindExpert, Wanted: ExpertLetter}, nil)
	}
	for i, a := range s.Flawed {
		c.answer(&found, fmt.Sprintf("flawed[%d]", i), a.Plan, AnswerCheck{Title: a.Title, Kind: kindFlawed, Wanted: a.Letter}, a.Codes)
	}
	return found
}

// Mistakes reports what is wrong with a scenario before its answers are graded.
func (c Checker) Mistakes(s Scenario) strict.Faults {
	faults := s.Validate()
	faults.List = append(faults.List, c.Identifiers(s).List...)
	faults.List = faults.List[:min(len(faults.List), mostFaults)]
	return faults
}

// The kinds of answer.
const (
	kindExpert = "expert"
	kindFlawed = "flawed"
)

// answer grades one answer and adds it to what was found, with a fault for whatever is not as it should be.
func (c Checker) answer(found *Check, field string, p Plan, a AnswerCheck, codes []string) {
	grade, err := GradePlan(c.Model, found.Scenario, p, c.Policy)
	if err != nil {
		found.Faults.Join(field+".plan", asFaults(err))
		return
	}
	a.Letter, a.Score, a.Findings, a.Codes, a.MissingCodes = grade.Letter, grade.Score, grade.Findings, []string{}, []string{}
	for _, finding := range grade.Findings {
		if !slices.Contains(a.Codes, finding.Code) {
			a.Codes = append(a.Codes, finding.Code)
		}
	}
	for _, code := range codes {
		if !slices.Contains(a.Codes, code) {
			a.MissingCodes = append(a.MissingCodes, code)
		}
	}
	a.OK = true
	refuse := func(at, format string, args ...any) {
		a.OK = false
		found.Faults.Add(field+at, format, args...)
	}
	if a.Kind == kindExpert && (a.Letter.Rank() < a.Wanted.Rank() || grade.Unsafe) {
		refuse(".plan", "gets %s with %.1f points: an expert's plan must get %s or better", a.Letter, a.Score, a.Wanted)
	}
	if a.Kind == kindFlawed && a.Letter != a.Wanted {
		refuse(".letter", "gets %s with %.1f points, not %s", a.Letter, a.Score, a.Wanted)
	}
	if len(a.MissingCodes) > 0 {
		refuse(".codes", "does not raise %s", strings.Join(a.MissingCodes, ", "))
	}
	found.Answers = append(found.Answers, a)
}

// Identifiers reports what in the scenario's free texts could name a patient. Sources are citations, with numbers of their own.
func (c Checker) Identifiers(s Scenario) strict.Faults {
	var faults strict.Faults
	if c.Screen == nil {
		return faults
	}
	s.eachText(func(field, text string) {
		for _, finding := range c.Screen(text) {
			faults.Add(field, "%s", finding)
		}
	})
	return faults
}

// eachText visits every free text of a scenario.
func (s Scenario) eachText(visit func(field, text string)) {
	visit("title", s.Title)
	visit("vignette", s.Vignette)
	for i, answer := range s.Expert {
		field := fmt.Sprintf("expert[%d].", i)
		visit(field+"title", answer.Title)
		visit(field+"why", answer.Why)
		visit(field+"plan.note", answer.Plan.Note)
	}
	for i, answer := range s.Flawed {
		field := fmt.Sprintf("flawed[%d].", i)
		visit(field+"title", answer.Title)
		visit(field+"plan.note", answer.Plan.Note)
	}
	for i, d := range s.Alternative {
		visit(fmt.Sprintf("alternatives[%d].why", i), d.Why)
	}
	for i, note := range s.Notes {
		visit(fmt.Sprintf("notes[%d].text", i), note.Text)
	}
}
