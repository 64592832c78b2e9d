package assessment

import "isthmus/assessment/atrium"

// Plan is a trainee's answer to a scenario. The diameters of the scenario's patient apply; a plan carries none.
type Plan struct {
	Ablate        *bool           `json:"ablate" yaml:"ablate"`                     // required
	Reason        Reason          `json:"reason,omitempty" yaml:"reason,omitempty"` // why not, when not
	Lesions       []atrium.Lesion `json:"lesions" yaml:"lesions"`
	LeftAppendage Appendage       `json:"left_appendage" yaml:"left_appendage"`
	Aftercare     *Aftercare      `json:"aftercare,omitempty" yaml:"aftercare,omitempty"`
	Steps         []Step          `json:"steps,omitempty" yaml:"steps,omitempty"`               // what is done, in this order
	PacingWires   PacingWires     `json:"pacing_wires,omitempty" yaml:"pacing_wires,omitempty"` // left at the end
	Told          *Told           `json:"told,omitempty" yaml:"told,omitempty"`
	Note          string          `json:"note,omitempty" yaml:"note,omitempty"`
}

// Reason says why no ablation is planned.
type Reason string

// The reasons for leaving the atria alone.
const (
	RhythmControlGivenUp Reason = "rhythm-control-given-up"
	Thrombus             Reason = "thrombus"
	Emergency            Reason = "emergency"
	RiskTooHigh          Reason = "risk-too-high"
)

// Appendage is what is planned for the left atrial appendage.
type Appendage struct {
	State     atrium.AppendageState `json:"state" yaml:"state"`                               // kept, excised, excluded
	Method    string                `json:"method,omitempty" yaml:"method,omitempty"`         // excision-and-suture, stapled-excision, epicardial-occluder, internal-suture
	ClotFirst bool                  `json:"clot_first,omitempty" yaml:"clot_first,omitempty"` // clamp, open and clear the clot before the appendage is handled
	FlowCheck bool                  `json:"flow_check,omitempty" yaml:"flow_check,omitempty"` // closure judged by echo: no flow, stump under 10 mm
}

// Aftercare is the plan after the operation.
type Aftercare struct {
	AnticoagulationMonths int    `json:"anticoagulation_months" yaml:"anticoagulation_months"` // at least
	AnticoagulationThen   string `json:"anticoagulation_then" yaml:"anticoagulation_then"`     // by-stroke-risk, stop-if-sinus-rhythm, stop
	MonitoringMonths      []int  `json:"monitoring_months" yaml:"monitoring_months"`           // for example 3, 6, 12
	MonitoringHours       int    `json:"monitoring_hours" yaml:"monitoring_hours"`             // each time
}

// Step is one part of the operation, for deciding what comes before what.
type Step string

// The steps.
const (
	StepVeinIsolation    Step = "vein-isolation"
	StepBlockTest        Step = "block-test"
	StepRightAtrialLines Step = "right-atrial-lines"
	StepArrest           Step = "arrest" // cross-clamp and cardioplegia
	StepClearClot        Step = "clear-clot"
	StepAppendage        Step = "appendage"
	StepLeftAtrialLines  Step = "left-atrial-lines"
	StepPrimaryOperation Step = "primary-operation" // the valve or the bypass grafts
	StepClosureCheck     Step = "closure-check"     // echo of the closed appendage
	StepPacingWires      Step = "pacing-wires"
)

// PacingWires says which temporary wires are left.
type PacingWires string

// The choices.
const (
	WiresBoth        PacingWires = "atrial-and-ventricular"
	WiresVentricular PacingWires = "ventricular-only"
	WiresNone        PacingWires = "none"
)

// Told is what the patient is told to expect, in percent.
type Told struct {
	SinusRhythm Range `json:"sinus_rhythm_percent" yaml:"sinus_rhythm_percent"` // in sinus rhythm at 12 months
	Pacemaker   Range `json:"pacemaker_percent" yaml:"pacemaker_percent"`       // a pacemaker after the operation
}

// Range is an interval, ends included.
type Range struct {
	Low  float64 `json:"low" yaml:"low"`
	High float64 `json:"high" yaml:"high"`
}
