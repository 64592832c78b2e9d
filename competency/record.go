package competency

import (
	"fmt"
	"slices"
	"unicode/utf8"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// Limits of a record.
const (
	maxNote    = 2000 // characters
	maxLesions = 40   // of one operation
)

// Validate reports everything that keeps a record from being submitted: what is missing, not in a closed list, contradictory, dated
// after today, or names a patient.
func (r Record) Validate(settings Settings, today Day, kept ...Override) strict.Faults {
	return r.check(settings, today, false, kept)
}

// ValidateDraft reports what is wrong with the parts that are there; an unfinished record is no fault.
func (r Record) ValidateDraft(settings Settings, today Day, kept ...Override) strict.Faults {
	return r.check(settings, today, true, kept)
}

// check is both validations; a draft may leave any field empty.
func (r Record) check(settings Settings, today Day, draft bool, kept []Override) strict.Faults {
	c := recordChecker{draft: draft}
	if r.Supervisor == "" && !draft {
		c.Add("supervisor", "is required: name the faculty member who supervised")
	}
	if utf8.RuneCountInString(string(r.Supervisor)) > 100 {
		c.Add("supervisor", "is no id of a person")
	}
	if !(draft && r.Site == "") && !slices.Contains(settings.Sites, r.Site) {
		c.Add("site", "%q is not a site of the programme", r.Site)
	}
	c.date(r.OperatedOn, settings.DatePrecision, today)
	if !(draft && r.AF == af.History{}) {
		if _, err := af.Derive(r.AF); err != nil {
			c.join("af", err)
		}
	}
	c.choice("left_atrium_band", r.LeftAtriumBand, LeftAtriumBands)
	c.choice("operation", r.Operation, Operations)
	c.choice("approach", r.Approach, Approaches)
	c.choice("urgency", r.Urgency, Urgencies)
	if r.LeftAtriumOpened && !r.OnBypass {
		c.Add("left_atrium_opened", "the left atrium is opened on bypass only: say on_bypass, or that it stayed closed")
	}
	c.lesions(r.Lesions)
	c.appendage(r.Appendage, r.LeftAtriumOpened)
	if !(draft && len(r.Steps) == 0) {
		if draft {
			checkPerformers(&c.Faults, r.Steps)
		} else {
			checkSteps(&c.Faults, r.Steps, StepsOf(r.Lesions, r.Appendage))
		}
	}
	c.events(r.Events)
	checkText(&c.Faults, "note", r.Note, 0, maxNote, kept...)
	return c.Faults
}

// recordChecker gathers the faults of a record.
type recordChecker struct {
	strict.Faults
	draft bool
}

// join takes the faults of a part in under its field.
func (c *recordChecker) join(field string, err error) {
	if faults, ok := err.(strict.Faults); ok {
		c.Join(field, faults)
		return
	}
	c.Add(field, "%v", err)
}

// date checks an operation date: exactly the programme's precision, and begun by today.
func (c *recordChecker) date(text string, want Precision, today Day) {
	if c.draft && text == "" {
		return
	}
	period, err := ParsePeriod(text)
	switch {
	case err != nil || period.Precision != want: // what was written is not said again: it can name the day
		c.Add("operated_on", "this programme keeps operation dates to the %s, like %s", want, Coarsen(today, want))
	case period.First > today:
		c.Add("operated_on", "%s is in the future", text)
	case period.Last < "1990-01-01":
		c.Add("operated_on", "%s is too long ago", text)
	}
}

// choice checks a field against its closed list.
func (c *recordChecker) choice(field, value string, list []Choice) {
	if c.draft && value == "" || has(list, value) {
		return
	}
	if value == "" {
		c.Add(field, "is required: one of %s", idsOf(list))
		return
	}
	c.Add(field, "%q is unknown: use one of %s", value, idsOf(list))
}

// lesions checks the conduction model's own rules and what the record adds to them: an energy for each, none named twice.
func (c *recordChecker) lesions(lesions []atrium.Lesion) {
	if len(lesions) > maxLesions {
		c.Add("lesions", "must be at most %d, not %d", maxLesions, len(lesions))
		return
	}
	c.Join("", atrium.LesionSet{Lesions: lesions}.Validate())
	seen := map[atrium.LesionID]bool{}
	for i, lesion := range lesions {
		if lesion.Energy == "" && !c.draft {
			c.Add(fmt.Sprintf("lesions[%d].energy", i), "is required: how was this lesion made?")
		}
		if lesion.Name != "" && seen[lesion.Name] {
			c.Add(fmt.Sprintf("lesions[%d].lesion", i), "%s is listed twice: raise its applications instead", lesion.Name)
		}
		seen[lesion.Name] = true
	}
}

// appendage checks that a kept appendage has no method and any other has one, and a result.
func (c *recordChecker) appendage(a AppendageDelivered, opened bool) {
	const state, method, result = "left_appendage.state", "left_appendage.method", "left_appendage.result"
	switch a.State {
	case "":
		if !c.draft {
			c.Add(state, "is required: kept, excised or excluded")
		}
	case atrium.AppendageKept:
		if a.Method != "" || a.Result != "" {
			c.Add(state, "a kept appendage has no method and no result: leave them out")
		}
	case atrium.AppendageExcised, atrium.AppendageExcluded:
		c.choice(method, a.Method, AppendageMethods)
		c.choice(result, a.Result, AppendageResults)
		if a.Method == "internal-suture" && !opened {
			c.Add(method, "a suture from inside needs an opened left atrium")
		}
	default:
		c.Add(state, "%q is unknown: use kept, excised or excluded", a.State)
	}
}

// events checks the events up to 30 days; an empty list says that there were none.
func (c *recordChecker) events(events []string) {
	for i, event := range events {
		field := fmt.Sprintf("events[%d]", i)
		if !has(Events, event) {
			c.Add(field, "%q is unknown: use one of %s; an empty list says none", event, idsOf(Events))
		} else if slices.Contains(events[:i], event) {
			c.Add(field, "%s is listed twice: remove one", event)
		}
		if i >= len(Events) {
			return
		}
	}
}

// checkPerformers reports steps performed by nobody known.
func checkPerformers(faults *strict.Faults, steps []Step) {
	for i, step := range steps {
		if !has(Performers, string(step.PerformedBy)) {
			faults.Add(fmt.Sprintf("steps[%d].performed_by", i), "%q is unknown: use one of %s", step.PerformedBy, idsOf(Performers))
		}
		if i > maxLesions {
			faults.Add("steps", "must be at most %d", maxLesions+1)
			return
		}
	}
}

// checkSteps reports steps that do not match those of the operation one to one, in any order.
func checkSteps(faults *strict.Faults, steps []Step, wanted []string) {
	checkPerformers(faults, steps)
	seen := map[string]bool{}
	for i, step := range steps {
		field := fmt.Sprintf("steps[%d].step", i)
		switch {
		case seen[step.Step]:
			faults.Add(field, "%s is listed twice: remove one", step.Step)
		case !slices.Contains(wanted, step.Step):
			faults.Add(field, "%q was not part of this operation", step.Step)
		}
		seen[step.Step] = true
		if i > maxLesions {
			return
		}
	}
	for _, step := range wanted {
		if !seen[step] {
			faults.Add("steps", "%s is missing: say who performed it", step)
		}
	}
}

// Identifiers are the findings of the privacy screen in the record's free text, each with its field.
func (r Record) Identifiers() []Finding {
	findings := PrivacyScreen(r.Note)
	for i := range findings {
		findings[i].Field = "note"
	}
	return findings
}
