package service

import (
	"strings"

	"isthmus/api/report"
	"isthmus/competency"
)

// caseField is a column of the sheet of cases.
type caseField struct {
	report.Field
	of func(signedRecord) any
}

// caseFields are the columns of the sheet of cases, beside trainee and supervisor. Notes are not among them: they are no evidence.
var caseFields = []caseField{
	{report.Field{Name: "operated_on", Type: report.Words, Meaning: "When, as exactly as the programme keeps it: a day, a week or a month."}, func(r signedRecord) any { return r.Record.OperatedOn }},
	{report.Field{Name: "operated_first", Type: report.Day, Meaning: "The first day that can be."}, func(r signedRecord) any { return periodOf(r).first }},
	{report.Field{Name: "operated_last", Type: report.Day, Meaning: "The last day that can be."}, func(r signedRecord) any { return periodOf(r).last }},
	{report.Field{Name: "site", Type: report.Words, Meaning: "Where."}, func(r signedRecord) any { return r.Record.Site }},
	{report.Field{Name: "operation", Type: report.Words, Meaning: "Main operation: " + choiceWords(competency.Operations)}, func(r signedRecord) any { return r.Record.Operation }},
	{report.Field{Name: "approach", Type: report.Words, Meaning: choiceWords(competency.Approaches)}, func(r signedRecord) any { return r.Record.Approach }},
	{report.Field{Name: "urgency", Type: report.Words, Meaning: choiceWords(competency.Urgencies)}, func(r signedRecord) any { return r.Record.Urgency }},
	{report.Field{Name: "af_pattern", Type: report.Words, Meaning: "Computed from the history: " + choiceWords(competency.PatternChoices)}, func(r signedRecord) any { return string(r.Computed.Pattern) }},
	{report.Field{Name: "left_atrium_mm", Type: report.Words, Meaning: "Band of the diameter: " + choiceWords(competency.LeftAtriumBands)}, func(r signedRecord) any { return r.Record.LeftAtriumBand }},
	{report.Field{Name: "scope", Type: report.Words, Meaning: "Computed from the lesions: " + choiceWords(competency.ScopeChoices)}, func(r signedRecord) any { return string(r.Computed.Scope) }},
	{report.Field{Name: "lines_complete", Type: report.YesNo, Meaning: "No gap and no free end."}, func(r signedRecord) any { return r.Computed.LinesComplete }},
	{report.Field{Name: "block_tested", Type: report.YesNo, Meaning: "Every vein isolation was tested."}, func(r signedRecord) any { return r.Computed.BlockTested }},
	{report.Field{Name: "policy", Type: report.Words, Meaning: "The scope against the programme's policy: target, minimum, below, beyond, not-applicable."}, func(r signedRecord) any { return r.Computed.Policy }},
	{report.Field{Name: "events", Type: report.Words, Meaning: "Up to 30 days, joined by commas; empty when there were none. " + choiceWords(competency.Events)}, func(r signedRecord) any { return strings.Join(r.Record.Events, ", ") }},
	{report.Field{Name: "role", Type: report.Words, Meaning: "Computed from the steps the supervisor confirmed: " + choiceWords(competency.RoleChoices)}, func(r signedRecord) any { return string(r.signed.Role) }},
	{report.Field{Name: "role_claimed", Type: report.Words, Meaning: "Computed from the trainee's own account."}, func(r signedRecord) any { return string(r.signed.RoleClaimed) }},
	{report.Field{Name: "version", Type: report.Whole, Meaning: "Version of the case that was signed."}, func(r signedRecord) any { return r.signed.CaseVersion }},
	{report.Field{Name: "submitted_at", Type: report.Instant, Meaning: "When that version was handed in."}, func(r signedRecord) any { return r.SubmittedAt }},
	{report.Field{Name: "signed_at", Type: report.Instant, Meaning: "When it was signed."}, func(r signedRecord) any { return r.signed.SignedAt }},
}

// ratingFields are the columns of the sheet of ratings, beside case, trainee and assessor.
var ratingFields = []caseField{
	{report.Field{Name: "signed_at", Type: report.Instant, Meaning: "When."}, func(r signedRecord) any { return r.signed.SignedAt }},
	{report.Field{Name: "help_given", Type: report.Whole, Meaning: levelWords("Looking back", competency.HelpLevels)}, func(r signedRecord) any { return r.signed.Statement.HelpGiven }},
	{report.Field{Name: "supervision_next", Type: report.Whole, Meaning: levelWords("Looking ahead", competency.SupervisionLevels)}, func(r signedRecord) any { return r.signed.Statement.SupervisionNext }},
	{report.Field{Name: "age_days", Type: report.Whole, Meaning: "Days from the operation to the signature."}, func(r signedRecord) any { return r.signed.AgeDays }},
	{report.Field{Name: "late_recall", Type: report.YesNo, Meaning: "Later than the programme's limit."}, func(r signedRecord) any { return r.signed.LateRecall }},
	{report.Field{Name: "keep", Type: report.Words, Meaning: "One thing to keep."}, func(r signedRecord) any { return r.signed.Statement.Keep }},
	{report.Field{Name: "change", Type: report.Words, Meaning: "One thing to change."}, func(r signedRecord) any { return r.signed.Statement.Change }},
	{report.Field{Name: "meaning", Type: report.Words, Meaning: "What the signature means."}, func(r signedRecord) any { return r.signed.Meaning }},
}

// choiceWords list the ids of a closed list.
func choiceWords(list []competency.Choice) string {
	ids := make([]string, len(list))
	for i, c := range list {
		ids[i] = c.ID
	}
	return strings.Join(ids, ", ") + "."
}

// period are the days an operation can have been on, as cells.
type period struct{ first, last any }

func periodOf(r signedRecord) period {
	p, err := competency.ParsePeriod(r.Record.OperatedOn)
	if err != nil {
		return period{}
	}
	return period{midnight(p.First), midnight(p.Last)}
}

// caseSheets are the signed-off cases, and what their supervisors stated.
func (h *scene) caseSheets(trainees []tabled) (cases, ratings report.Sheet, err error) {
	cases = report.Sheet{Name: "cases", Says: "A signed-off case: the version signed last.", Fields: []report.Field{
		{Name: "case", Type: report.Words, Meaning: "Id of the case."}, {Name: "trainee", Type: report.Words, Meaning: "Id of the trainee."}, {Name: "supervisor", Type: report.Words, Meaning: "Name of the supervisor."},
	}}
	ratings = report.Sheet{Name: "ratings", Says: "What a supervisor stated when signing a case.", Fields: []report.Field{
		{Name: "case", Type: report.Words, Meaning: "Id of the case."}, {Name: "trainee", Type: report.Words, Meaning: "Id of the trainee."}, {Name: "assessor", Type: report.Words, Meaning: "Name in the signature."},
	}}
	for _, f := range caseFields {
		cases.Fields = append(cases.Fields, f.Field)
	}
	for _, f := range ratingFields {
		ratings.Fields = append(ratings.Fields, f.Field)
	}
	for _, t := range trainees {
		for _, r := range t.records {
			supervisor, err := h.name(r.Record.Supervisor)
			if err != nil {
				return cases, ratings, err
			}
			one, rated := []any{string(r.ID), string(t.ID), supervisor}, []any{string(r.ID), string(t.ID), r.signed.AssessorName}
			for _, f := range caseFields {
				one = append(one, f.of(r))
			}
			for _, f := range ratingFields {
				rated = append(rated, f.of(r))
			}
			cases.Rows, ratings.Rows = append(cases.Rows, one), append(ratings.Rows, rated)
		}
	}
	return cases, ratings, nil
}
