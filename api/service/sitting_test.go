package service

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/migrations"
	"isthmus/policies"
)

// sat is what a test must come to.
type sat struct {
	id       SittingID
	scenario assessment.ScenarioID
	ends     time.Time
	draft    assessment.Plan // what was saved in time
	closed   bool            // submitted
	revision int
}

// over reports whether the time is up, the grace included.
func (s *sat) over(now time.Time) bool {
	return !s.ends.IsZero() && now.After(s.ends.Add(assessment.SittingGrace))
}

// sitter is a trainee's way through tests and practice, as a machine.
type sitter struct {
	p        *place
	trainee  Actor
	director Actor
	tests    []*sat
	marks    int
}

// open is the test that is running, or nil.
func (m *sitter) open() *sat {
	for _, s := range m.tests {
		if !s.closed && !s.over(m.p.now) {
			return s
		}
	}
	return nil
}

func (m *sitter) plan(t *rapid.T) assessment.Plan {
	m.marks++
	return planMarked(m.marks, rapid.Bool().Draw(t, "valid"))
}

func (m *sitter) scenario(t *rapid.T) assessment.ScenarioID {
	return m.p.service.deps.Scenarios[rapid.IntRange(0, 1).Draw(t, "scenario")].ID
}

// Start starts a test: refused while one is open, and for a version that was tested before.
func (m *sitter) Start(t *rapid.T) {
	of := m.scenario(t)
	view, err := m.p.service.StartSitting(t.Context(), m.trainee, programme, SittingStart{Scenario: of})
	taken := slices.ContainsFunc(m.tests, func(s *sat) bool { return s.scenario == of })
	switch {
	case m.open() != nil:
		wantErr(t, err, ErrTestOpen)
	case taken:
		wantErr(t, err, ErrTestTaken)
	case err != nil:
		t.Fatal(err)
	default:
		m.tests = append(m.tests, &sat{id: view.ID, scenario: of, ends: view.EndsAt, revision: view.Revision})
	}
}

// Save saves a draft, at the revision last seen or at an older one.
func (m *sitter) Save(t *rapid.T) {
	if len(m.tests) == 0 {
		t.Skip("no test yet")
	}
	s := rapid.SampledFrom(m.tests).Draw(t, "test")
	plan, stale := m.plan(t), rapid.Bool().Draw(t, "stale")
	revision := s.revision
	if stale {
		revision--
	}
	view, err := m.p.service.SaveSitting(t.Context(), m.trainee, programme, s.id, revision, plan)
	switch {
	case s.closed || s.over(m.p.now):
		wantErr(t, err, assessment.ErrSittingOver)
	case stale:
		wantErr(t, err, ErrStale)
	case err != nil:
		t.Fatal(err)
	default:
		s.draft, s.revision = plan, view.Revision
	}
}

// Submit submits a test.
func (m *sitter) Submit(t *rapid.T) {
	if len(m.tests) == 0 {
		t.Skip("no test yet")
	}
	s := rapid.SampledFrom(m.tests).Draw(t, "test")
	plan := m.plan(t)
	got, err := m.p.service.SubmitPlan(t.Context(), m.trainee, programme, PlanSubmission{Scenario: s.scenario, Plan: plan, Sitting: s.id})
	switch {
	case s.closed || s.over(m.p.now):
		wantErr(t, err, assessment.ErrSittingOver)
	case plan.Ablate == nil:
		if err == nil {
			t.Fatal("a plan without a decision was graded")
		}
	case err != nil:
		t.Fatal(err)
	default:
		if got.Mode != Test || got.Sitting != s.id {
			t.Fatalf("mode %q of test %q", got.Mode, got.Sitting)
		}
		s.draft, s.closed = plan, true
	}
}

// Practise submits a plan outside a test.
func (m *sitter) Practise(t *rapid.T) {
	got, err := m.p.service.SubmitPlan(t.Context(), m.trainee, programme, PlanSubmission{Scenario: m.scenario(t), Plan: planMarked(0, true)})
	if m.open() != nil {
		wantErr(t, err, ErrTestOpen)
		return
	}
	if err != nil || got.Mode != Practice {
		t.Fatalf("mode %q, %v", got.Mode, err)
	}
}

// Wait lets time pass: some, or to just about the end of the open test.
func (m *sitter) Wait(t *rapid.T) {
	d := time.Duration(rapid.IntRange(1, 40*60).Draw(t, "seconds")) * time.Second
	if s := m.open(); s != nil && !s.ends.IsZero() && rapid.Bool().Draw(t, "to the end") {
		d = s.ends.Add(assessment.SittingGrace).Sub(m.p.now) + time.Duration(rapid.IntRange(-1, 1).Draw(t, "just"))*time.Microsecond
	}
	m.p.advance(max(d, 0))
}

// Look lets somebody list something.
func (m *sitter) Look(t *rapid.T) {
	who := rapid.SampledFrom([]Actor{m.trainee, m.director}).Draw(t, "who")
	var err error
	if rapid.Bool().Draw(t, "plans") {
		_, err = m.p.service.Plans(t.Context(), who, programme, PlanFilter{}, store.Page{Limit: 1})
	} else {
		_, err = m.p.service.Sittings(t.Context(), who, programme, SittingFilter{}, store.Page{Limit: 1})
	}
	if err != nil {
		t.Fatal(err)
	}
}

// Check compares everything on record with what must be.
func (m *sitter) Check(t *rapid.T) {
	plans, _, numbers := m.record(t)
	for _, s := range m.tests {
		view, err := m.p.service.SittingByID(t.Context(), m.director, programme, s.id)
		if err != nil {
			t.Fatal(err)
		}
		graded := plans[s.id]
		if len(graded) > 1 {
			t.Fatalf("test %s has %d grades", s.id, len(graded))
		}
		valid := s.draft.Ablate != nil
		switch {
		case s.closed:
			if view.Status != assessment.SittingSubmitted || len(graded) != 1 {
				t.Fatalf("submitted: %s with %d grades", view.Status, len(graded))
			}
		case s.over(m.p.now):
			if view.Status != assessment.SittingEnded || !view.ClosedAt.Equal(s.ends) || valid != (len(graded) == 1) || valid == (len(view.Faults) > 0) {
				t.Fatalf("time up, draft valid %v: %s at %v with %d grades and faults %v", valid, view.Status, view.ClosedAt, len(graded), view.Faults)
			}
			if valid && !graded[0].SubmittedAt.Equal(s.ends) {
				t.Fatalf("graded as of %v, want the end %v", graded[0].SubmittedAt, s.ends)
			}
		default:
			if view.Status != assessment.SittingOpen || len(graded) != 0 || view.Plan != nil {
				t.Fatalf("open: %s with %d grades, seen by others %v", view.Status, len(graded), view.Plan)
			}
			continue
		}
		if view.Plan.Note != s.draft.Note || len(graded) == 1 && graded[0].Attempt != view.Attempt {
			t.Fatalf("kept %q as attempt %d, want %q", view.Plan.Note, view.Attempt, s.draft.Note)
		}
		if len(graded) == 1 {
			plan, err := m.p.service.PlanByID(t.Context(), m.director, programme, graded[0].ID)
			if err != nil || plan.Plan.Note != s.draft.Note {
				t.Fatalf("graded %q, want %q: %v", plan.Plan.Note, s.draft.Note, err)
			}
		}
	}
	for scenario, taken := range numbers {
		slices.Sort(taken)
		for i, n := range taken {
			if n != i+1 {
				t.Fatalf("attempts at %s: %v", scenario, taken)
			}
		}
	}
}

// record gathers the trainee's plans by test, the sittings, and the attempt numbers taken by scenario.
func (m *sitter) record(t *rapid.T) (plans map[SittingID][]store.PlanSummary, sittings []store.Sitting, numbers map[assessment.ScenarioID][]int) {
	plans, numbers = map[SittingID][]store.PlanSummary{}, map[assessment.ScenarioID][]int{}
	if _, err := m.p.service.Sittings(t.Context(), m.director, programme, SittingFilter{}, store.Page{Limit: 1}); err != nil { // a look
		t.Fatal(err)
	}
	err := m.p.store.Read(t.Context(), func(tx *store.Tx) error {
		rows, _, err := tx.Plans(programme, store.PlanFilter{Trainee: m.trainee.Person}, store.Page{})
		if err != nil {
			return err
		}
		for _, row := range rows {
			if row.Sitting == "" {
				numbers[row.Scenario] = append(numbers[row.Scenario], row.Attempt)
				continue
			}
			plans[row.Sitting] = append(plans[row.Sitting], row)
		}
		sittings, _, err = tx.Sittings(programme, store.SittingFilter{Trainee: m.trainee.Person}, store.Page{})
		for _, s := range sittings {
			numbers[s.Scenario] = append(numbers[s.Scenario], s.Attempt)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return plans, sittings, numbers
}

func wantErr(t interface{ Fatalf(string, ...any) }, err, want error) {
	if !errors.Is(err, want) {
		t.Fatalf("error %v, want %v", err, want)
	}
}

// TestSittingMachine goes through tests and practice in every order: never two grades of a test, never one of a draft saved after the
// end, and attempt numbers without holes.
func TestSittingMachine(t *testing.T) {
	if checks := flag.Lookup("rapid.checks"); checks.Value.String() == checks.DefValue { // every step is a few transactions
		if err := checks.Value.Set("15"); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() {
			if err := checks.Value.Set(checks.DefValue); err != nil {
				t.Error(err)
			}
		})
	}
	p := newPlace(t, storetest.Open(t, migrations.SQLite))
	trainees := 0
	rapid.Check(t, func(t *rapid.T) {
		trainees++
		m := &sitter{p: p, trainee: p.join(fmt.Sprintf("trainee-%d", trainees), policies.Trainee), director: Actor{Person: "director"}}
		t.Repeat(map[string]func(*rapid.T){
			"start": m.Start, "save": m.Save, "submit": m.Submit, "practise": m.Practise, "wait": m.Wait, "look": m.Look, "": m.Check,
		})
	})
}

// TestTimeUpTogether: many look at the same moment, after the end; one grade comes of it.
func TestTimeUpTogether(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		p := newPlace(t, s)
		trainee := p.join("ann", policies.Trainee)
		view, err := p.service.StartSitting(t.Context(), trainee, programme, SittingStart{Scenario: p.service.deps.Scenarios[0].ID})
		p.must(err)
		_, err = p.service.SaveSitting(t.Context(), trainee, programme, view.ID, view.Revision, planMarked(1, true))
		p.must(err)
		p.advance(21 * time.Minute)
		var looking sync.WaitGroup
		seen := make([]SittingView, 8)
		failed := make([]error, len(seen))
		for i := range seen {
			looking.Go(func() {
				who := trainee
				if i%2 == 0 {
					who = Actor{Person: "director"}
				}
				seen[i], failed[i] = p.service.SittingByID(context.Background(), who, programme, view.ID)
			})
		}
		looking.Wait()
		for i, got := range seen {
			if failed[i] != nil || got.Status != assessment.SittingEnded || got.PlanID == "" || got.PlanID != seen[0].PlanID {
				t.Errorf("look %d: %s, plan %q, %v", i, got.Status, got.PlanID, failed[i])
			}
		}
	})
}
