package item

import "math"

// From how many people on anything is told of an item, and from how many it is flagged, both common practice, no source; and how many each group
// needs before they are compared, likewise: far fewer than programmes of examinations ask for (200 and more), so that what is found stays a hint.
const (
	FewestToTell    = 10
	FewestToFlag    = 30
	FewestInGroup   = 50
	FewestToOverall = 20 // people with a full table, for alpha
)

// Flag is a reason to look at an item again.
type Flag string

// The flags, with what raises them.
const (
	TooEasy   Flag = "too-easy"     // more than 95 % right: common practice, no source
	TooHard   Flag = "too-hard"     // less than 25 % right, about what guessing among four gives: common practice, no source
	Backwards Flag = "backwards"    // who answers it rightly does worse on the others: the correlation is below 0
	Weak      Flag = "weak"         // correlation with the others below 0.1: common practice, no source
	KeyDoubt  Flag = "key-in-doubt" // the better people choose a wrong option more often than the key
	Idle      Flag = "idle-option"  // a wrong option that fewer than 5 % choose (Haladyna and Downing 1993, Educ Psychol Meas 53:999; from memory)
	Misfit    Flag = "misfit"       // infit outside 0.7 to 1.3 (Wright and Linacre 1994, Rasch Meas Trans 8:370; from memory)
	Differs   Flag = "differs"      // by site: delta of 1.5 or more from 0 and its test significant at 0.05, and surely beyond 1 (Zwick 2012, ETS RR-12-08; from memory)
)

// The thresholds of the flags.
const (
	easyFrom, hardBelow   = 0.95, 0.25
	weakBelow             = 0.1
	idleBelow             = 0.05
	infitLow, infitHigh   = 0.7, 1.3
	deltaLarge, deltaSure = 1.5, 1.0
)

// Chosen is how often an option was chosen: by all, by the best people and by the weakest.
type Chosen struct {
	Key          bool
	N            int
	Upper, Lower float64 // shares of the two groups
}

// Flags are the reasons to look at an item again; none from fewer than FewestToFlag people. infit is NaN where it is not known.
func (a Analysis) Flags(options []Chosen, infit float64) []Flag {
	flags := []Flag{}
	if a.N < FewestToFlag {
		return flags
	}
	add := func(raise bool, flag Flag) {
		if raise {
			flags = append(flags, flag)
		}
	}
	add(a.Difficulty > easyFrom, TooEasy)
	add(a.Difficulty < hardBelow, TooHard)
	add(a.Corrected < 0, Backwards)
	add(a.Corrected >= 0 && a.Corrected < weakBelow, Weak)
	key, rival, idle := 0.0, 0.0, false
	for _, o := range options {
		if o.Key {
			key = max(key, o.Upper)
			continue
		}
		rival = max(rival, o.Upper)
		idle = idle || float64(o.N) < idleBelow*float64(a.N)
	}
	add(rival > key, KeyDoubt)
	add(idle, Idle)
	add(!math.IsNaN(infit) && (infit < infitLow || infit > infitHigh), Misfit)
	return flags
}

// Large reports whether an item works so differently in two groups that somebody should look: the class C of the examinations that began with it.
func (d Differential) Large() bool {
	low, high := math.Abs(-2.35*math.Log(d.Low)), math.Abs(-2.35*math.Log(d.High))
	return math.Abs(d.Delta) >= deltaLarge && d.P < 0.05 && (d.Low > 1 || d.High < 1) && min(low, high) > deltaSure
}
