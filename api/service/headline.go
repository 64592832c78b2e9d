package service

import (
	"fmt"
	"math"
	"slices"

	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/interval"
)

// headlineLevel is the confidence of the headline's interval.
const headlineLevel = 0.95

// Headline is the programme in two numbers, over everyone's evidence up to the day.
type Headline struct {
	ScopeLeftOut ScopeLeftOut `json:"scope_left_out"`
	SignOffWait  SignOffWait  `json:"sign_off_wait"`
}

// ScopeLeftOut is how often right atrial lines were left out in non-paroxysmal AF: of n signed-off cases, those with a scope below
// biatrial. The interval is Wilson's; without cases all are 0.
type ScopeLeftOut struct {
	Count int     `json:"count"`
	N     int     `json:"n"`
	Share float64 `json:"share"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	Level float64 `json:"level"`
	Says  string  `json:"says"`
}

// SignOffWait is how long cases wait for their sign-off: the median over n signed-off cases in days from submission, how many wait now,
// and how many of those were operated on longer ago than the programme's limit for late recall.
type SignOffWait struct {
	MedianDays float64 `json:"median_days"`
	N          int     `json:"n"`
	Waiting    int     `json:"waiting"`
	Late       int     `json:"late"`
}

// headline counts over everyone's evidence.
func headline(all map[competency.PersonID]competency.Evidence, on competency.Day, settings competency.Settings) Headline {
	var h Headline
	var waits []float64
	for _, evidence := range all {
		for _, c := range evidence.Cases {
			if c.Withdrawn || competency.DayOf(c.SignedAt) > on {
				continue
			}
			waits = append(waits, c.SignedAt.Sub(c.SubmittedAt).Hours()/24)
			if c.Pattern.NonParoxysmal() {
				h.ScopeLeftOut.N++
				if c.Scope != atrium.ScopeBiatrial {
					h.ScopeLeftOut.Count++
				}
			}
		}
		for _, c := range evidence.Pending {
			if c.Status != competency.CaseSubmitted {
				continue
			}
			h.SignOffWait.Waiting++
			if period, err := competency.ParsePeriod(c.OperatedOn); err == nil && on.DaysSince(period.Last) > settings.LateRecallDays {
				h.SignOffWait.Late++
			}
		}
	}
	h.SignOffWait.N, h.SignOffWait.MedianDays = len(waits), rounded(median(waits), 1)
	h.ScopeLeftOut.finish()
	return h
}

// finish computes share and interval, and says them.
func (s *ScopeLeftOut) finish() {
	s.Level = headlineLevel
	share, err := interval.Wilson(s.Count, s.N, headlineLevel)
	if err != nil { // no case yet
		s.Says = "No signed-off operation for non-paroxysmal AF yet."
		return
	}
	s.Share, s.Low, s.High = rounded(share.Estimate, 4), rounded(share.Low, 4), rounded(share.High, 4)
	s.Says = fmt.Sprintf("Right atrial lines were left out in %d of %d signed-off operations for non-paroxysmal AF (%.0f %%, %.0f %% interval %.0f to %.0f %%).",
		s.Count, s.N, 100*s.Share, 100*s.Level, 100*s.Low, 100*s.High)
}

// median is the middle value, the mean of the middle two, or 0 of nothing.
func median(values []float64) float64 {
	if len(values) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(values))
	middle := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[middle]
	}
	return (sorted[middle-1] + sorted[middle]) / 2
}

// rounded is a figure to so many decimals, which is how it is shown.
func rounded(value float64, decimals int) float64 {
	scale := math.Pow10(decimals)
	return math.Round(value*scale) / scale
}
