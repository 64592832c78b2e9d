package competency

import (
	"fmt"
	"slices"
)

// Freedom is what a follow-up says of the rhythm by the programme's definition of success.
type Freedom string

// The outcomes of one follow-up.
const (
	FreeOffDrugs Freedom = "free-off-drugs"
	FreeOnDrugs  Freedom = "free-on-drugs"
	Recurred     Freedom = "recurred"
	NotJudged    Freedom = "not-judged" // within blanking, or too little was recorded to tell
)

// daysPerMonth turns a month of follow-up into days for the blanking: the mean month of the calendar.
const daysPerMonth = 365.25 / 12

// Judge says what a follow-up means by the rule, with the reason in words. Silence is not success: without enough recording nothing is
// judged, while a seen arrhythmia counts whatever was recorded.
func (r FollowUpRule) Judge(f FollowUp) (Freedom, string) {
	arrhythmia := f.Arrhythmia == "over-30-s" || f.Rhythm == "fibrillation" || f.Rhythm == "flutter-or-tachycardia"
	switch {
	case float64(f.Month)*daysPerMonth <= float64(r.BlankingDays):
		return NotJudged, fmt.Sprintf("within %d days of blanking (follow-up rule %d)", r.BlankingDays, r.Version)
	case arrhythmia:
		return Recurred, fmt.Sprintf("atrial arrhythmia after %d days of blanking (follow-up rule %d)", r.BlankingDays, r.Version)
	case f.Arrhythmia == "not-known":
		return NotJudged, fmt.Sprintf("whether there was an arrhythmia is not known (follow-up rule %d)", r.Version)
	case f.MonitoringHours < r.LeastHours:
		return NotJudged, fmt.Sprintf("%d hours recorded, %d are needed to call it free (follow-up rule %d)", f.MonitoringHours, r.LeastHours, r.Version)
	case r.OffAntiarrhythmics && f.Antiarrhythmic != "none":
		return FreeOnDrugs, fmt.Sprintf("no arrhythmia, but on a class %s drug (follow-up rule %d)", class(f.Antiarrhythmic), r.Version)
	}
	return FreeOffDrugs, fmt.Sprintf("no arrhythmia over %d s in %d hours recorded (follow-up rule %d)", r.EpisodeSeconds, f.MonitoringHours, r.Version)
}

func class(drug string) string {
	if drug == "class-i" {
		return "I"
	}
	return "III"
}

// DueState says how a follow-up of the schedule stands.
type DueState string

// The states of a follow-up that the schedule asks for.
const (
	DueDone   DueState = "done"
	DueComing DueState = "coming" // within the days the rule reminds before
	DueNow    DueState = "due"
	DueLate   DueState = "late"
	DueLater  DueState = "later"
)

// Due is one follow-up the schedule asks for.
type Due struct {
	Month int      `json:"month"`
	On    Day      `json:"on"`
	State DueState `json:"state"`
}

// Schedule lists the follow-ups an operation asks for, in order, as they stand today. A follow-up is done by one of its own month or of
// one nearer to it than to any other of the schedule. After a death nothing more is due. A date that cannot be read has no schedule.
func (r FollowUpRule) Schedule(operatedOn string, done []FollowUp, today Day) []Due {
	period, err := ParsePeriod(operatedOn)
	if err != nil {
		return nil
	}
	months := r.allMonths()
	covered, last := map[int]bool{}, mostMonths
	for _, f := range done {
		covered[nearestMonth(months, f.Month)] = true
		if f.Died {
			last = min(last, f.Month)
		}
	}
	var list []Due
	for _, month := range months {
		if month > last && !covered[month] {
			break
		}
		due := Due{Month: month, On: dueDay(period, month)}
		switch late := today.DaysSince(due.On); {
		case covered[month]:
			due.State = DueDone
		case late > r.LateAfterDays:
			due.State = DueLate
		case late >= 0:
			due.State = DueNow
		case -late <= r.RemindBeforeDays:
			due.State = DueComing
		default:
			due.State = DueLater
		}
		list = append(list, due)
	}
	return list
}

// dueDay is when the follow-up at a month after an operation is due.
func dueDay(operated Period, month int) Day { return DayOf(operated.Last.Start().AddDate(0, month, 0)) }

// allMonths is the schedule with its yearly part.
func (r FollowUpRule) allMonths() []int {
	months := slices.Clone(r.Months)
	for year := 1; year <= r.YearlyUntil; year++ {
		if month := 12 * year; len(months) == 0 || month > months[len(months)-1] {
			months = append(months, month)
		}
	}
	return months
}

// nearestMonth is the month of the schedule that a follow-up stands for; the earlier of two equally near.
func nearestMonth(months []int, month int) int {
	best := months[0]
	for _, m := range months[1:] {
		if abs(m-month) < abs(best-month) {
			best = m
		}
	}
	return best
}

func abs(x int) int { return max(x, -x) }

// StandsFor is the month of the schedule that a follow-up at a month stands for: the nearest, the earlier of two.
func (r FollowUpRule) StandsFor(month int) int { return nearestMonth(r.allMonths(), month) }
