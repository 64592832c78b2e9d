// Package af derives the AF pattern from the history by rule, so that it is never typed. It knows no scenario and no case.
package af

import "isthmus/assessment/strict"

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
}

// Derive classifies h: it is to be written; Faults name contradictory fields.
func Derive(h History) (Derivation, error) { return Derivation{}, strict.Faults{} }
