package store_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/migrations"
)

// TestAppendOnly tries to change and remove what must stay, past the store, straight at the database.
func TestAppendOnly(t *testing.T) {
	tables := map[string]string{ // a column that a statement tries to change
		"audit_entries": "act", "case_versions": "content_hash", "case_acts": "reason", "sign_offs": "meaning", "plans": "letter", "standards": "yaml",
		"scope_policies": "yaml", "scenario_versions": "title", "settings_versions": "reason", "edition_acts": "reason", "follow_ups": "freedom_reason", "identifier_overrides": "reason", "identifier_reviews": "by_id",
		"meetings": "note", "meeting_trainees": "trainee_id", "meeting_members": "person_id", "meeting_conflicts": "reason", "meeting_votes": "remark", "decisions": "outcome", "decision_responses": "text", "standard_moves": "reason", "statements": "record_id", "statement_choices": "chosen_by", "viewings": "until_day",
		"question_versions": "item", "question_acts": "reason", "test_versions": "test", "test_cuts": "reason", "panels": "created_by", "panel_sheets": "judge",
	}
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			_, err := addSigned(tx, north, "c1", ann, start)
			return errors.Join(err,
				tx.AddCaseAct(north, "c1", store.Done{Kind: "create", By: ann, At: start}),
				tx.SavePlan(plan(north, "p1", ann, "one", 1, start)),
				tx.AddScopePolicy(scopePolicy(1, "2026-01-01")),
				tx.AddFollowUp(followUp(north, "f1", 3)),
				addLive(tx, north, "own"), addAsked(tx, north, "own"), addJudged(tx, north), addEntry(tx, north), addDecided(tx, north), addTold(tx, north),
				tx.AddOverride(kept("o1", "name", start)),
				tx.AddOverrideReview(north, "o1", dan, start),
				tx.AddStandard(store.Standard{Programme: north, Version: 1, InForceFrom: "2026-01-01", YAML: "x", CreatedBy: dan, CreatedAt: start}),
				tx.AddStandardMove(standardMove(north, 1, "2026-03-02")),
				tx.AddViewing(viewing(north, "v1", ann, start)))
		})
		for table, column := range tables {
			statements := []string{
				fmt.Sprintf("UPDATE %s SET %s = 'other'", table, column),
				fmt.Sprintf("DELETE FROM %s", table),
			}
			if s.Dialect() == migrations.SQLite {
				statements = append(statements, fmt.Sprintf("INSERT OR REPLACE INTO %[1]s SELECT * FROM %[1]s", table))
			} else {
				statements = append(statements, fmt.Sprintf("TRUNCATE %s CASCADE", table))
			}
			refuse(t, s, table, statements)
		}
		refuse(t, s, "audit_heads", []string{
			"UPDATE audit_heads SET seq = seq - 1", "UPDATE audit_heads SET hash = 'x'", "DELETE FROM audit_heads",
		})
	})
}

// refuse fails the test for every statement that no guard refuses, and when the table is empty, where it would prove nothing.
func refuse(t *testing.T, s *store.Store, table string, statements []string) {
	t.Helper()
	var before, after int
	count := func(into *int) {
		if err := s.DB().QueryRow("SELECT COUNT(*) FROM " + table).Scan(into); err != nil {
			t.Fatal(err)
		}
	}
	count(&before)
	if before == 0 {
		t.Errorf("%s is empty: nothing to refuse", table)
	}
	for _, statement := range statements {
		if _, err := s.DB().Exec(statement); err == nil || !strings.Contains(err.Error(), "is append-only") {
			t.Errorf("%s: %v, want a refusal by the guard", statement, err)
		}
	}
	if count(&after); before != after {
		t.Errorf("%s had %d rows, now %d", table, before, after)
	}
}
