package service

import (
	"context"
	"errors"
	"slices"
	"sync"
	"testing"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// raceRounds is how often a race is run on each database; fewRounds of those that differ from another in the act alone.
const raceRounds, fewRounds = 200, 50

// smallRecord is a complete record of few lesions, supervised by mei.
func smallRecord() competency.Record {
	record := competency.Record{
		Supervisor: "mei", Site: "Main site", OperatedOn: "2026-05-28", AF: af.History{ContinuousMonths: 6, Ends: af.DoesNotEnd, RhythmControlPursued: true},
		LeftAtriumBand: "50-54", Operation: "mitral", Approach: "sternotomy", Urgency: "elective", OnBypass: true, LeftAtriumOpened: true,
		Lesions: []atrium.Lesion{
			{Name: atrium.LeftPulmonaryVeinIsolation, Energy: atrium.BipolarRF, Applications: 2, Block: atrium.ExitBlock},
			{Name: atrium.RightPulmonaryVeinIsolation, Energy: atrium.BipolarRF, Applications: 2, Block: atrium.ExitBlock},
		},
		Appendage: competency.AppendageDelivered{State: atrium.AppendageKept}, Events: []string{},
	}
	for _, step := range competency.StepsOf(record.Lesions, record.Appendage) {
		record.Steps = append(record.Steps, competency.Step{Step: step, PerformedBy: competency.ByTrainee})
	}
	return record
}

// smallStatement is what mei states of smallRecord.
func smallStatement() competency.Statement {
	return competency.Statement{Steps: smallRecord().Steps, HelpGiven: 4, SupervisionNext: 3, ComplicationsAgreed: true, Keep: "Clean rings.", Change: "Test block sooner."}
}

// casework is a place with a trainee and two of faculty, and a second process on the same database.
type casework struct {
	*place
	other            *Service
	ines, mei, leila Actor
}

func newCasework(t *testing.T, address string) *casework {
	t.Helper()
	open := func() *store.Store {
		s, err := store.Open(t.Context(), store.Config{URL: address})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = s.Close() })
		return s
	}
	w := &casework{place: newPlace(t, open())}
	w.ines, w.mei, w.leila = w.join("ines", policies.Trainee), w.join("mei", policies.Faculty), w.join("leila", policies.Faculty)
	w.mei.ProvedAt = w.now
	second := w.service.deps
	second.Store = open()
	var err error
	w.other, err = New(second)
	w.must(err)
	return w
}

// begun is a draft of ines.
func (w *casework) begun() competency.Case {
	w.Helper()
	detail, err := w.service.CreateCase(context.Background(), w.ines, programme, CaseCreation{Record: smallRecord()})
	w.must(err)
	return detail.Case
}

// handedIn is a case of ines on mei's desk.
func (w *casework) handedIn() competency.Case {
	w.Helper()
	c := w.begun()
	detail, err := w.service.SubmitCase(context.Background(), w.ines, programme, c.ID, c.Revision)
	w.must(err)
	return detail.Case
}

// racer does one act on a case as it was when the race began.
type racer func(*casework, *Service, competency.Case) (CaseDetail, error)

func racerEdits(note string) racer {
	return func(w *casework, s *Service, c competency.Case) (CaseDetail, error) {
		record := smallRecord()
		record.Note = note
		return s.EditCase(context.Background(), w.ines, programme, c.ID, c.Revision, record)
	}
}

func racerSigns(keep string) racer {
	return func(w *casework, s *Service, c competency.Case) (CaseDetail, error) {
		statement := smallStatement()
		statement.Keep = keep
		return s.SignOffCase(context.Background(), w.mei, programme, c.ID, c.Revision, statement)
	}
}

func racerWithdraws(w *casework, s *Service, c competency.Case) (CaseDetail, error) {
	return s.WithdrawCase(context.Background(), w.ines, programme, c.ID, c.Revision, "Logged twice.")
}

func racerAmends(w *casework, s *Service, c competency.Case) (CaseDetail, error) {
	return s.AmendCase(context.Background(), w.ines, programme, c.ID, c.Revision, "A line is missing.")
}

func racerAsksFor(w *casework, s *Service, c competency.Case) (CaseDetail, error) {
	return s.AmendCase(context.Background(), w.mei, programme, c.ID, c.Revision, "The date is wrong.")
}

func racerRestores(w *casework, s *Service, c competency.Case) (CaseDetail, error) {
	return s.RestoreCase(context.Background(), w.ines, programme, c.ID, c.Revision, "It was right.")
}

func racerTakesOut(w *casework, s *Service, c competency.Case) (CaseDetail, error) {
	return s.WithdrawCase(context.Background(), w.mei, programme, c.ID, c.Revision, "Another operation.")
}

// signedOnce is a case of ines that mei has signed.
func (w *casework) signedOnce() competency.Case {
	w.Helper()
	c := w.handedIn()
	detail, err := w.service.SignOffCase(context.Background(), w.mei, programme, c.ID, c.Revision, smallStatement())
	w.must(err)
	return detail.Case
}

// amended is an amendment of a signed case, on mei's desk.
func (w *casework) amended() competency.Case {
	w.Helper()
	detail, err := racerAmends(w, w.service, w.signedOnce())
	w.must(err)
	detail, err = w.service.SubmitCase(context.Background(), w.ines, programme, detail.Case.ID, detail.Case.Revision)
	w.must(err)
	return detail.Case
}

// TestRaces lets two people act on one case at the same moment, through two processes on one database: exactly one wins, and the other
// learns what was done, by whom.
func TestRaces(t *testing.T) {
	for _, race := range []struct {
		name   string
		rounds int
		start  func(*casework) competency.Case
		one    racer
		two    racer
	}{
		{"two sign-offs", raceRounds, (*casework).handedIn, racerSigns("first"), racerSigns("second")},
		{"sign-off against edit", raceRounds, (*casework).handedIn, racerSigns("seen"), racerEdits("changed")},
		{"sign-off against withdrawal", raceRounds, (*casework).handedIn, racerSigns("seen"), racerWithdraws},
		{"amendment against sign-off", fewRounds, (*casework).handedIn, racerAmends, racerSigns("seen")},
		{"amendment against amendment", fewRounds, (*casework).signedOnce, racerAmends, racerAsksFor},
		{"amendment against withdrawal", fewRounds, (*casework).signedOnce, racerAmends, racerTakesOut},
		{"second sign-off against giving the amendment up", raceRounds, (*casework).amended, racerSigns("seen again"), racerRestores},
		{"edit against edit", raceRounds, (*casework).begun, racerEdits("first"), racerEdits("second")},
	} {
		t.Run(race.name, func(t *testing.T) {
			for _, dialect := range storetest.Dialects {
				t.Run(string(dialect), func(t *testing.T) {
					w := newCasework(t, storetest.URL(t, dialect))
					wins := [2]int{}
					for range race.rounds {
						winner := w.race(race.start(w), race.one, race.two)
						wins[winner]++
					}
					t.Logf("%d rounds, won %d to %d", race.rounds, wins[0], wins[1])
				})
			}
		})
	}
}

// race runs two acts at once and checks that one won, which is told by its number.
func (w *casework) race(c competency.Case, acts ...racer) (winner int) {
	w.Helper()
	errs, details := make([]error, len(acts)), make([]CaseDetail, len(acts))
	start, done := make(chan struct{}), sync.WaitGroup{}
	for i, act := range acts {
		done.Go(func() {
			<-start
			details[i], errs[i] = act(w, []*Service{w.service, w.other}[i], c)
		})
	}
	close(start)
	done.Wait()
	winner = slices.Index(errs, nil)
	if winner < 0 || errs[1-winner] == nil {
		w.Fatalf("not exactly one won: %v", errs)
	}
	w.checkLoser(errs[1-winner], details[winner])
	after, err := w.service.CaseByID(context.Background(), Actor{Person: "director"}, programme, c.ID)
	w.must(err)
	if won := details[winner].Case; after.Case.Revision != c.Revision+1 || after.Case.Status != won.Status || after.Case.Record.Note != won.Record.Note ||
		len(after.SignOffs) != len(details[winner].SignOffs) || len(after.Acts) != len(details[winner].Acts) {
		w.Fatalf("the case is not as the winner left it: %+v", after.Case)
	}
	return winner
}

// checkLoser wants the state that refused the act (409), or the winner's act by name (412).
func (w *casework) checkLoser(err error, won CaseDetail) {
	w.Helper()
	var meanwhile *Meanwhile
	switch {
	case errors.As(err, &meanwhile):
		if !errors.Is(err, ErrStale) || meanwhile.Revision != won.Case.Revision || meanwhile.Status != won.Case.Status || meanwhile.ByName == "" || meanwhile.Act == "" {
			w.Fatalf("the loser learns %+v", meanwhile)
		}
	case errors.Is(err, competency.ErrNotDraft), errors.Is(err, competency.ErrAlreadySignedOff), errors.Is(err, competency.ErrNotSignedOff):
	default:
		w.Fatalf("the loser gets %v", err)
	}
}
