package assessment

import "isthmus/assessment/atrium"

// Letter is a grade in a letter, A+ to F.
type Letter string

// Severity says how serious a finding is.
type Severity string

// The severities.
const (
	Critical Severity = "critical"
	Major    Severity = "major"
	Minor    Severity = "minor"
	Remark   Severity = "remark"
)

// Part is one part of a grade.
type Part string

// The parts; their weights come from the policy (default 35, 25, 20, 10, 10).
const (
	PartScope        Part = "scope"
	PartCompleteness Part = "completeness"
	PartSafety       Part = "safety"
	PartDelivery     Part = "delivery"
	PartAftercare    Part = "aftercare"
)

// Finding is one remark in a grade: what, where, why it matters, source, how serious, and the points it takes.
type Finding struct {
	Code     string     `json:"code"`
	Part     Part       `json:"part"`
	Severity Severity   `json:"severity"`
	What     string     `json:"what"`
	Why      string     `json:"why"`
	Source   string     `json:"source"` // or 'common practice, no source'
	Points   float64    `json:"points"` // 0 or negative, in hundredths exact
	Place    *Place     `json:"place,omitempty"`
	Evidence []Evidence `json:"evidence,omitempty"`
}

// Place points a finding at the map.
type Place struct {
	Chamber atrium.Chamber `json:"chamber"`
	At      atrium.Vec     `json:"at"`
	Lesion  *int           `json:"lesion,omitempty"`  // index in the plan
	Circuit *int           `json:"circuit,omitempty"` // index in the chamber's circuits
}

// Evidence is a published figure for or against, shown with its numbers.
type Evidence struct {
	For    bool   `json:"for" yaml:"for"`
	Text   string `json:"text" yaml:"text"`
	Source string `json:"source" yaml:"source"`
}

// PartScore is one part's weight and what was earned of it.
type PartScore struct {
	Part   Part    `json:"part"`
	Weight float64 `json:"weight"`
	Earned float64 `json:"earned"`
}

// Grade is the outcome of grading: 100 plus the findings' points is the score, exactly; the letter follows from the score and the cap.
type Grade struct {
	Scenario        ScenarioID    `json:"scenario"`
	ScenarioVersion int           `json:"scenario_version"`
	Policy          string        `json:"policy"`
	PolicyVersion   int           `json:"policy_version"`
	Model           string        `json:"model"`
	Score           float64       `json:"score"`
	Letter          Letter        `json:"letter"`
	Cap             Letter        `json:"cap,omitempty"`
	CapReason       string        `json:"cap_reason,omitempty"`
	Floor           Letter        `json:"floor,omitempty"` // set when the score alone would give less: the worst a plan gets that is not unsafe
	Unsafe          bool          `json:"unsafe"`
	Pattern         string        `json:"pattern"`
	PatternRule     string        `json:"pattern_rule"`
	TargetScope     string        `json:"target_scope"`
	MinimumScope    string        `json:"minimum_scope,omitempty"`
	Parts           []PartScore   `json:"parts"`
	Findings        []Finding     `json:"findings"` // most serious first, stable order
	Result          atrium.Result `json:"result"`
	Caution         string        `json:"caution"`
}
