package competency

// The types of a requirement's field.
const (
	FieldWhole  = "whole"  // a whole number, Least to Most
	FieldShare  = "share"  // a share, written 0 to 1 and shown in per cent, Least to Most
	FieldLevel  = "level"  // a level of the scale that the field scale names, Least to Most
	FieldChoice = "choice" // one of Choices
	FieldList   = "list"   // some of Choices
	FieldYes    = "yes"    // yes, or left out
	FieldNumber = "number" // a plain number, Least to Most
	FieldNames  = "names"  // ids of our own, lower-case words joined by hyphens; Least to Most of them
)

// RequirementKind is one kind of requirement: its words and its fields, in the order a form asks for them. RequirementKinds is the one
// table of them: validation, the API and the editor read it.
type RequirementKind struct {
	Kind   string             `json:"kind"`
	Name   string             `json:"name"`
	Says   string             `json:"says"` // one sentence
	Fields []RequirementField `json:"fields"`

	// check adds what the fields cannot say alone; it may rely on nothing but their types. May be nil.
	check rule
}

// RequirementField is a field of a requirement, by its name in the YAML; those of the filter begin with "filter.".
type RequirementField struct {
	Name     string      `json:"name"`
	Label    string      `json:"label"`
	Hint     string      `json:"hint,omitempty"`
	Type     string      `json:"type"`
	Unit     string      `json:"unit,omitempty"` // of a whole number: cases, days
	Required bool        `json:"required"`
	Least    float64     `json:"least"`
	Most     float64     `json:"most"`
	Choices  []Choice    `json:"choices,omitempty"`
	Except   *FieldValue `json:"except,omitempty"` // the field does not belong beside this value of another one
}

// FieldValue is a field that holds a value.
type FieldValue struct {
	Field string `json:"field"`
	Value string `json:"value"`
}

// RequirementKinds lists the kinds in the order the editor offers them. The list is never changed while the program runs.
func RequirementKinds() []RequirementKind { return requirementKinds }

var requirementKinds = []RequirementKind{
	{Kind: KindCount, Name: "Number of cases", Says: "At least so many signed-off cases. A floor of exposure, no evidence of quality.",
		Fields: joinFields(
			RequirementField{Name: "at_least", Label: "At least", Type: FieldWhole, Unit: "cases", Required: true, Least: 1, Most: 1000},
			whichCases, anyTime)},
	{Kind: KindLevel, Name: "Ratings", Says: "Ratings at a level or above in a share of the last cases, with the uncertainty of so few.",
		check: rules(checkBound, checkAssessors), Fields: joinFields(
			RequirementField{Name: "scale", Label: "Rating", Type: FieldChoice, Required: true, Choices: ratingScales}, wantedLevel, shareOfLast,
			RequirementField{Name: "assessors", Label: "Different assessors", Hint: "Among the last cases.", Type: FieldWhole, Unit: "assessors", Least: 1, Most: 200},
			lateRecall, whichCases, anyTime)},
	{Kind: KindCompleteness, Name: "Lines complete", Says: "Every intended line complete and block tested in a share of the last cases.",
		check: checkBound, Fields: joinFields(shareOfLast, whichCases, anyTime)},
	{Kind: KindCurve, Name: "Learning curve", Says: "The learning curve has shown a failure rate that is adequate, and has raised no alarm since.",
		check: checkRates, Fields: joinFields(
			RequirementField{Name: "scale", Label: "A success is", Type: FieldChoice, Required: true, Choices: append(ratingScales[:2:2], Choice{ScaleComplete, "Lines complete and block tested"})},
			RequirementField{Name: "level", Label: "Level or above", Type: FieldLevel, Required: true, Least: 2, Most: 5, Except: &FieldValue{"scale", ScaleComplete}},
			RequirementField{Name: "acceptable_rate", Label: "Adequate failure rate", Type: FieldShare, Required: true, Least: 0.01, Most: 0.8},
			RequirementField{Name: "inadequate_rate", Label: "Inadequate failure rate", Type: FieldShare, Required: true, Least: 0.02, Most: 0.95},
			RequirementField{Name: "horizon_cases", Label: "Over", Hint: "Both errors hold over so many cases.", Type: FieldWhole, Unit: "cases", Required: true, Least: 10, Most: mostHorizon},
			RequirementField{Name: "false_declaration", Label: "Chance that inadequate passes, at most", Type: FieldShare, Required: true, Least: 0.005, Most: 0.5},
			RequirementField{Name: "false_alarm", Label: "Chance that adequate alarms, at most", Type: FieldShare, Required: true, Least: 0.005, Most: 0.5},
			lateRecall, whichCases, anyTime)},
	{Kind: KindPlan, Name: "Plans", Says: "Plans graded at a letter or better in each AF pattern, and none unsafe lately.",
		Fields: joinFields(
			RequirementField{Name: "letter", Label: "Grade or better", Type: FieldChoice, Required: true, Choices: letterChoices()},
			RequirementField{Name: "af_patterns", Label: "In each of", Type: FieldList, Required: true, Choices: PatternChoices},
			RequirementField{Name: "attempt", Label: "Which attempt counts", Type: FieldChoice, Required: true, Choices: []Choice{{AttemptBest, "The best"}, {AttemptLast, "The latest"}}},
			RequirementField{Name: "safe_last", Label: "None unsafe among the last", Type: FieldWhole, Unit: "plans", Least: 1, Most: 100})},
	{Kind: KindRecency, Name: "Recent cases", Says: "Cases within the last days; without them what was reached lapses.",
		Fields: joinFields(
			RequirementField{Name: "at_least", Label: "At least", Type: FieldWhole, Unit: "cases", Required: true, Least: 1, Most: 1000},
			RequirementField{Name: "within_days", Label: "Operated within the last", Type: FieldWhole, Unit: "days", Required: true, Least: 1, Most: 3650},
			whichCases)},
	{Kind: KindFollowUp, Name: "Follow-up on record", Says: "A rhythm follow-up on record in a share of the cases that are due for it. What it found is no matter here.",
		check: checkFollowUpPeriod, Fields: joinFields(
			RequirementField{Name: "month", Label: "Follow-up at month", Hint: "After the operation.", Type: FieldWhole, Unit: "months", Required: true, Least: 1, Most: 60},
			RequirementField{Name: "share", Label: "In a share of at least", Type: FieldShare, Required: true, Least: 0.005, Most: 1},
			RequirementField{Name: "at_least", Label: "Over at least", Hint: "Cases that are due for it.", Type: FieldWhole, Unit: "cases", Required: true, Least: fewestForShare, Most: 1000},
			whichCases, anyTime)},
	{Kind: KindQuiz, Name: "Quizzes", Says: "Quizzes at or above their cut in so many topics.",
		check: checkTopics, Fields: joinFields(
			RequirementField{Name: "topics", Label: "Topics", Type: FieldNames, Required: true, Least: 1, Most: 40},
			RequirementField{Name: "at_least", Label: "In at least", Type: FieldWhole, Unit: "topics", Required: true, Least: 1, Most: 40},
			RequirementField{Name: "attempt", Label: "Which attempt counts", Type: FieldChoice, Required: true, Choices: []Choice{{AttemptBest, "The best"}, {AttemptLast, "The latest"}}})},
	{Kind: KindDependability, Name: "Trust in the ratings", Says: "The ratings of the last cases carry a judgement; else the standing says that they are too thin.",
		Fields: joinFields(
			RequirementField{Name: "scale", Label: "Rating", Type: FieldChoice, Required: true, Choices: ratingScales},
			RequirementField{Name: "phi", Label: "Phi, at least", Hint: "Variance between trainees over itself and the error of the mean: 0 is chance, 1 is no error.", Type: FieldNumber, Required: true, Least: 0.5, Most: 0.95},
			RequirementField{Name: "last", Label: "Over the last", Type: FieldWhole, Unit: "cases", Required: true, Least: 1, Most: 200},
			whichCases, anyTime)},
}

// mostHorizon bounds the horizon of a learning curve; nobody is in training for more cases.
const mostHorizon = 500

// Fields that several kinds share. A share of cases has no meaning under one in two hundred, the widest window there is; a bound and its
// confidence leave out 0 and 1, which no interval reaches.
var (
	ratingScales = []Choice{{ScaleHelpGiven, "Help given"}, {ScaleSupervisionNext, "Supervision next time"}}

	wantedLevel = []RequirementField{{Name: "level", Label: "Level or above", Type: FieldLevel, Required: true, Least: 2, Most: 5}}
	shareOfLast = []RequirementField{
		{Name: "share", Label: "In a share of at least", Type: FieldShare, Required: true, Least: 0.005, Most: 1},
		{Name: "last", Label: "Of the last", Type: FieldWhole, Unit: "cases", Required: true, Least: 1, Most: 200},
		{Name: "lower_bound", Label: "Lower limit of the interval, at least", Hint: "So that a few lucky cases do not pass. None when left empty.", Type: FieldShare, Least: 0.001, Most: 0.999},
		{Name: "confidence", Label: "Confidence of the interval", Hint: "With the lower limit only. Two-sided.", Type: FieldShare, Least: 0.5, Most: 0.9999},
	}
	lateRecall = []RequirementField{{Name: "leave_out_late_recall", Label: "Leave out late recall", Type: FieldYes}}
	whichCases = []RequirementField{
		{Name: "filter.role", Label: "As", Type: FieldList, Choices: RoleChoices},
		{Name: "filter.scope", Label: "With scope", Type: FieldList, Choices: ScopeChoices},
		{Name: "filter.af_pattern", Label: "In AF", Type: FieldList, Choices: PatternChoices},
		{Name: "filter.operation", Label: "At operations", Type: FieldList, Choices: Operations},
	}
	anyTime = []RequirementField{{Name: "filter.period_days", Label: "Operated within the last", Hint: "Any time when left empty.", Type: FieldWhole, Unit: "days", Least: 1, Most: 3650}}
)

// joinFields strings fields and lists of fields together.
func joinFields(parts ...any) []RequirementField {
	var fields []RequirementField
	for _, part := range parts {
		switch part := part.(type) {
		case RequirementField:
			fields = append(fields, part)
		case []RequirementField:
			fields = append(fields, part...)
		}
	}
	return fields
}

func letterChoices() []Choice {
	choices := make([]Choice, len(letters))
	for i, letter := range letters {
		choices[len(letters)-1-i] = Choice{letter, letter}
	}
	return choices
}

// kindOf finds a kind in the table.
func kindOf(kind string) (RequirementKind, bool) {
	for _, k := range requirementKinds {
		if k.Kind == kind {
			return k, true
		}
	}
	return RequirementKind{}, false
}
