package competency

import (
	"fmt"
	"strings"

	"isthmus/competency/interval"
)

// words say how an assessor's figures compare with the others' and what helps. They never rank.
func (v AssessorView) words(others []float64, lateDays int) []string {
	says := []string{}
	for _, one := range []string{v.delayWords(others, lateDays), v.lateWords(lateDays), v.severityWords()} {
		if one != "" {
			says = append(says, one)
		}
	}
	return says
}

// tellingDays is the least difference between two waits that is worth a word. Common practice, no source.
const tellingDays = 1.0

// delayWords compare the median wait with the others' and say what shortens a long one. Long is half of the limit for late recall: common
// practice, no source.
func (v AssessorView) delayWords(others []float64, lateDays int) string {
	if v.Delay.Bounds == nil {
		return ""
	}
	words := ""
	if m, err := interval.Median(others, AgreementLevel); err == nil || m.N > 0 {
		words = "about as long as with the others"
		switch {
		case v.Delay.Bounds.Low > m.Median && v.Delay.Median-m.Median >= tellingDays:
			words = "longer than with the others"
		case v.Delay.Bounds.High < m.Median && m.Median-v.Delay.Median >= tellingDays:
			words = "shorter than with the others"
		}
		words = fmt.Sprintf("Half of the cases wait longer than %s, %s (%s).", daysWords(v.Delay.Median), words, daysWords(m.Median))
	}
	if v.Delay.Median > float64(lateDays)/2 {
		words = strings.TrimSpace(words + " What helps: a fixed quarter of an hour a week for the inbox, cases prepared in the tray, and the mail of what waits (under Account).")
	}
	return words
}

// lateWords say what late recall means where it happens often: in more than a tenth, common practice, no source.
func (v AssessorView) lateWords(lateDays int) string {
	if v.Late.Share == nil || *v.Late.Share <= 0.1 || v.Late.Hits < 2 {
		return ""
	}
	return fmt.Sprintf("%d of %d were signed more than %d days after the operation: memory fades, and a standard can leave such ratings out.", v.Late.Hits, v.Late.N, lateDays)
}

// severityWords put a severity that is told in words.
func (v AssessorView) severityWords() string {
	s := v.Severity
	switch {
	case s.Interval == nil:
		return ""
	case s.Interval.Low > 0:
		return "Rates the same trainees lower than the average assessor, beyond chance. Neither is wrong by itself: talk over two cases with a colleague who saw the same trainee."
	case s.Interval.High < 0:
		return "Rates the same trainees higher than the average assessor, beyond chance. Neither is wrong by itself: talk over two cases with a colleague who saw the same trainee."
	}
	return "Rates as the average assessor does, as far as these ratings can tell."
}

// daysWords write days to one decimal.
func daysWords(days float64) string {
	if days == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%.1f days", days)
}
