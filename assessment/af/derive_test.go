package af_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment/af"
	"isthmus/assessment/strict"
)

func TestDerive(t *testing.T) {
	tests := []struct {
		name    string
		history af.History
		want    af.Pattern
		code    string
		rule    string
	}{
		// ESC 2024 (10.1093/eurheartj/ehae176, as quoted) and ICD-10-CM FY2026: nine days, not self-ending, rhythm control wanted.
		{"nine days, not self-ending", af.History{LongestEpisodeDays: 9, Ends: af.DoesNotEnd, RhythmControlPursued: true}, af.Persistent, "I48.19", af.RuleBeyondWeek},
		// ICD-10-CM FY2026, I48.11: 14 months continuous and an operation for it planned.
		{"fourteen months", af.History{ContinuousMonths: 14, Ends: af.DoesNotEnd, RhythmControlPursued: true}, af.LongStandingPersistent, "I48.11", af.RuleBeyondYear},
		// ICD-10-CM FY2026, I48.21: the same duration with rhythm control given up. I48.11 and I48.21 exclude each other.
		{"fourteen months, given up", af.History{ContinuousMonths: 14, Ends: af.DoesNotEnd}, af.Permanent, "I48.21", af.RuleRhythmGivenUp},
		{"permanent is a decision, not a duration", af.History{ContinuousMonths: 2, Ends: af.DoesNotEnd}, af.Permanent, "I48.21", af.RuleRhythmGivenUp},
		{"five years, still pursued", af.History{ContinuousMonths: 60, Ends: af.DoesNotEnd, RhythmControlPursued: true}, af.LongStandingPersistent, "I48.11", af.RuleBeyondYear},
		// The ICD-10-CM text says more than 12 months, ESC 2024 (as quoted) 12 or more; the rule shown says which was used.
		{"twelve months exactly", af.History{ContinuousMonths: 12, Ends: af.DoesNotEnd, RhythmControlPursued: true}, af.Persistent, "I48.19", af.RuleExactlyYear},
		{"hours", af.History{LongestEpisodeDays: 0.3, Ends: af.EndsByItself, RhythmControlPursued: true}, af.Paroxysmal, "I48.0", af.RuleEndsWithinWeek},
		{"seven days", af.History{LongestEpisodeDays: 7, Ends: af.EndsByItself, RhythmControlPursued: true}, af.Paroxysmal, "I48.0", af.RuleEndsWithinWeek},
		{"just over seven days", af.History{LongestEpisodeDays: 7.5, Ends: af.EndsByItself, RhythmControlPursued: true}, af.Persistent, "I48.19", af.RuleBeyondWeek},
		// Calkins 2017 (10.1093/europace/eux274, from memory): any ending within seven days is paroxysmal.
		{"cardioverted on day three", af.History{LongestEpisodeDays: 3, Ends: af.EndsByCardioversion, RhythmControlPursued: true}, af.Paroxysmal, "I48.0", af.RuleShockedInWeek},
		{"cardioverted on day twenty", af.History{LongestEpisodeDays: 20, Ends: af.EndsByCardioversion, RhythmControlPursued: true}, af.Persistent, "I48.19", af.RuleBeyondWeek},
		{"day two and still going", af.History{LongestEpisodeDays: 2, Ends: af.DoesNotEnd, RhythmControlPursued: true}, af.Paroxysmal, "I48.0", af.RuleOngoingInWeek},
		{"both durations given", af.History{ContinuousMonths: 6, LongestEpisodeDays: 200, Ends: af.DoesNotEnd, RhythmControlPursued: true}, af.Persistent, "I48.19", af.RuleBeyondWeek},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := af.Derive(tt.history)
			if err != nil {
				t.Fatalf("Derive(%+v): %v", tt.history, err)
			}
			if got.Pattern != tt.want || got.Code != tt.code || got.Rule != tt.rule || got.Source == "" {
				t.Errorf("Derive(%+v) = %+v, want %s, %s, %q with a source", tt.history, got, tt.want, tt.code, tt.rule)
			}
		})
	}
}

func TestDeriveRefuses(t *testing.T) {
	tests := []struct {
		name    string
		history af.History
		field   string
		says    string
	}{
		{"ends by itself yet continuous", af.History{ContinuousMonths: 5, Ends: af.EndsByItself, RhythmControlPursued: true}, "ends", "has not ended by itself"},
		{"cardioverted yet continuous", af.History{ContinuousMonths: 5, Ends: af.EndsByCardioversion, RhythmControlPursued: true}, "ends", "has not ended by cardioversion"},
		{"permanent yet self-ending", af.History{LongestEpisodeDays: 2, Ends: af.EndsByItself}, "rhythm_control_pursued", "not permanent"},
		{"no duration", af.History{Ends: af.DoesNotEnd, RhythmControlPursued: true}, "longest_episode_days", "no duration"},
		{"durations disagree", af.History{ContinuousMonths: 24, LongestEpisodeDays: 30, Ends: af.DoesNotEnd, RhythmControlPursued: true}, "longest_episode_days", "shorter than"},
		{"two years, then by itself", af.History{LongestEpisodeDays: 730, Ends: af.EndsByItself, RhythmControlPursued: true}, "longest_episode_days", "not believable"},
		{"negative", af.History{ContinuousMonths: -1, Ends: af.DoesNotEnd}, "continuous_months", "between 0 and 600"},
		{"beyond a life", af.History{LongestEpisodeDays: 1e9, Ends: af.DoesNotEnd}, "longest_episode_days", "between 0 and"},
		{"unknown ending", af.History{LongestEpisodeDays: 1, Ends: "drifts-off"}, "ends", "must be by-itself"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := af.Derive(tt.history)
			var faults strict.Faults
			if !errors.As(err, &faults) || len(faults.List) != 1 || faults.List[0].Field != tt.field || !strings.Contains(faults.List[0].Message, tt.says) {
				t.Errorf("Derive(%+v): %v, want one fault at %s saying %q", tt.history, err, tt.field, tt.says)
			}
		})
	}
}

// TestDeriveIsTotal: every history is either classified with a rule or refused with a field; never both, never neither.
func TestDeriveIsTotal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := af.History{
			ContinuousMonths:     rapid.SampledFrom([]float64{0, 0.1, 3, 11.9, 12, 12.1, 90}).Draw(t, "months"),
			LongestEpisodeDays:   rapid.Float64Range(0, 800).Draw(t, "days"),
			Ends:                 rapid.SampledFrom([]af.Ending{af.EndsByItself, af.EndsByCardioversion, af.DoesNotEnd}).Draw(t, "ends"),
			RhythmControlPursued: rapid.Bool().Draw(t, "pursued"),
		}
		got, err := af.Derive(h)
		if (err == nil) == (got.Pattern == "") {
			t.Fatalf("Derive(%+v) = %+v, %v", h, got, err)
		}
		if err == nil && (got.Pattern == af.Permanent) == h.RhythmControlPursued {
			t.Fatalf("Derive(%+v) = %+v: permanent and rhythm control pursued", h, got)
		}
	})
}

func ExampleDerive() {
	got, _ := af.Derive(af.History{ContinuousMonths: 14, Ends: af.DoesNotEnd, RhythmControlPursued: true})
	fmt.Println(got.Pattern, got.Code)
	fmt.Println(got.Rule)
	// Output:
	// long-standing-persistent I48.11
	// continuous for more than 12 months, and sinus rhythm is still pursued
}
