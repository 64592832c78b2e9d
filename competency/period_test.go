package competency

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Weeks checked against the calendar of ISO 8601: 2026 begins on a Thursday, so its week 1 begins on 29 December 2025, and it has 53 weeks.
func TestParsePeriod(t *testing.T) {
	for _, test := range []struct {
		text        string
		first, last Day
		precision   Precision
	}{
		{"2026-03-14", "2026-03-14", "2026-03-14", PrecisionDay},
		{"2024-02-29", "2024-02-29", "2024-02-29", PrecisionDay},
		{"2026-W01", "2025-12-29", "2026-01-04", PrecisionWeek},
		{"2026-W11", "2026-03-09", "2026-03-15", PrecisionWeek},
		{"2026-W53", "2026-12-28", "2027-01-03", PrecisionWeek},
		{"2026-02", "2026-02-01", "2026-02-28", PrecisionMonth},
	} {
		got, err := ParsePeriod(test.text)
		if want := (Period{test.first, test.last, test.precision}); err != nil || got != want {
			t.Errorf("ParsePeriod(%q) = %v, %v, want %v", test.text, got, err, want)
		}
	}
	for _, text := range []string{"", "2026", "2026-02-29", "2026-13", "2025-W53", "2026-W00", "2026-w11", "14.03.2026", "2026-3-14", " 2026-03-14"} {
		if got, err := ParsePeriod(text); err == nil {
			t.Errorf("ParsePeriod(%q) = %v, want an error", text, got)
		}
	}
}

func TestCoarsenHoldsTheDay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		day := Day("2000-01-01").Add(rapid.IntRange(0, 20_000).Draw(t, "days"))
		for _, precision := range []Precision{PrecisionDay, PrecisionWeek, PrecisionMonth} {
			period, err := ParsePeriod(Coarsen(day, precision))
			if err != nil || period.Precision != precision || day < period.First || day > period.Last {
				t.Fatalf("%s at %s is %v (%v)", day, precision, period, err)
			}
		}
	})
}

func TestLatestDay(t *testing.T) {
	submitted := time.Date(2026, time.March, 20, 9, 0, 0, 0, time.UTC)
	for _, test := range []struct {
		date      string
		submitted time.Time
		want      Day
	}{
		{"2026-03-14", submitted, "2026-03-14"}, {"2026-03", submitted, "2026-03-20"}, {"2026-02", submitted, "2026-02-28"},
		{"2026-W12", submitted, "2026-03-20"}, {"2026-03", time.Time{}, "2026-03-31"}, {"March", submitted, ""},
	} {
		if got := latestDay(test.date, test.submitted); got != test.want {
			t.Errorf("latestDay(%q, %v) = %q, want %q", test.date, test.submitted, got, test.want)
		}
	}
}

func TestDay(t *testing.T) {
	if got := Day("2026-03-01").Add(-1); got != "2026-02-28" {
		t.Errorf("the day before 2026-03-01 is %s", got)
	}
	if got := Day("2026-03-01").DaysSince("2026-02-01"); got != 28 {
		t.Errorf("2026-02-01 to 2026-03-01 is %d days", got)
	}
	if got := DayOf(time.Date(2026, 3, 14, 23, 30, 0, 0, time.FixedZone("west", -3600))); got != "2026-03-15" {
		t.Errorf("the UTC day is %s", got)
	}
	if _, err := ParseDay("2026-02-30"); err == nil {
		t.Error("30 February is accepted")
	}
}
