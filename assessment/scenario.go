// Package assessment holds the vocabulary of scenarios, plans and grades, and grades a plan. It is pure: no clock, no database, no browser.
package assessment

import "isthmus/assessment/af"

// ScenarioID names a scenario; lower-case words joined by hyphens.
type ScenarioID string

// Status is where a scenario stands in its life.
type Status string

// The states of a scenario.
const (
	Draft    Status = "draft"
	InReview Status = "in-review"
	Live     Status = "live"
	Retired  Status = "retired"
)

// Scenario is a fictional patient and the decisions a surgeon must make.
type Scenario struct {
	ID           ScenarioID     `json:"id" yaml:"id"`
	Version      int            `json:"version" yaml:"version"`
	Title        string         `json:"title" yaml:"title"`
	Status       Status         `json:"status" yaml:"status"`
	Author       string         `json:"author" yaml:"author"`
	Vignette     string         `json:"vignette" yaml:"vignette"`
	Patient      Patient        `json:"patient" yaml:"patient"`
	Operation    Operation      `json:"operation" yaml:"operation"`
	Asks         []Ask          `json:"asks" yaml:"asks"`
	MinutesLimit int            `json:"minutes_limit,omitempty" yaml:"minutes_limit,omitempty"` // how long a test of it may take; 0 means as long as one likes
	Expert       []Answer       `json:"expert,omitempty" yaml:"expert"`                         // never sent to a trainee before submission
	Flawed       []FlawedAnswer `json:"flawed,omitempty" yaml:"flawed"`                         // never sent to a trainee
	Alternative  []Defensible   `json:"alternatives,omitempty" yaml:"alternatives"`             // scopes faculty accept here besides the policy's
	Notes        []Note         `json:"notes,omitempty" yaml:"notes"`
}

// Patient is the fictional patient.
type Patient struct {
	Age                 int        `json:"age" yaml:"age"`
	AF                  af.History `json:"af" yaml:"af"`
	LeftAtriumMM        float64    `json:"left_atrium_mm" yaml:"left_atrium_mm"`
	RightAtriumMM       float64    `json:"right_atrium_mm,omitempty" yaml:"right_atrium_mm,omitempty"`
	EjectionFraction    int        `json:"ejection_fraction" yaml:"ejection_fraction"`       // percent
	MitralRegurgitation string     `json:"mitral_regurgitation" yaml:"mitral_regurgitation"` // none, mild, moderate, severe
	StrokeRiskItems     []string   `json:"stroke_risk_items" yaml:"stroke_risk_items"`
	EarlierAblation     string     `json:"earlier_ablation,omitempty" yaml:"earlier_ablation,omitempty"` // none, catheter, surgical
	Pacemaker           bool       `json:"pacemaker,omitempty" yaml:"pacemaker,omitempty"`
	SinusNodeDisease    bool       `json:"sinus_node_disease,omitempty" yaml:"sinus_node_disease,omitempty"`
	ThrombusOnImaging   bool       `json:"thrombus_on_imaging,omitempty" yaml:"thrombus_on_imaging,omitempty"`
}

// Operation is the operation the ablation would be part of.
type Operation struct {
	Primary          string `json:"primary" yaml:"primary"`   // mitral, aortic-valve, coronary, aortic-valve-and-coronary, mitral-and-tricuspid, stand-alone, other
	Urgency          string `json:"urgency" yaml:"urgency"`   // elective, urgent, emergency
	Approach         string `json:"approach" yaml:"approach"` // sternotomy, mini-thoracotomy, thoracoscopic
	OnBypass         bool   `json:"on_bypass" yaml:"on_bypass"`
	LeftAtriumOpened bool   `json:"left_atrium_opened" yaml:"left_atrium_opened"`
	TricuspidWork    bool   `json:"tricuspid_work" yaml:"tricuspid_work"`
	RedoChest        bool   `json:"redo_chest,omitempty" yaml:"redo_chest,omitempty"`
}

// Ask is a decision a scenario asks for.
type Ask string

// The decisions.
const (
	AskAblation  Ask = "ablation"   // ablate or not, and why
	AskLesionSet Ask = "lesion-set" // with energy, applications and block tests
	AskAppendage Ask = "appendage"
	AskAftercare Ask = "aftercare" // anticoagulation and rhythm follow-up
	AskSteps     Ask = "steps"     // what is done in which order
	AskPacing    Ask = "pacing"    // pacing wires left at the end
	AskTold      Ask = "told"      // what the patient is told to expect
)

// Answer is an expert's plan with its reasons.
type Answer struct {
	Title string `json:"title" yaml:"title"`
	Why   string `json:"why" yaml:"why"`
	Plan  Plan   `json:"plan" yaml:"plan"`
}

// FlawedAnswer is a deliberately flawed plan and the letter it must get: a test of the scenario.
type FlawedAnswer struct {
	Title  string   `json:"title" yaml:"title"`
	Plan   Plan     `json:"plan" yaml:"plan"`
	Letter Letter   `json:"letter" yaml:"letter"`
	Codes  []string `json:"codes" yaml:"codes"` // finding codes it must raise
}

// Defensible is what faculty accept on this scenario though the policy asks for something else: a scope, or whatever raises a finding.
// Exactly one of the two is given.
type Defensible struct {
	Scope   string `json:"scope,omitempty" yaml:"scope,omitempty"`
	Finding string `json:"finding,omitempty" yaml:"finding,omitempty"` // a finding code that takes no points here; never a critical one
	Why     string `json:"why" yaml:"why"`
}

// Note is a teaching remark with its source, or 'common practice, no source'.
type Note struct {
	Text   string `json:"text" yaml:"text"`
	Source string `json:"source" yaml:"source"`
}
