package competency

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// zones have whole and half hours, changes of the clocks by an hour and by half of one, in either half of the year, at night and at
// midnight, and none.
var zones = []string{"UTC", "Europe/Lisbon", "Europe/Berlin", "America/New_York", "America/Santiago", "Africa/Cairo", "Asia/Kolkata", "Asia/Kathmandu",
	"Australia/Lord_Howe", "Pacific/Chatham", "Pacific/Apia", "Pacific/Honolulu"}

// anyChoices draws valid choices that want a digest.
func anyChoices(t *rapid.T) DigestChoices {
	c := DigestChoices{
		Rhythm: rapid.SampledFrom([]Rhythm{RhythmDaily, RhythmWeekly}).Draw(t, "rhythm"), Weekday: rapid.SampledFrom(weekdays).Draw(t, "weekday"),
		Zone: rapid.SampledFrom(zones).Draw(t, "zone"), QuietFrom: rapid.IntRange(0, 23).Draw(t, "from"), QuietUntil: rapid.IntRange(0, 23).Draw(t, "until"),
	}
	var open []int
	for hour := range 24 {
		if !c.quietAt(hour) {
			open = append(open, hour)
		}
	}
	c.Hour = rapid.SampledFrom(open).Draw(t, "hour")
	return c
}

// anyInstant draws a time of 2025 to 2027, when all zones above keep the rules they have now.
func anyInstant(t *rapid.T) time.Time {
	return time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(rapid.IntRange(0, 2*365*24*60).Draw(t, "minute")) * time.Minute)
}

// TestDigestIsSentOnce lets the clock run for five weeks, looking at odd times and sometimes not for days, as a server that is down.
func TestDigestIsSentOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, now := anyChoices(t), anyInstant(t)
		zone, _ := time.LoadLocation(c.Zone)
		last, sent, began, down := c.Slot(now), map[Day]bool{}, now, false
		for now.Sub(began) < 35*24*time.Hour {
			step := rapid.IntRange(1, 59).Draw(t, "step")
			if rapid.IntRange(0, 500).Draw(t, "down") == 0 {
				step, down = 3*24*60, true
			}
			now = now.Add(time.Duration(step) * time.Minute)
			slot, due := c.Due(last, now)
			if !due {
				continue
			}
			if c.quietAt(now.In(zone).Hour()) {
				t.Fatalf("sent at %v, within %d to %d", now.In(zone), c.QuietFrom, c.QuietUntil)
			}
			if sent[slot] || slot <= last {
				t.Fatalf("slot %s is sent again after %s", slot, last)
			}
			sent[slot], last = true, slot
		}
		least := map[Rhythm]int{RhythmDaily: 34, RhythmWeekly: 4}[c.Rhythm]
		if quiet := (c.QuietUntil - c.QuietFrom + 24) % 24; !down && quiet < 22 && len(sent) < least {
			t.Fatalf("%d digests in five weeks, want at least %d: %+v", len(sent), least, c)
		}
	})
}

// TestNextDigest holds that nothing is due before what Next says, and something is then.
func TestNextDigest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, now := anyChoices(t), anyInstant(t)
		last := c.Slot(now).Add(-rapid.IntRange(0, 8).Draw(t, "days"))
		next := c.Next(last, now)
		if next.Before(now) {
			t.Fatalf("next %v is before now, %v", next, now)
		}
		if _, due := c.Due(last, next); !due {
			t.Fatalf("nothing is due at %v, which is next after %v with %s sent: %+v", next, now, last, c)
		}
		if wait := next.Sub(now); wait > 0 {
			before := now.Add(time.Duration(rapid.Int64Range(0, int64(wait)-1).Draw(t, "before")))
			if slot, due := c.Due(last, before); due {
				t.Fatalf("%s is due at %v already, before %v: %+v", slot, before, next, c)
			}
		}
	})
}

// TestDigestAtClockChanges takes the changes of the clocks from the IANA time zone database, release 2025b: Lisbon at 01:00 UTC on the
// last Sundays of March and October, New York at 02:00 local on 8 March and 1 November 2026, Cairo at midnight on 24 April 2026.
func TestDigestAtClockChanges(t *testing.T) {
	for _, c := range []struct {
		what, zone string
		hour       int
		day        Day
		want       string
	}{
		{"an ordinary day", "Europe/Lisbon", 7, "2026-03-28", "2026-03-28T07:00:00Z"},
		{"the hour is left out", "Europe/Lisbon", 1, "2026-03-29", "2026-03-29T01:00:00Z"},
		{"after it", "Europe/Lisbon", 7, "2026-03-29", "2026-03-29T06:00:00Z"},
		{"the hour comes twice", "Europe/Lisbon", 1, "2026-10-25", "2026-10-25T00:00:00Z"},
		{"after both", "Europe/Lisbon", 2, "2026-10-25", "2026-10-25T02:00:00Z"},
		{"left out in the west", "America/New_York", 2, "2026-03-08", "2026-03-08T07:00:00Z"},
		{"twice in the west", "America/New_York", 1, "2026-11-01", "2026-11-01T05:00:00Z"},
		{"midnight is left out", "Africa/Cairo", 0, "2026-04-24", "2026-04-23T22:00:00Z"},
	} {
		zone, err := time.LoadLocation(c.zone)
		if err != nil {
			t.Fatal(err)
		}
		if got := hourOf(c.day, c.hour, zone).Format(time.RFC3339); got != c.want {
			t.Errorf("%s: %d o'clock of %s in %s is %s, want %s", c.what, c.hour, c.day, c.zone, got, c.want)
		}
	}
}

func TestDigestChoices(t *testing.T) {
	if faults := DefaultDigest().Validate(); faults.Err() != nil {
		t.Errorf("the default: %v", faults)
	}
	now := time.Date(2026, 6, 3, 12, 0, 0, 0, time.UTC)
	if slot, due := DefaultDigest().Due("", now); due || !DefaultDigest().Next("", now).IsZero() {
		t.Errorf("by default %q is due", slot)
	}
	weekly := DefaultDigest()
	weekly.Rhythm = RhythmWeekly
	if slot := weekly.Slot(now); slot != "2026-06-01" {
		t.Errorf("the weekly slot of Wednesday 3 June 2026 is %q, want Monday", slot)
	}
	for field, spoil := range map[string]func(*DigestChoices){
		"rhythm":      func(c *DigestChoices) { c.Rhythm = "hourly" },
		"weekday":     func(c *DigestChoices) { c.Weekday = "someday" },
		"hour":        func(c *DigestChoices) { c.Hour = 22 }, // quiet
		"quiet_from":  func(c *DigestChoices) { c.QuietFrom = 24 },
		"quiet_until": func(c *DigestChoices) { c.QuietUntil = -1 },
		"zone":        func(c *DigestChoices) { c.Zone = "Local" },
	} {
		c := weekly
		spoil(&c)
		if faults := c.Validate(); len(faults.List) != 1 || faults.List[0].Field != field {
			t.Errorf("%s: %v", field, faults)
		}
		if _, due := c.Due("", now); due {
			t.Errorf("something is due by choices with a wrong %s", field)
		}
	}
}

func TestQuietHours(t *testing.T) {
	for _, c := range []struct {
		from, until int
		quiet       string // the hours, x for quiet
	}{
		{20, 7, "xxxxxxx.............xxxx"},
		{7, 20, ".......xxxxxxxxxxxxx...."},
		{0, 6, "xxxxxx.................."},
		{23, 0, ".......................x"},
		{5, 5, "........................"},
	} {
		choices, quiet := DigestChoices{QuietFrom: c.from, QuietUntil: c.until}, ""
		for hour := range 24 {
			if choices.quietAt(hour) {
				quiet += "x"
			} else {
				quiet += "."
			}
		}
		if quiet != c.quiet {
			t.Errorf("quiet from %d until %d is %s, want %s", c.from, c.until, quiet, c.quiet)
		}
	}
}
