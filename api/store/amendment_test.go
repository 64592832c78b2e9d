package store_test

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/migrations"
)

// moved saves what an act made of a case, with its entry.
func moved(t *testing.T, s *store.Store, name string, c competency.Case, also ...func(*store.Tx) error) competency.Case {
	t.Helper()
	doing := act(north)
	doing.Name = name
	c.Revision++
	err := s.Write(context.Background(), doing, func(tx *store.Tx) error {
		if err := tx.SaveCase(c, c.Revision-1); err != nil {
			return err
		}
		for _, more := range also {
			if err := more(tx); err != nil {
				return err
			}
		}
		return tx.Audit("case", string(c.ID), nil, c)
	})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// opened is a signed case whose amendment waits for a signature as version 2.
func opened(t *testing.T, s *store.Store) (signed, open competency.Case) {
	t.Helper()
	signedHere(t, s, "c1")
	read(t, s, func(tx *store.Tx) (err error) {
		signed, err = tx.CaseByID(north, "c1")
		return err
	})
	open = signed
	open.Status = competency.CaseDraft
	open = moved(t, s, "case.amend", open)
	open.Record.Site, open.Status, open.Version, open.SubmittedAt = "Annex", competency.CaseSubmitted, 2, start.Add(30*time.Hour)
	return signed, moved(t, s, "case.submit", open, func(tx *store.Tx) error { return tx.AddCaseVersion(open) })
}

// TestAmended: what was signed last is evidence, and what was signed before is known too; every signature is verified.
func TestAmended(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		_, open := opened(t, s)
		sites := func(want string) {
			t.Helper()
			read(t, s, func(tx *store.Tx) error {
				evidence, err := tx.EvidenceFor(north, ann)
				got := ""
				for i, list := range [][]competency.SignedCase{evidence.Cases, evidence.Earlier} {
					for _, c := range list {
						got += fmt.Sprintf("%s %s; ", []string{"now", "earlier"}[i], c.Site)
					}
				}
				if got += fmt.Sprint(len(evidence.Pending)); got != want {
					t.Errorf("evidence %q, want %q", got, want)
				}
				return err
			})
		}
		sites("now Main; 0")
		if faults := signatureFaults(t, s, 1); faults != "" {
			t.Errorf("while the amendment waits: %s", faults)
		}
		open.Status, open.SignedVersion = competency.CaseSignedOff, 2
		second := moved(t, s, "case.sign-off", open, func(tx *store.Tx) error {
			return tx.AddSignOff(north, signature("s2", open, start.Add(40*time.Hour)))
		})
		sites("now Annex; earlier Main; 0")
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.CaseByID(north, "c1")
			if diff := cmp.Diff(second, got); diff != "" {
				t.Error(diff)
			}
			versions, err2 := tx.CaseVersions(north, "c1")
			signatures, err3 := tx.SignOffs(north, "c1")
			if len(versions) != 2 || len(signatures) != 2 || !signatures[1].ProvedAt.Equal(start.Add(40*time.Hour-time.Minute)) {
				t.Errorf("%d versions, signatures %+v", len(versions), signatures)
			}
			return errors.Join(err, err2, err3)
		})
		if faults := signatureFaults(t, s, 2); faults != "" {
			t.Errorf("signed twice: %s", faults)
		}
		unguarded(t, s, "case_versions")
		exec(t, s, "UPDATE case_versions SET site = 'Elsewhere' WHERE case_id = 'c1' AND version = 1")
		if faults := signatureFaults(t, s, 1); faults != "c1: version 1 or its signature was changed after it was signed; " {
			t.Errorf("the version before changed: %q", faults)
		}
	})
}

// TestAmendmentGivenUp: the case is sealed as it was signed, and no state is taken that no act left.
func TestAmendmentGivenUp(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		signed, open := opened(t, s)
		for _, status := range []string{"draft", "withdrawn", "signed-off"} {
			exec(t, s, "UPDATE cases SET status = '"+status+"' WHERE id = 'c1'")
			if faults := signatureFaults(t, s, 1); faults == "" {
				t.Errorf("an amendment that waits stands as %s, and nothing is wrong", status)
			}
		}
		exec(t, s, "UPDATE cases SET status = 'submitted' WHERE id = 'c1'")
		back := signed
		back.Revision, back.LastVersion = open.Revision, 2
		moved(t, s, "case.restore", back, func(tx *store.Tx) error { return tx.SealCase(north, "c1") })
		if faults := signatureFaults(t, s, 1); faults != "" {
			t.Errorf("given up: %s", faults)
		}
		exec(t, s, "UPDATE cases SET last_version = 0 WHERE id = 'c1'")
		if faults := signatureFaults(t, s, 1); faults == "" {
			t.Error("a version given up is forgotten, and nothing is wrong")
		}
	})
}

// TestSignedBefore: what was signed before amendments could be made names its version, and stays sound under the seal it has.
func TestSignedBefore(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		doing := act(north)
		doing.Name, doing.At = "case.sign-off", start.Add(2*time.Hour)
		err := s.Write(context.Background(), doing, func(tx *store.Tx) error {
			c := draft(north, "c1", ann, start)
			if err := tx.CreateCase(c); err != nil {
				return err
			}
			c = submitted(c, start.Add(time.Hour))
			c.Status, c.SignedVersion = competency.CaseSignedOff, 1
			signed := signature("s1", c, doing.At)
			signed.ProvedAt = time.Time{}
			return errors.Join(tx.AddCaseVersion(c), tx.SaveCase(c, 1), tx.AddSignOff(north, signed), tx.Audit("case", "c1", nil, c))
		})
		if err != nil {
			t.Fatal(err)
		}
		ctx := context.Background()
		if _, err := migrations.Down(ctx, s.DB(), s.Dialect(), 12); err != nil {
			t.Fatal(err)
		}
		if _, err := migrations.Up(ctx, s.DB(), s.Dialect()); err != nil {
			t.Fatal(err)
		}
		read(t, s, func(tx *store.Tx) error {
			c, err := tx.CaseByID(north, "c1")
			if c.SignedVersion != 1 || c.LastVersion != 0 {
				t.Errorf("brought up to date: version %d, last %d", c.SignedVersion, c.LastVersion)
			}
			return err
		})
		if faults := signatureFaults(t, s, 1); faults != "" {
			t.Errorf("brought up to date: %s", faults)
		}
	})
}
