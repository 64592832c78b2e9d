package store_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/migrations"
)

// signedHere adds a signed case and the entries its acts leave.
func signedHere(t *testing.T, s *store.Store, id string) {
	t.Helper()
	doing := act(north)
	doing.Name, doing.At = "case.sign-off", start.Add(2*time.Hour)
	err := s.Write(context.Background(), doing, func(tx *store.Tx) error {
		c, err := addSigned(tx, north, id, ann, start)
		if err != nil {
			return err
		}
		return tx.Audit("case", id, nil, c)
	})
	if err != nil {
		t.Fatal(err)
	}
}

// unguarded lets statements change what never changes.
func unguarded(t *testing.T, s *store.Store, tables ...string) {
	t.Helper()
	for _, table := range tables {
		if s.Dialect() == migrations.PostgreSQL {
			exec(t, s, "ALTER TABLE "+table+" DISABLE TRIGGER USER")
			continue
		}
		exec(t, s, "DROP TRIGGER "+table+"_no_update")
	}
}

// TestVerifySignatures changes each column of a signed case, of its version and of its signature in turn, as little as can be: the case
// is named each time, and only it. Put back, all is sound.
func TestVerifySignatures(t *testing.T) {
	columns := map[string][]string{
		"cases":         {"trainee_id", "supervisor_id", "version", "status", "operated_on", "record", "computed", "content_hash", "submitted_at", "created_at", "updated_at", "revision", "signed_version", "last_version"},
		"case_versions": {"record", "computed", "content_hash", "submitted_at", "operated_on", "site", "operation", "pattern", "scope", "policy", "lines_complete", "block_tested"},
		"sign_offs": {"content_hash", "assessor_id", "assessor_name", "meaning", "statement", "role", "role_reason", "role_claimed", "help_given", "supervision_next",
			"age_days", "late_recall", "signed_at", "proved_at"},
	}
	values := map[string]string{
		"trainee_id": "'ben'", "supervisor_id": "'dan'", "assessor_id": "'dan'", "version": "version + 1", "status": "'submitted'", "revision": "revision + 1",
		"submitted_at": "'2026-03-02 08:30:00.123457+00:00'", "created_at": "'2026-03-02 08:30:00.123457+00:00'", "updated_at": "'2026-03-02 08:30:00.123457+00:00'",
		"signed_version": "signed_version - 1", "last_version": "last_version + 2", "proved_at": "NULL",
		"signed_at": "'2026-03-02 08:30:00.123457+00:00'", "lines_complete": "NOT lines_complete", "block_tested": "NOT block_tested", "late_recall": "NOT late_recall",
		"help_given": "help_given - 1", "supervision_next": "supervision_next - 1", "age_days": "age_days + 1",
	}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		signedHere(t, s, "c1")
		signedHere(t, s, "c2")
		unguarded(t, s, "case_versions", "sign_offs")
		if faults := signatureFaults(t, s, 2); faults != "" {
			t.Fatalf("untouched: %s", faults)
		}
		for table, names := range columns {
			where := " WHERE case_id = 'c1'"
			if table == "cases" {
				where = " WHERE id = 'c1'"
			}
			for _, column := range names {
				value := values[column]
				switch {
				case column == "record" || column == "computed" || column == "statement": // one more space, and the JSON says the same
					value = jsonSpaced(s, column)
				case value == "":
					value = column + " || 'x'"
				}
				exec(t, s, "DROP TABLE IF EXISTS kept", "CREATE TABLE kept AS SELECT * FROM "+table+where, fmt.Sprintf("UPDATE %s SET %s = %s%s", table, column, value, where))
				if faults := signatureFaults(t, s, -1); !strings.Contains(faults, "c1:") || strings.Contains(faults, "c2:") {
					t.Errorf("%s.%s changed: %q", table, column, faults)
				}
				exec(t, s, fmt.Sprintf("UPDATE %s SET %s = (SELECT %s FROM kept)%s", table, column, column, where))
			}
		}
		if faults := signatureFaults(t, s, 2); faults != "" {
			t.Errorf("put back: %s", faults)
		}
	})
}

// jsonSpaced is a JSON column with one more space at its end.
func jsonSpaced(s *store.Store, column string) string {
	if s.Dialect() == migrations.PostgreSQL {
		return "(" + column + "::text || ' ')::json"
	}
	return column + " || ' '"
}

// signatureFaults verifies and lists the faults of north's signatures; sound is how many must be, unless below 0.
func signatureFaults(t *testing.T, s *store.Store, sound int) string {
	t.Helper()
	report, err := s.VerifyAudit(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	var faults strings.Builder
	for _, chain := range report.Chains {
		if chain.Programme == north && sound >= 0 && chain.Signatures.Sound != sound {
			t.Errorf("%d signatures are sound, want %d", chain.Signatures.Sound, sound)
		}
		for _, fault := range chain.Signatures.Faults {
			fmt.Fprintf(&faults, "%s: %s; ", fault.Case, fault.What)
		}
	}
	if report.Sound() != (faults.Len() == 0) {
		t.Errorf("Sound = %v with %q", report.Sound(), faults.String())
	}
	return faults.String()
}
