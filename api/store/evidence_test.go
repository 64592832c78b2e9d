package store_test

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// withdraw takes a signed case back.
func withdraw(tx *store.Tx, c competency.Case) error {
	c.Status, c.Revision = competency.CaseWithdrawn, c.Revision+1
	return tx.SaveCase(c, c.Revision-1)
}

func TestEvidence(t *testing.T) {
	signed := func(id competency.CaseID, at time.Time, withdrawn bool) competency.SignedCase {
		return competency.SignedCase{
			ID: id, OperatedOn: "2026-03-01", SubmittedAt: at.Add(time.Hour), SignedAt: at.Add(2 * time.Hour), Site: "Main", Operation: "mitral",
			Pattern: "persistent", Scope: "left-atrial", Role: competency.RoleAssistant, LinesComplete: true, BlockTested: true, Policy: "minimum",
			Assessor: sue, HelpGiven: 4, SupervisionNext: 3, LateRecall: true, Withdrawn: withdrawn,
		}
	}
	annHas := competency.Evidence{
		Cases: []competency.SignedCase{signed("c1", start, false), signed("c2", start.Add(time.Minute), true)},
		Pending: []competency.PendingCase{
			{ID: "c3", OperatedOn: "2026-03-01", Status: competency.CaseDraft}, {ID: "c4", OperatedOn: "2026-03-01", Status: competency.CaseWithdrawn},
		},
		Plans: []competency.GradedPlan{
			{ID: "p1", Scenario: "one", Pattern: "persistent", Score: 61.5, Letter: "B", Unsafe: true, Attempt: 1, SubmittedAt: start},
			{ID: "p2", Scenario: "one", Pattern: "persistent", Score: 62.5, Letter: "B", Attempt: 2, SubmittedAt: start},
		},
	}
	benHas := competency.Evidence{Cases: []competency.SignedCase{signed("c5", start, false)}}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			_, err := addSigned(tx, north, "c1", ann, start)
			second, err2 := addSigned(tx, north, "c2", ann, start.Add(time.Minute))
			_, err3 := addSigned(tx, north, "c5", ben, start)
			dropped := draft(north, "c4", ann, start.Add(time.Hour))
			dropped.Status = competency.CaseWithdrawn
			return errors.Join(err, err2, err3, withdraw(tx, second), tx.CreateCase(draft(north, "c3", ann, start)), tx.CreateCase(dropped),
				tx.SavePlan(plan(north, "p1", ann, "one", 1, start)), tx.SavePlan(plan(north, "p2", ann, "one", 2, start)))
		})
		read(t, s, func(tx *store.Tx) error {
			one, err := tx.EvidenceFor(north, ann)
			if diff := cmp.Diff(annHas, one); diff != "" {
				t.Errorf("EvidenceFor (-want +got):\n%s", diff)
			}
			all, err2 := tx.EvidenceForAll(north)
			if diff := cmp.Diff(map[competency.PersonID]competency.Evidence{ann: annHas, ben: benHas}, all); diff != "" {
				t.Errorf("EvidenceForAll (-want +got):\n%s", diff)
			}
			none, err3 := tx.EvidenceFor(north, dan)
			if diff := cmp.Diff(competency.Evidence{}, none); diff != "" {
				t.Errorf("EvidenceFor who has none (-want +got):\n%s", diff)
			}
			return errors.Join(err, err2, err3)
		})
	})
}

// BenchmarkEvidence gathers the evidence of 500 signed cases and 100 plans, of one trainee and shared between ten.
func BenchmarkEvidence(b *testing.B) {
	for _, dialect := range storetest.Dialects {
		s := storetest.Open(b, dialect)
		populate(b, s)
		fill(b, s)
		b.Run(string(dialect)+"/one trainee", func(b *testing.B) {
			for b.Loop() {
				read(b, s, func(tx *store.Tx) error {
					evidence, err := tx.EvidenceFor(north, ann)
					if len(evidence.Cases) != 500 {
						b.Fatalf("%d cases", len(evidence.Cases))
					}
					return err
				})
			}
		})
		b.Run(string(dialect)+"/cohort", func(b *testing.B) {
			for b.Loop() {
				read(b, s, func(tx *store.Tx) error {
					all, err := tx.EvidenceForAll(south)
					if len(all) != 10 {
						b.Fatalf("%d trainees", len(all))
					}
					return err
				})
			}
		})
		b.Run(string(dialect)+"/write", func(b *testing.B) {
			n := 0
			for b.Loop() {
				n++
				write(b, s, north, func(tx *store.Tx) error {
					return tx.CreateCase(draft(north, competency.CaseID(fmt.Sprintf("w-%d", n)), ben, start))
				})
			}
		})
	}
}

// fill gives ann in north, and ten trainees in south together, 500 signed cases and 100 plans.
func fill(b *testing.B, s *store.Store) {
	b.Helper()
	write(b, s, "", func(tx *store.Tx) error {
		var err error
		for i := range 10 {
			id := fmt.Sprintf("trainee-%d", i)
			err = errors.Join(err, tx.CreatePerson(store.Person{ID: competency.PersonID(id), Email: id + "@example.org", Name: id, CreatedAt: start}))
		}
		return err
	})
	for _, programme := range []competency.ProgrammeID{north, south} {
		write(b, s, programme, func(tx *store.Tx) error {
			for i := range 500 {
				trainee, at := ann, start.Add(time.Duration(i)*time.Hour)
				if programme == south {
					trainee = competency.PersonID(fmt.Sprintf("trainee-%d", i%10))
				}
				if _, err := addSigned(tx, programme, fmt.Sprintf("%s-%d", programme, i), trainee, at); err != nil {
					return err
				}
				if i%5 != 0 {
					continue
				}
				if err := tx.SavePlan(plan(programme, fmt.Sprintf("%s-p%d", programme, i), trainee, "one", i+1, at)); err != nil {
					return err
				}
			}
			return nil
		})
	}
}
