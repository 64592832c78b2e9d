package store

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gorm.io/gorm/schema"

	"isthmus/migrations"
)

// TestRowsMatchColumns compares every row struct with the table it stands for. That the databases agree is tested in migrations.
func TestRowsMatchColumns(t *testing.T) {
	ctx := context.Background()
	s, err := Open(ctx, Config{URL: "sqlite:" + filepath.Join(t.TempDir(), "x.db")})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if _, err := migrations.Up(ctx, s.DB(), s.Dialect()); err != nil {
		t.Fatal(err)
	}
	rows := []any{
		programmeRow{}, personRow{}, membershipRow{}, sessionRow{}, tokenRow{}, failureRow{}, idempotencyRow{}, auditRow{}, auditHeadRow{},
		standardRow{}, standardMoveRow{}, planRow{}, sittingRow{}, scopePolicyRow{}, caseRow{}, caseVersionRow{}, caseActRow{}, signOffRow{},
		editionRow{}, scenarioVersionRow{}, editionActRow{}, groupedCaseRow{}, casePatternRow{}, settingsVersionRow{}, importRow{}, importCaseRow{}, importMappingRow{}, followUpRow{}, caseKeyRow{}, invitationRow{}, rotationRow{}, deactivationRow{}, overrideRow{}, overrideReviewRow{},
		meetingRow{}, meetingTraineeRow{}, meetingMemberRow{}, conflictRow{}, voteRow{}, decisionRow{}, responseRow{}, digestRow{}, simulationRow{}, statementRow{}, deliveryRow{}, choiceRow{}, reportRow{}, viewingRow{}, quizRow{}, questionRow{}, questionVersionRow{}, questionActRow{}, testRow{}, testVersionRow{}, panelRow{}, panelSheetRow{}, testCutRow{},
	}
	tables := []string{"goose_db_version"}
	for _, row := range rows {
		parsed, err := schema.Parse(row, &sync.Map{}, schema.NamingStrategy{})
		if err != nil {
			t.Fatal(err)
		}
		tables = append(tables, parsed.Table)
		got := slices.Sorted(slices.Values(parsed.DBNames))
		var want []string
		if err := s.db.Raw("SELECT name FROM pragma_table_info(?) ORDER BY name", parsed.Table).Scan(&want).Error; err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%T against %s (-columns +fields):\n%s", row, parsed.Table, diff)
		}
		for _, field := range parsed.Fields {
			if field.AutoCreateTime != 0 || field.AutoUpdateTime != 0 {
				t.Errorf("%T.%s would get its time from GORM, not from the act", row, field.Name)
			}
		}
	}
	var have []string
	if err := s.db.Raw("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name").Scan(&have).Error; err != nil {
		t.Fatal(err)
	}
	slices.Sort(tables)
	if diff := cmp.Diff(have, tables); diff != "" {
		t.Errorf("tables without a row struct (-tables +structs):\n%s", diff)
	}
}

// busy is an error as the SQLite driver gives it.
type busy int

func (b busy) Error() string { return fmt.Sprintf("database is locked (%d)", int(b)) }
func (b busy) Code() int     { return int(b) }

func TestRetry(t *testing.T) {
	var s Store
	for _, test := range []struct {
		name  string
		fails int
		err   error
		tries int
		want  error
	}{
		{"at once", 0, nil, 1, nil},
		{"busy twice", 2, busy(sqliteBusy), 3, nil},
		{"busy for ever", 99, busy(sqliteBusy | 2<<8), attempts, ErrUnavailable}, // SQLITE_BUSY_SNAPSHOT
		{"locked", 1, fmt.Errorf("wrapped: %w", busy(sqliteLocked)), 2, nil},
		{"another error", 99, ErrStale, 1, ErrStale},
		{"a constraint", 99, busy(19), 1, busy(19)},
	} {
		tries := 0
		err := s.retry(context.Background(), func() error {
			if tries++; tries <= test.fails {
				return test.err
			}
			return nil
		})
		if tries != test.tries || !errors.Is(err, test.want) {
			t.Errorf("%s: %d tries and error %v, want %d and %v", test.name, tries, err, test.tries, test.want)
		}
	}
}
