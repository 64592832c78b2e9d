package competency

import (
	"fmt"
	"regexp"
	"strconv"
	"time"
)

// Day is a calendar day, "2026-03-14", without a time zone. The empty Day means none. Days in this form compare as text.
type Day string

// ParseDay reads a Day and refuses days the calendar does not have.
func ParseDay(text string) (Day, error) {
	at, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return "", fmt.Errorf("%q is no calendar day: write it as 2026-03-14", text)
	}
	return DayOf(at), nil
}

// DayOf is the UTC day of an instant.
func DayOf(at time.Time) Day { return Day(at.UTC().Format(time.DateOnly)) }

// Start is the first instant of the day in UTC; the zero time when d is no day.
func (d Day) Start() time.Time {
	at, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return time.Time{}
	}
	return at
}

// Add is the day n days later, or earlier when n is negative.
func (d Day) Add(n int) Day { return DayOf(d.Start().AddDate(0, 0, n)) }

// DaysSince counts the days from an earlier day to d; negative when earlier is later.
func (d Day) DaysSince(earlier Day) int { return int(d.Start().Sub(earlier.Start()).Hours() / 24) }

// ordinal counts the days from 1970-01-01 to d; 0 for what is no day.
func (d Day) ordinal() int {
	at := d.Start()
	if at.IsZero() {
		return 0
	}
	return int(at.Unix() / (24 * 60 * 60))
}

// Precision is how exactly a programme keeps operation dates.
type Precision string

// The precisions. A day, like a week or month, is a date element of 45 CFR 164.514(b)(2)(i)(C): the programme decides what it may keep.
const (
	PrecisionDay   Precision = "day"
	PrecisionWeek  Precision = "week"
	PrecisionMonth Precision = "month"
)

// Period is a stretch of days: all that is known of an operation's date.
type Period struct {
	First, Last Day
	Precision   Precision
}

// isoWeek is the form of an ISO 8601 week: 2026-W11.
var isoWeek = regexp.MustCompile(`^(\d{4})-W(\d{2})$`)

// ParsePeriod reads a day (2026-03-14), an ISO 8601 week (2026-W11) or a month (2026-03).
func ParsePeriod(text string) (Period, error) {
	if day, err := ParseDay(text); err == nil {
		return Period{day, day, PrecisionDay}, nil
	}
	if month, err := time.Parse("2006-01", text); err == nil {
		return Period{DayOf(month), DayOf(month.AddDate(0, 1, -1)), PrecisionMonth}, nil
	}
	if parts := isoWeek.FindStringSubmatch(text); parts != nil {
		year, _ := strconv.Atoi(parts[1])
		week, _ := strconv.Atoi(parts[2])
		monday := firstMonday(year).AddDate(0, 0, 7*(week-1))
		if y, w := monday.ISOWeek(); y == year && w == week {
			return Period{DayOf(monday), DayOf(monday.AddDate(0, 0, 6)), PrecisionWeek}, nil
		}
	}
	return Period{}, fmt.Errorf("%q is no date: write a day as 2026-03-14, a week as 2026-W11 or a month as 2026-03", text)
}

// firstMonday is the Monday of a year's week 1, the week that holds 4 January (ISO 8601).
func firstMonday(year int) time.Time {
	fourth := time.Date(year, time.January, 4, 0, 0, 0, 0, time.UTC)
	return fourth.AddDate(0, 0, -(int(fourth.Weekday())+6)%7)
}

// Coarsen writes a day at a precision, which is how a date enters the record. An unknown precision is taken as month, the coarsest.
func Coarsen(day Day, precision Precision) string {
	switch precision {
	case PrecisionDay:
		return string(day)
	case PrecisionWeek:
		year, week := day.Start().ISOWeek()
		return fmt.Sprintf("%04d-W%02d", year, week)
	default:
		return day.Start().Format("2006-01")
	}
}

// latestDay is the latest day an operation can have been on: the last day of its period, but no later than the day it was submitted.
// Ages and recency count from it, so that a coarse date never makes a sign-off late or a trainee lapsed by itself; the benefit of
// the doubt is at most 30 days. A date that cannot be read gives the empty Day.
func latestDay(operatedOn string, submitted time.Time) Day {
	period, err := ParsePeriod(operatedOn)
	if err != nil {
		return ""
	}
	if day := DayOf(submitted); !submitted.IsZero() && day < period.Last && day >= period.First {
		return day
	}
	return period.Last
}
