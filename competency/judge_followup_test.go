package competency

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// followedSeries is n cases a month apart, the latest so many months before the judged day, with follow-ups at month 12 of the first so many.
func followedSeries(n, monthsBefore, followed int) Evidence {
	e := Evidence{FollowUpMonths: []int{3, 6, 12, 24}}
	for i := range n {
		c := signedCase(fmt.Sprintf("c%02d-%d", i, i%3), 0)
		day := DayOf(judgedOn.Start().AddDate(0, -(monthsBefore + n - 1 - i), 0))
		c.OperatedOn, c.SubmittedAt, c.SignedAt = string(day), day.Start().Add(time.Hour), day.Add(2).Start()
		e.Cases = append(e.Cases, c)
		if i < followed {
			e.FollowUps = append(e.FollowUps, recorded(fmt.Sprint("f", i), c.ID, 12, day.Add(350)))
		}
	}
	return e
}

func recorded(id string, of CaseID, month int, on Day) FollowUpOnRecord {
	return FollowUpOnRecord{ID: FollowUpID(id), Case: of, Version: 1, Month: month, Rhythm: true, At: on.Start()}
}

const followedUp = "{id: b, kind: follow-up, month: 12, share: 0.8, at_least: 10}"

func TestFollowUpStates(t *testing.T) {
	for _, test := range []struct {
		name       string
		evidence   Evidence
		want       State
		value      float64
		n, leftOut int
		next       string
	}{
		{"nothing", Evidence{}, NotEnoughData, 0, 0, 0, "10 more signed-off cases due for follow-up at month 12."},
		{"none due", followedSeries(6, 3, 0), NotEnoughData, 0, 0, 6, "10 more signed-off cases due for follow-up at month 12; the next falls due on 2026-10-30."},
		{"four due", followedSeries(4, 12, 4), NotEnoughData, 1, 4, 0, "6 more signed-off cases due"},
		{"five due, all on record", followedSeries(5, 12, 5), OnCourse, 1, 5, 0, "5 more signed-off cases due"},
		{"five due, three on record", followedSeries(5, 12, 3), Short, 0.6, 5, 0, "Rhythm follow-up at month 12 of 1 more due case that has none on record. 5 more"},
		{"ten due, eight on record", followedSeries(10, 12, 8), Met, 0.8, 10, 0, ""},
		{"ten due, seven on record", followedSeries(10, 12, 7), Short, 0.7, 10, 0, "Rhythm follow-up at month 12 of 1 more due case"},
		{"ten due, five on record", followedSeries(10, 12, 5), Short, 0.5, 10, 0, "Rhythm follow-up at month 12 of 3 more due cases that have none on record."},
		{"ten due of fifteen", followedSeries(15, 7, 10), Met, 1, 10, 5, ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := one(t, followedUp, test.evidence, judgedOn)
			if got.State != test.want || got.Value != test.value || got.N != test.n || len(got.LeftOut) != test.leftOut || !strings.HasPrefix(got.Next, test.next) {
				t.Errorf("got %s at %g of %d, %d left out (next %q), want %s at %g of %d, %d (next %q)\n%s", got.State, got.Value, got.N, len(got.LeftOut), got.Next,
					test.want, test.value, test.n, test.leftOut, test.next, got.Explanation)
			}
			if (got.Interval == nil) != (test.n == 0) || len(got.Misses) != test.n-int(test.value*float64(test.n)+0.5) {
				t.Errorf("interval %v, misses %v", got.Interval, got.Misses)
			}
		})
	}
	got := one(t, followedUp, followedSeries(10, 12, 8), judgedOn)
	// Wilson 90 % of 8/10 by the formula of Newcombe 1998, Stat Med 17:857, computed apart in Python: 0.5408 to 0.9314.
	if got.Interval.Low != 0.5408 || got.Interval.High != 0.9314 {
		t.Errorf("interval %+v", got.Interval)
	}
	if want := "Rhythm follow-up at month 12 on record in 8 of 10 signed-off cases due for it by 2026-06-30 (80 %; 90 % interval 54.1 % to 93.1 %)."; got.Explanation != want {
		t.Errorf("explanation %q, want %q", got.Explanation, want)
	}
}

// TestWhichFollowUpCounts looks at one due case among five that are followed up.
func TestWhichFollowUpCounts(t *testing.T) {
	other := func(change func(*FollowUpOnRecord)) FollowUpOnRecord {
		f := recorded("x", "c05-2", 12, judgedOn.Add(-1))
		change(&f)
		return f
	}
	for _, test := range []struct {
		name   string
		list   []FollowUpOnRecord
		hit    bool
		reason string // why the case is left out
	}{
		{"none", nil, false, ""},
		{"at the month", []FollowUpOnRecord{other(func(*FollowUpOnRecord) {})}, true, ""},
		{"early, but nearer to it than to month 6", []FollowUpOnRecord{other(func(f *FollowUpOnRecord) { f.Month = 10 })}, true, ""},
		{"stands for month 6", []FollowUpOnRecord{other(func(f *FollowUpOnRecord) { f.Month = 9 })}, false, ""},
		{"stands for month 24", []FollowUpOnRecord{other(func(f *FollowUpOnRecord) { f.Month = 19 })}, false, ""},
		{"says nothing of the rhythm", []FollowUpOnRecord{other(func(f *FollowUpOnRecord) { f.Rhythm = false })}, false, ""},
		{"recorded after the day", []FollowUpOnRecord{other(func(f *FollowUpOnRecord) { f.At = judgedOn.Add(1).Start() })}, false, ""},
		{"amended to nothing", []FollowUpOnRecord{other(func(*FollowUpOnRecord) {}), other(func(f *FollowUpOnRecord) { f.Version, f.Rhythm = 2, false })}, false, ""},
		{"amended after the day", []FollowUpOnRecord{other(func(*FollowUpOnRecord) {}), other(func(f *FollowUpOnRecord) { f.Version, f.Rhythm, f.At = 2, false, judgedOn.Add(1).Start() })}, true, ""},
		{"died before", []FollowUpOnRecord{other(func(f *FollowUpOnRecord) { f.Month, f.Died = 6, true })}, false, "died before month 12"},
		{"died after", []FollowUpOnRecord{other(func(f *FollowUpOnRecord) { f.Month, f.Died = 24, true })}, false, ""},
		{"another case's", []FollowUpOnRecord{other(func(f *FollowUpOnRecord) { f.Case = "c00-0" })}, false, ""},
	} {
		evidence := followedSeries(6, 12, 5)
		evidence.FollowUps = append(evidence.FollowUps, test.list...)
		got := one(t, followedUp, evidence, judgedOn)
		left := slices.IndexFunc(got.LeftOut, func(l LeftOut) bool { return l.ID == "c05-2" && l.Reason == test.reason })
		if hit := slices.Contains(got.Used, "c05-2") && !slices.Contains(got.Misses, "c05-2"); hit != test.hit || (left >= 0) != (test.reason != "") {
			t.Errorf("%s: on record %v, left out %v", test.name, hit, got.LeftOut)
		}
	}
}

func TestSaysRhythm(t *testing.T) {
	for _, test := range []struct {
		f    FollowUp
		want bool
	}{
		{FollowUp{Rhythm: "sinus", Arrhythmia: "not-known"}, true},
		{FollowUp{Rhythm: "not-known", Arrhythmia: "not-known"}, false},
		{FollowUp{Rhythm: "not-known", Arrhythmia: "over-30-s"}, true},
		{FollowUp{Rhythm: "not-known", Arrhythmia: "none"}, false}, // nothing was recorded: silence is no rhythm
		{FollowUp{Rhythm: "not-known", Arrhythmia: "none", MonitoringHours: 24}, true},
	} {
		if got := test.f.SaysRhythm(); got != test.want {
			t.Errorf("%+v says the rhythm: %v", test.f, got)
		}
	}
}

// TestDueAsScheduled: a case is due on the day the follow-up schedule names.
func TestDueAsScheduled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		operated := judgedOn.Add(-rapid.IntRange(300, 460).Draw(t, "days"))
		c := signedCase("c-1", 0)
		c.OperatedOn = Coarsen(operated, rapid.SampledFrom([]Precision{PrecisionDay, PrecisionWeek, PrecisionMonth}).Draw(t, "precision"))
		c.SubmittedAt, c.SignedAt = operated.Start(), operated.Start()
		standard := Standard{Requirements: []Requirement{{ID: "b", Kind: KindFollowUp, Month: 12, Share: 0.8, AtLeast: 5}}}
		got := Stand(standard, Evidence{Cases: []SignedCase{c}}, judgedOn).Requirements[0]
		for _, due := range DefaultFollowUpRule().Schedule(c.OperatedOn, nil, judgedOn) {
			if due.Month == 12 && (due.On <= judgedOn) != (got.N == 1) {
				t.Fatalf("due on %s, used %v", due.On, got.Used)
			}
		}
	})
}

// TestAFollowUpNeverHarms: one more follow-up at the month never lowers the share or the state.
func TestAFollowUpNeverHarms(t *testing.T) {
	order := []State{NotEnoughData, Short, OnCourse, Met}
	standard := Standard{Requirements: []Requirement{{ID: "b", Kind: KindFollowUp, Month: 12, Share: 0.8, AtLeast: 10}}}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 20).Draw(t, "cases")
		evidence := followedSeries(n, rapid.IntRange(6, 18).Draw(t, "before"), rapid.IntRange(0, n).Draw(t, "followed"))
		before := Stand(standard, evidence, judgedOn).Requirements[0]
		one := rapid.SampledFrom(evidence.Cases).Draw(t, "case")
		evidence.FollowUps = append(evidence.FollowUps, recorded("more", one.ID, 12, judgedOn.Add(-1)))
		after := Stand(standard, evidence, judgedOn).Requirements[0]
		if after.Value < before.Value || slices.Index(order, after.State) < slices.Index(order, before.State) {
			t.Fatalf("one more follow-up takes %s at %g to %s at %g", before.State, before.Value, after.State, after.Value)
		}
	})
}

func TestFollowUpPeriodIsOldEnough(t *testing.T) {
	r := Requirement{ID: "b", Kind: KindFollowUp, Month: 12, Share: 0.8, AtLeast: 10, Filter: Filter{PeriodDays: 365}}
	if faults := faultsAt(r); !slices.Equal(faults, []string{"filter.period_days"}) {
		t.Errorf("365 days: %v", faults)
	}
	r.Filter.PeriodDays = 366
	if faults := faultsAt(r); faults != nil {
		t.Errorf("366 days: %v", faults)
	}
}
