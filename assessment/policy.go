package assessment

import (
	_ "embed"
	"sync"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// Policy is a programme's scope policy as data: which scope suits which patient with the evidence beside it, and how a grade is
// weighed. It is versioned, and a grade names the version it used.
type Policy struct {
	ID         string             `json:"id" yaml:"id"`
	Version    int                `json:"version" yaml:"version"`
	Title      string             `json:"title" yaml:"title"`
	Wavelength Wavelength         `json:"wavelength" yaml:"wavelength"`
	Weights    map[Part]float64   `json:"weights" yaml:"weights"`       // points of each part; together 100
	Letters    []LetterCut        `json:"letters" yaml:"letters"`       // falling; the last takes everything else
	Caps       Caps               `json:"caps" yaml:"caps"`             // the best letter a plan can get all the same
	Closing    Closing            `json:"closing" yaml:"closing"`       // what an open circuit costs
	Hazards    []Threshold        `json:"hazards" yaml:"hazards"`       // how near a lesion may come to what must not be harmed
	Deductions map[string]float64 `json:"deductions" yaml:"deductions"` // points each finding takes, by code
	Told       Telling            `json:"told" yaml:"told"`             // what a patient may be told to expect
	Rows       []PolicyRow        `json:"rows" yaml:"rows"`             // the first that matches applies
}

// Wavelength is conduction velocity times refractory period: the circuit length above which the model says a wave can hold.
type Wavelength struct {
	ConductionVelocityMPerS float64 `json:"conduction_velocity_m_s" yaml:"conduction_velocity_m_s"`
	RefractoryPeriodMS      float64 `json:"refractory_period_ms" yaml:"refractory_period_ms"`
	Source                  string  `json:"source" yaml:"source"`
}

// LetterCut is the score from which a letter is given.
type LetterCut struct {
	Letter  Letter  `json:"letter" yaml:"letter"`
	AtLeast float64 `json:"at_least" yaml:"at_least"`
}

// Caps are the best letters a plan can get whatever its score.
type Caps struct {
	AtMinimum     Letter            `json:"at_minimum" yaml:"at_minimum"`
	BelowMinimum  Letter            `json:"below_minimum" yaml:"below_minimum"`
	Critical      Letter            `json:"critical" yaml:"critical"`
	FloorWhenSafe Letter            `json:"floor_when_safe,omitempty" yaml:"floor_when_safe,omitempty"` // the worst letter of a plan without a critical finding
	Findings      map[string]Letter `json:"findings,omitempty" yaml:"findings,omitempty"`               // the best letter with a finding of this code
}

// Closing says what is charged for each thing the target scope should have closed: Points are shared out over the target's goals in
// proportion to Shares, so that a plan that closes nothing loses exactly Points.
type Closing struct {
	Points float64          `json:"points" yaml:"points"`
	Shares map[Goal]float64 `json:"shares" yaml:"shares"`
}

// Threshold is the distance below which a lesion made with one of the energies is too near a structure.
type Threshold struct {
	Structure string          `json:"structure" yaml:"structure"`                   // as in atrium.Hazard
	Energies  []atrium.Energy `json:"energies,omitempty" yaml:"energies,omitempty"` // any, also one not named, when left out
	WithinMM  float64         `json:"within_mm" yaml:"within_mm"`
	Source    string          `json:"source" yaml:"source"` // or 'common practice, no source'
}

// Telling is what published figures let a patient expect. What is told is judged by the middle of its interval, and by its width.
type Telling struct {
	WidestSinusRhythm float64       `json:"widest_sinus_rhythm" yaml:"widest_sinus_rhythm"` // percent points; a wider interval says nothing
	WidestPacemaker   float64       `json:"widest_pacemaker" yaml:"widest_pacemaker"`
	Expect            []Expectation `json:"expect" yaml:"expect"` // the first that matches applies
}

// Expectation is what may be expected of some scopes in some patients, in percent, with the figures it rests on.
type Expectation struct {
	Scopes      []atrium.Scope `json:"scopes" yaml:"scopes"`
	When        Conditions     `json:"when" yaml:"when"`
	SinusRhythm Range          `json:"sinus_rhythm_percent" yaml:"sinus_rhythm_percent"` // at 12 months
	Pacemaker   Range          `json:"pacemaker_percent" yaml:"pacemaker_percent"`       // within a year
	Evidence    []Evidence     `json:"evidence" yaml:"evidence"`
}

// PolicyRow is one rule: for patients that meet When the target is Target.
type PolicyRow struct {
	ID             string         `json:"id" yaml:"id"`
	Says           string         `json:"says" yaml:"says"`
	When           Conditions     `json:"when" yaml:"when"`
	Target         atrium.Scope   `json:"target" yaml:"target"`                       // none means no ablation
	Minimum        atrium.Scope   `json:"minimum,omitempty" yaml:"minimum,omitempty"` // the least that is acceptable; none of it when the target is none
	Also           []atrium.Scope `json:"also,omitempty" yaml:"also,omitempty"`       // accepted as well as the target
	Reasons        []Reason       `json:"reasons,omitempty" yaml:"reasons,omitempty"` // right reasons for leaving the atria alone, when the target is none
	MayDecline     []Reason       `json:"may_decline,omitempty" yaml:"may_decline,omitempty"`
	CapWhenAblated Letter         `json:"cap_when_ablated,omitempty" yaml:"cap_when_ablated,omitempty"` // when the target is none
	Evidence       []Evidence     `json:"evidence" yaml:"evidence"`
}

// Conditions are what a patient and an operation must meet; an absent one always holds.
type Conditions struct {
	Patterns                  []af.Pattern `json:"patterns,omitempty" yaml:"patterns,omitempty"`
	Primary                   []string     `json:"primary,omitempty" yaml:"primary,omitempty"`
	Urgency                   []string     `json:"urgency,omitempty" yaml:"urgency,omitempty"`
	LeftAtriumOpened          *bool        `json:"left_atrium_opened,omitempty" yaml:"left_atrium_opened,omitempty"`
	TricuspidWork             *bool        `json:"tricuspid_work,omitempty" yaml:"tricuspid_work,omitempty"`
	RedoChest                 *bool        `json:"redo_chest,omitempty" yaml:"redo_chest,omitempty"`
	LeftAtriumBelowMM         float64      `json:"left_atrium_below_mm,omitempty" yaml:"left_atrium_below_mm,omitempty"`
	LeftAtriumAboveMM         float64      `json:"left_atrium_above_mm,omitempty" yaml:"left_atrium_above_mm,omitempty"`
	MitralRegurgitationAtMost string       `json:"mitral_regurgitation_at_most,omitempty" yaml:"mitral_regurgitation_at_most,omitempty"`
	Thrombus                  *bool        `json:"thrombus,omitempty" yaml:"thrombus,omitempty"`
	SinusNodeDisease          *bool        `json:"sinus_node_disease,omitempty" yaml:"sinus_node_disease,omitempty"`
	Pacemaker                 *bool        `json:"pacemaker,omitempty" yaml:"pacemaker,omitempty"`
}

//go:embed policy.yaml
var defaultPolicy []byte

// DefaultPolicyYAML is the embedded default policy as a file, comments included, for a programme to start its own from.
func DefaultPolicyYAML() []byte { return append([]byte(nil), defaultPolicy...) }

var readDefaultPolicy = sync.OnceValue(func() Policy {
	policy, err := DecodePolicy("policy.yaml", defaultPolicy)
	if err != nil {
		panic("assessment: the embedded policy is broken: " + err.Error())
	}
	return policy
})

// DefaultPolicy is the embedded policy. Callers must not change its maps and lists.
func DefaultPolicy() Policy { return readDefaultPolicy() }

// DecodePolicy reads a policy file in YAML and checks it whole. The error is strict.Faults with file, line and field of every mistake.
func DecodePolicy(file string, data []byte) (Policy, error) {
	var policy Policy
	document, err := strict.YAML(file, data, &policy)
	if err != nil {
		return Policy{}, err
	}
	if err := document.Locate(policy.Validate()).Err(); err != nil {
		return Policy{}, err
	}
	return policy, nil
}
