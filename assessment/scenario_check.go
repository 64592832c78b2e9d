package assessment

import (
	"errors"
	"fmt"
	"slices"

	"isthmus/assessment/af"
	"isthmus/assessment/strict"
)

// DecodeScenario reads a scenario file in YAML and checks it whole. The error is strict.Faults with file, line and field of every mistake.
func DecodeScenario(file string, data []byte) (Scenario, error) {
	var s Scenario
	document, err := strict.YAML(file, data, &s)
	if err != nil {
		return Scenario{}, err
	}
	if err := document.Locate(s.Validate()).Err(); err != nil {
		return Scenario{}, err
	}
	return s, nil
}

// Pattern derives the AF pattern of the patient by rule. The error is strict.Faults on a contradictory history.
func (s Scenario) Pattern() (af.Derivation, error) {
	derived, err := af.Derive(s.Patient.AF)
	var inner strict.Faults
	if errors.As(err, &inner) {
		var faults strict.Faults
		faults.Join("patient.af", inner)
		return af.Derivation{}, faults
	}
	return derived, err
}

// ForTrainee is the scenario without the answers: what may be shown before a plan is submitted.
func (s Scenario) ForTrainee() Scenario {
	s.Expert, s.Flawed, s.Alternative = nil, nil, nil
	return s
}

// asked reports whether the scenario asks for a decision.
func (s Scenario) asked(ask Ask) bool { return slices.Contains(s.Asks, ask) }

// Validate reports every mistake in the scenario: words out of the closed lists, numbers out of range, facts that contradict one
// another, a live scenario without an expert's plan, answers that are no valid plans.
func (s Scenario) Validate() strict.Faults {
	var faults strict.Faults
	if !isID(string(s.ID)) {
		faults.Add("id", wordsByHyphens)
	}
	if s.Version < 1 {
		faults.Add("version", "must be 1 or more")
	}
	checkText(&faults, "title", s.Title, 1, 120)
	checkAmong(&faults, "status", s.Status, statuses)
	checkText(&faults, "author", s.Author, 1, 120)
	checkText(&faults, "vignette", s.Vignette, 40, 4000)
	s.Patient.check(&faults)
	s.Operation.check(&faults)
	s.checkAsks(&faults)
	s.checkAnswers(&faults)
	s.checkSize(&faults)
	checkRange(&faults, "minutes_limit", float64(s.MinutesLimit), 0, mostMinutes)
	for i, d := range s.Alternative {
		d.check(&faults, fmt.Sprintf("alternatives[%d]", i))
	}
	for i, note := range s.Notes {
		checkText(&faults, fmt.Sprintf("notes[%d].text", i), note.Text, 1, 1000)
		checkText(&faults, fmt.Sprintf("notes[%d].source", i), note.Source, 1, 300)
	}
	return faults
}

// Limits of a scenario. Those on answers bound the time it takes to grade them all, and the size of the scenario's file.
const (
	mostMinutes = 240 // that a test of it may take
	mostExperts = 5
	mostFlawed  = 20
	mostPoints  = 4000 // of all drawn paths together
	mostRemarks = 20   // notes, and things accepted besides
)

// check checks that one thing is accepted, a scope or a finding. What is critical is never acceptable.
func (d Defensible) check(faults *strict.Faults, field string) {
	switch {
	case d.Scope != "" && d.Finding != "":
		faults.Add(field+".finding", "give a scope or a finding, not both")
	case d.Scope == "" && d.Finding == "":
		faults.Add(field, "must name a scope or a finding that is accepted")
	case d.Scope != "":
		checkAmong(faults, field+".scope", d.Scope, namesOf(scopes))
	default:
		checkAmong(faults, field+".finding", d.Finding, Codes())
		if kinds[d.Finding].severity == Critical {
			faults.Add(field+".finding", "%s is critical: no scenario can accept it", d.Finding)
		}
	}
	checkText(faults, field+".why", d.Why, 1, 1000)
}

func (p Patient) check(faults *strict.Faults) {
	checkRange(faults, "patient.age", float64(p.Age), 18, 110)
	faults.Join("patient.af", p.AF.Validate())
	if p.AF.ContinuousMonths == af.LongStandingMonths {
		faults.Add("patient.af.continuous_months", "exactly 12 months is classified differently by different sources: give 11 or less, or more than 12")
	}
	checkRange(faults, "patient.left_atrium_mm", p.LeftAtriumMM, leastAtriumMM, mostAtriumMM)
	if p.RightAtriumMM != 0 {
		checkRange(faults, "patient.right_atrium_mm", p.RightAtriumMM, leastAtriumMM, mostAtriumMM)
	}
	checkRange(faults, "patient.ejection_fraction", float64(p.EjectionFraction), 5, 85)
	checkAmong(faults, "patient.mitral_regurgitation", p.MitralRegurgitation, regurgitationLevels)
	for i, item := range p.StrokeRiskItems {
		field := fmt.Sprintf("patient.stroke_risk_items[%d]", i)
		checkAmong(faults, field, item, strokeRiskItems)
		if slices.Index(p.StrokeRiskItems, item) < i {
			faults.Add(field, "given twice: remove one")
		}
		if item == "age-75-or-over" && p.Age < 75 || item == "age-65-to-74" && (p.Age < 65 || p.Age > 74) {
			faults.Add(field, "contradicts the age of %d", p.Age)
		}
	}
	if p.EarlierAblation != "" {
		checkAmong(faults, "patient.earlier_ablation", p.EarlierAblation, earlierAblations)
	}
}

func (op Operation) check(faults *strict.Faults) {
	checkAmong(faults, "operation.primary", op.Primary, primaries)
	checkAmong(faults, "operation.urgency", op.Urgency, urgencies)
	checkAmong(faults, "operation.approach", op.Approach, approaches)
	if op.Primary == "mitral-and-tricuspid" && !op.TricuspidWork {
		faults.Add("operation.tricuspid_work", "must be true in an operation on the tricuspid valve")
	}
	if op.LeftAtriumOpened && !op.OnBypass {
		faults.Add("operation.left_atrium_opened", "a left atrium cannot be opened off bypass: set on_bypass or leave it closed")
	}
}

func (s Scenario) checkAsks(faults *strict.Faults) {
	if len(s.Asks) == 0 {
		faults.Add("asks", "must ask for at least one decision: %s", words(asks))
	}
	for i, ask := range s.Asks {
		field := fmt.Sprintf("asks[%d]", i)
		checkAmong(faults, field, ask, asks)
		if slices.Index(s.Asks, ask) < i {
			faults.Add(field, "given twice: remove one")
		}
	}
}

// checkAnswers checks that the answers are plans; whether they get their letters is a test of the pack, for it needs the model.
func (s Scenario) checkAnswers(faults *strict.Faults) {
	if s.Status == Live && len(s.Expert) == 0 {
		faults.Add("expert", "a live scenario must have at least one expert's plan")
	}
	for i, answer := range s.Expert {
		field := fmt.Sprintf("expert[%d]", i)
		checkText(faults, field+".title", answer.Title, 1, 120)
		checkText(faults, field+".why", answer.Why, 1, 2000)
		faults.Join(field+".plan", answer.Plan.Validate())
	}
	for i, answer := range s.Flawed {
		field := fmt.Sprintf("flawed[%d]", i)
		checkText(faults, field+".title", answer.Title, 1, 120)
		checkAmong(faults, field+".letter", answer.Letter, letters)
		for j, code := range answer.Codes {
			checkAmong(faults, fmt.Sprintf("%s.codes[%d]", field, j), code, Codes())
		}
		faults.Join(field+".plan", answer.Plan.Validate())
	}
}

// checkSize checks that there is no more of anything than can be read, graded and written to a file.
func (s Scenario) checkSize(faults *strict.Faults) {
	points := 0
	count := func(p Plan) {
		for _, lesion := range p.Lesions {
			points += len(lesion.Path)
		}
	}
	for _, answer := range s.Expert {
		count(answer.Plan)
	}
	for _, answer := range s.Flawed {
		count(answer.Plan)
	}
	for _, list := range []struct {
		field   string
		n, most int
	}{
		{"expert", len(s.Expert), mostExperts}, {"flawed", len(s.Flawed), mostFlawed}, {"alternatives", len(s.Alternative), mostRemarks},
		{"notes", len(s.Notes), mostRemarks}, {"patient.stroke_risk_items", len(s.Patient.StrokeRiskItems), len(strokeRiskItems)},
	} {
		if list.n > list.most {
			faults.Add(list.field, "at most %d, not %d", list.most, list.n)
		}
	}
	if points > mostPoints {
		faults.Add("expert", "the answers hold %d drawn points; the most is %d together", points, mostPoints)
	}
}

// namesOf turns a closed list into plain text.
func namesOf[T ~string](choices []T) []string {
	names := make([]string, len(choices))
	for i, choice := range choices {
		names[i] = string(choice)
	}
	return names
}
