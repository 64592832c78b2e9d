package competency

import (
	"slices"
	"time"
	_ "time/tzdata" // the same time zones on every machine

	"isthmus/assessment/strict"
)

// Rhythm is how often a person wants to be told what waits for them.
type Rhythm string

// The rhythms.
const (
	RhythmOff    Rhythm = "off"
	RhythmDaily  Rhythm = "daily"
	RhythmWeekly Rhythm = "weekly"
)

// weekdays are the days of the week as they are written, in the order of time.Weekday.
var weekdays = []string{"sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"}

// DigestChoices are when a person wants the digest of what waits for them. All hours are of the clock on the wall in their time zone.
type DigestChoices struct {
	Rhythm     Rhythm `json:"rhythm"`
	Weekday    string `json:"weekday"`     // of a weekly digest: monday to sunday
	Hour       int    `json:"hour"`        // 0 to 23
	Zone       string `json:"zone"`        // name in the IANA time zone database, such as Europe/Lisbon
	QuietFrom  int    `json:"quiet_from"`  // the hour from which nothing is sent
	QuietUntil int    `json:"quiet_until"` // the hour from which it may be again; the same as quiet_from for no quiet hours
}

// DefaultDigest is what holds until a person chooses: nothing is sent.
func DefaultDigest() DigestChoices {
	return DigestChoices{Rhythm: RhythmOff, Weekday: "monday", Hour: 7, Zone: "UTC", QuietFrom: 20, QuietUntil: 7}
}

// Validate reports every choice that cannot be kept.
func (c DigestChoices) Validate() strict.Faults {
	var faults strict.Faults
	if !slices.Contains([]Rhythm{RhythmOff, RhythmDaily, RhythmWeekly}, c.Rhythm) {
		faults.Add("rhythm", "must be off, daily or weekly, not %q", c.Rhythm)
	}
	if !slices.Contains(weekdays, c.Weekday) {
		faults.Add("weekday", "must be monday to sunday, not %q", c.Weekday)
	}
	for _, hour := range []struct {
		field string
		value int
	}{{"hour", c.Hour}, {"quiet_from", c.QuietFrom}, {"quiet_until", c.QuietUntil}} {
		if hour.value < 0 || hour.value > 23 {
			faults.Add(hour.field, "must be an hour from 0 to 23, not %d", hour.value)
		}
	}
	if c.quietAt(c.Hour) {
		faults.Add("hour", "%d o'clock lies in the quiet hours, %d to %d: choose another hour or other quiet hours", c.Hour, c.QuietFrom, c.QuietUntil)
	}
	if _, known := c.location(); !known {
		faults.Add("zone", "%q is no time zone: use a name such as Europe/Lisbon or UTC", c.Zone)
	}
	return faults
}

// Slot is the latest day whose digest could have been sent by now: the day on which its hour has come. It is empty when no digest is
// wanted or the choices are not valid. A person who has just chosen starts with this slot as already sent.
func (c DigestChoices) Slot(now time.Time) Day {
	zone, ok := c.usable()
	if !ok {
		return ""
	}
	day := wallDay(now, zone)
	for !c.onDay(day) || hourOf(day, c.Hour, zone).After(now) {
		day = day.Add(-1)
	}
	return day
}

// Due gives the slot whose digest is to be sent now, and whether there is one: it has come, it is later than the last one sent (empty
// for none), and these are no quiet hours. A slot that was missed is sent as soon as may be, until the next one comes in its place.
func (c DigestChoices) Due(last Day, now time.Time) (Day, bool) {
	zone, ok := c.usable()
	if !ok || c.quietAt(now.In(zone).Hour()) {
		return "", false
	}
	slot := c.Slot(now)
	return slot, slot > last
}

// Next is the first instant, from now on, at which a digest is due; the zero time when none ever is.
func (c DigestChoices) Next(last Day, now time.Time) time.Time {
	zone, ok := c.usable()
	if !ok {
		return time.Time{}
	}
	at := now
	if slot := c.Slot(now); slot <= last {
		day := max(slot, last).Add(1)
		for !c.onDay(day) {
			day = day.Add(1)
		}
		at = hourOf(day, c.Hour, zone)
	}
	for c.quietAt(at.In(zone).Hour()) {
		day := wallDay(at, zone)
		end := hourOf(day, c.QuietUntil, zone)
		for !end.After(at) {
			day = day.Add(1)
			end = hourOf(day, c.QuietUntil, zone)
		}
		at = end
	}
	return instant(at)
}

// usable is the time zone of choices by which something can be sent.
func (c DigestChoices) usable() (*time.Location, bool) {
	if c.Rhythm == RhythmOff || c.Validate().Err() != nil {
		return nil, false
	}
	return c.location()
}

// location loads the time zone. The machine's own is none: it would mean another one elsewhere.
func (c DigestChoices) location() (*time.Location, bool) {
	if c.Zone == "" || c.Zone == "Local" {
		return nil, false
	}
	zone, err := time.LoadLocation(c.Zone)
	return zone, err == nil
}

// onDay reports whether a digest is wanted on the day.
func (c DigestChoices) onDay(day Day) bool {
	return c.Rhythm == RhythmDaily || weekdays[day.Start().Weekday()] == c.Weekday
}

// quietAt reports whether an hour of the wall clock lies in the quiet hours, which may go over midnight.
func (c DigestChoices) quietAt(hour int) bool {
	if c.QuietFrom <= c.QuietUntil {
		return c.QuietFrom <= hour && hour < c.QuietUntil
	}
	return hour >= c.QuietFrom || hour < c.QuietUntil
}

// wallDay is the calendar day in a time zone.
func wallDay(at time.Time, zone *time.Location) Day { return Day(at.In(zone).Format(time.DateOnly)) }

// hourOf is the first instant at which the wall clock shows the full hour on the day. An hour that a change of the clocks leaves out
// comes when the clocks are changed; one that it repeats comes the first time.
func hourOf(day Day, hour int, zone *time.Location) time.Time {
	wall := day.Start().Add(time.Duration(hour) * time.Hour) // as if the zone were UTC
	shifted := func(nearby time.Time) time.Time {
		_, offset := nearby.In(zone).Zone()
		return wall.Add(-time.Duration(offset) * time.Second)
	}
	before, after := shifted(wall.Add(-24*time.Hour)), shifted(wall.Add(24*time.Hour))
	shows := func(at time.Time) bool {
		return at.In(zone).Format(time.DateTime) == wall.Format(time.DateTime)
	}
	switch {
	case shows(before): // the earlier one, where both do: clocks that are put back had been ahead
		return before
	case shows(after):
		return after
	}
	change, _ := before.In(zone).ZoneBounds()
	return change.UTC()
}
