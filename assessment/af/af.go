// Package af derives the AF pattern from the history by rule, so that it is never typed. It knows no scenario and no case.
package af

// Pattern is the class of atrial fibrillation.
type Pattern string

// The patterns; all but paroxysmal are non-paroxysmal.
const (
	Paroxysmal             Pattern = "paroxysmal"
	Persistent             Pattern = "persistent"
	LongStandingPersistent Pattern = "long-standing-persistent"
	Permanent              Pattern = "permanent"
)

// NonParoxysmal reports whether the pattern is persistent, long-standing persistent or permanent.
func (p Pattern) NonParoxysmal() bool { return p != Paroxysmal && p != "" }

// Ending says how the longest episode ended.
type Ending string

// The ways an episode ends.
const (
	EndsByItself        Ending = "by-itself"
	EndsByCardioversion Ending = "by-cardioversion"
	DoesNotEnd          Ending = "does-not-end"
)

// History is the facts the pattern is derived from.
type History struct {
	ContinuousMonths     float64 `json:"continuous_months" yaml:"continuous_months"`       // months of AF without a break until now; 0 when in sinus rhythm between episodes
	LongestEpisodeDays   float64 `json:"longest_episode_days" yaml:"longest_episode_days"` // 0 when only the continuous AF is known
	Ends                 Ending  `json:"ends" yaml:"ends"`
	RhythmControlPursued bool    `json:"rhythm_control_pursued" yaml:"rhythm_control_pursued"`
}

// Derivation is a pattern with the rule that gave it, in words, and the rule's source.
type Derivation struct {
	Pattern Pattern `json:"pattern"`
	Rule    string  `json:"rule"`
	Source  string  `json:"source"`
	Code    string  `json:"icd_10_cm"` // the ICD-10-CM code; I48.11 and I48.21 exclude each other, as the patterns do
}
