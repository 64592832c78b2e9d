package af

import "isthmus/assessment/strict"

// The thresholds of the patterns.
const (
	ParoxysmalDays     = 7.0    // an episode that ends within this many days is paroxysmal: ESC 2024 (10.1093/eurheartj/ehae176), as quoted
	LongStandingMonths = 12.0   // continuous AF beyond this many months, with rhythm control still pursued, is long-standing persistent: ICD-10-CM text
	DaysInMonth        = 30.436 // 365.25 / 12 rounded to the hour, to compare the two durations of a history
	mostMonths         = 600.0
	mostDays           = 18_262.0
)

// The sources of the rules. Guideline wording was read where others quote it, so it is named as quoted.
const (
	sourceParoxysmal   = "ESC 2024, 10.1093/eurheartj/ehae176 (as quoted): ends within 7 days of onset; ICD-10-CM I48.0 from memory"
	sourcePersistent   = "ESC 2024, 10.1093/eurheartj/ehae176 (as quoted): continuous beyond 7 days; ICD-10-CM FY2026 I48.19"
	sourceLongStanding = "ICD-10-CM FY2026 I48.11: continuous beyond 12 months with rhythm control still pursued (ESC 2024, as quoted, sets 12 months or more)"
	sourcePermanent    = "ICD-10-CM FY2026 I48.21: patient and clinician have agreed to stop pursuing sinus rhythm"
	sourceShocked      = "two rules exist: Calkins 2017, 10.1093/europace/eux274 (from memory) counts any ending within 7 days as paroxysmal, and that one is used; texts on ICD-10-CM call an episode that needed cardioversion persistent"
)

// The rules in words.
// Which of two disagreeing rules was used is part of the words.
const (
	RuleEndsWithinWeek = "the longest episode ended by itself within 7 days"
	RuleShockedInWeek  = "the longest episode was cardioverted within 7 days: counted as paroxysmal"
	RuleBeyondWeek     = "an episode lasted beyond 7 days"
	RuleExactlyYear    = "continuous for 12 months: beyond 7 days, and not yet more than 12 months"
	RuleBeyondYear     = "continuous for more than 12 months, and sinus rhythm is still pursued"
	RuleRhythmGivenUp  = "patient and clinicians have stopped pursuing sinus rhythm: a decision, not a duration"
	RuleOngoingInWeek  = "the episode has not ended, but has not lasted beyond 7 days"
)

// Derive classifies h by duration and by how the longest episode ended. Giving up rhythm control makes AF permanent whatever its
// duration. A history that contradicts itself gives strict.Faults whose fields are those of History.
func Derive(h History) (Derivation, error) {
	if faults := h.Validate(); len(faults.List) > 0 {
		return Derivation{}, faults
	}
	days := max(h.LongestEpisodeDays, h.ContinuousMonths*DaysInMonth)
	switch {
	case !h.RhythmControlPursued:
		return Derivation{Permanent, RuleRhythmGivenUp, sourcePermanent, "I48.21"}, nil
	case h.ContinuousMonths > LongStandingMonths:
		return Derivation{LongStandingPersistent, RuleBeyondYear, sourceLongStanding, "I48.11"}, nil
	case h.ContinuousMonths == LongStandingMonths:
		return Derivation{Persistent, RuleExactlyYear, sourceLongStanding, "I48.19"}, nil
	case days > ParoxysmalDays:
		return Derivation{Persistent, RuleBeyondWeek, sourcePersistent, "I48.19"}, nil
	case h.Ends == EndsByCardioversion:
		return Derivation{Paroxysmal, RuleShockedInWeek, sourceShocked, "I48.0"}, nil
	case h.Ends == DoesNotEnd:
		return Derivation{Paroxysmal, RuleOngoingInWeek, sourceParoxysmal, "I48.0"}, nil
	}
	return Derivation{Paroxysmal, RuleEndsWithinWeek, sourceParoxysmal, "I48.0"}, nil
}

// Validate names every field of h that is out of range or contradicts another, and how to put it right.
func (h History) Validate() strict.Faults {
	var faults strict.Faults
	if !(h.ContinuousMonths >= 0 && h.ContinuousMonths <= mostMonths) {
		faults.Add("continuous_months", "must be between 0 and %g", mostMonths)
	}
	if !(h.LongestEpisodeDays >= 0 && h.LongestEpisodeDays <= mostDays) {
		faults.Add("longest_episode_days", "must be between 0 and %g", mostDays)
	}
	switch h.Ends {
	case EndsByItself, EndsByCardioversion, DoesNotEnd:
	default:
		faults.Add("ends", "must be %s, %s or %s", EndsByItself, EndsByCardioversion, DoesNotEnd)
	}
	if len(faults.List) == 0 {
		h.contradictions(&faults)
	}
	return faults
}

// contradictions reports facts that cannot be true together.
func (h History) contradictions(faults *strict.Faults) {
	continuous := h.ContinuousMonths * DaysInMonth
	switch {
	case h.ContinuousMonths == 0 && h.LongestEpisodeDays == 0:
		faults.Add("longest_episode_days", "no duration given: give the longest episode in days, or the months of continuous AF")
	case h.Ends != DoesNotEnd && !h.RhythmControlPursued:
		faults.Add("rhythm_control_pursued", "AF that ends %s is not permanent: permanent AF is continuous AF that everyone has agreed to accept; use true, or ends: %s",
			words(h.Ends), DoesNotEnd)
	case h.Ends != DoesNotEnd && h.ContinuousMonths > 0:
		faults.Add("ends", "AF that has been continuous for %g months until now has not ended %s: use %s, or set continuous_months to 0 and give the episode's days",
			h.ContinuousMonths, words(h.Ends), DoesNotEnd)
	case h.Ends == EndsByItself && h.LongestEpisodeDays > LongStandingMonths*DaysInMonth:
		faults.Add("longest_episode_days", "an episode of %g days that ended by itself is not believable: more than a year", h.LongestEpisodeDays)
	case h.LongestEpisodeDays > 0 && continuous > h.LongestEpisodeDays+DaysInMonth:
		faults.Add("longest_episode_days", "shorter than the %g months of continuous AF: leave it 0 or make it at least as long", h.ContinuousMonths)
	}
}

// words puts an ending into a sentence.
func words(e Ending) string {
	if e == EndsByCardioversion {
		return "by cardioversion"
	}
	return "by itself"
}
