package assessment_test

import (
	"errors"
	"testing"
	"time"

	"isthmus/assessment"
	"isthmus/assessment/strict"
)

func TestSitting(t *testing.T) {
	start := time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)
	limited := assessment.StartSitting(assessment.Scenario{MinutesLimit: 20}, start)
	endless := assessment.StartSitting(assessment.Scenario{}, start)
	end := start.Add(20 * time.Minute)
	if !limited.EndsAt.Equal(end) || !endless.EndsAt.IsZero() || limited.Status != assessment.SittingOpen || limited.Revision != 1 {
		t.Fatalf("started %+v and %+v", limited, endless)
	}
	submitted, err := limited.Submit(assessment.Plan{Note: "done"}, start.Add(time.Minute))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name             string
		sitting          assessment.Sitting
		at               time.Time
		running, overdue bool
	}{
		{"at the start", limited, start, true, false},
		{"at the end", limited, end, true, false},
		{"within the grace", limited, end.Add(assessment.SittingGrace), true, false},
		{"after the grace", limited, end.Add(assessment.SittingGrace + time.Microsecond), false, true},
		{"a year without a limit", endless, start.AddDate(1, 0, 0), true, false},
		{"submitted, in time", submitted, start.Add(2 * time.Minute), false, false},
		{"submitted, long ago", submitted, start.AddDate(1, 0, 0), false, false},
	} {
		if c.sitting.Running(c.at) != c.running || c.sitting.Overdue(c.at) != c.overdue {
			t.Errorf("%s: running %v, overdue %v", c.name, c.sitting.Running(c.at), c.sitting.Overdue(c.at))
		}
		saved, err := c.sitting.Save(assessment.Plan{Note: "draft"}, c.at)
		if c.running != (err == nil) || c.running != (saved.Plan.Note == "draft" && saved.SavedAt.Equal(c.at) && saved.Revision == c.sitting.Revision+1) {
			t.Errorf("%s: Save = %+v, %v", c.name, saved, err)
		}
		done, err := c.sitting.Submit(assessment.Plan{Note: "done"}, c.at)
		if c.running != (err == nil) || c.running && (done.Status != assessment.SittingSubmitted || !done.ClosedAt.Equal(c.at) || done.Plan.Note != "done") {
			t.Errorf("%s: Submit = %+v, %v", c.name, done, err)
		}
		faults := []strict.Fault{{Field: "ablate", Message: "must be true or false"}}
		ended, err := c.sitting.End(faults, c.at)
		if c.overdue != (err == nil) || c.overdue && (ended.Status != assessment.SittingEnded || !ended.ClosedAt.Equal(end) || len(ended.Faults) != 1) {
			t.Errorf("%s: End = %+v, %v", c.name, ended, err)
		}
		if err != nil && !errors.Is(err, assessment.ErrSittingOver) {
			t.Errorf("%s: error %v", c.name, err)
		}
	}
}
