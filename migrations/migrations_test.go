package migrations_test

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/migrations"
)

// openEmpty opens a database without any table.
func openEmpty(t *testing.T, dialect migrations.Dialect) *sql.DB {
	t.Helper()
	s, err := store.Open(context.Background(), store.Config{URL: storetest.EmptyURL(t, dialect)})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s.DB()
}

func TestUpDownUp(t *testing.T) {
	for _, dialect := range storetest.Dialects {
		t.Run(string(dialect), func(t *testing.T) {
			ctx, db := context.Background(), openEmpty(t, dialect)
			applied := up(t, db, dialect)
			if len(applied) == 0 {
				t.Fatal("nothing to apply on an empty database")
			}
			full := columns(t, db, dialect)
			if again := up(t, db, dialect); len(again) != 0 {
				t.Errorf("a second Up applied %v", again)
			}
			if n, err := migrations.Pending(ctx, db, dialect); n != 0 || err != nil {
				t.Errorf("Pending after Up = %d, %v, want 0", n, err)
			}
			undone, err := migrations.Down(ctx, db, dialect, 0)
			if err != nil || len(undone) != len(applied) {
				t.Fatalf("Down took back %d of %d: %v", len(undone), len(applied), err)
			}
			if left := columns(t, db, dialect); len(left) != 0 {
				t.Errorf("Down to 0 left %v", left)
			}
			if n, err := migrations.Pending(ctx, db, dialect); n != len(applied) || err != nil {
				t.Errorf("Pending after Down = %d, %v, want %d", n, err, len(applied))
			}
			up(t, db, dialect)
			if _, err := db.ExecContext(ctx, "INSERT INTO goose_db_version (version_id, is_applied) VALUES (99, true)"); err != nil {
				t.Fatal(err)
			}
			if n, err := migrations.Pending(ctx, db, dialect); n >= 0 || err != nil {
				t.Errorf("Pending on a database of a newer program = %d, %v, want a negative number", n, err)
			}
			if diff := cmp.Diff(full, columns(t, db, dialect)); diff != "" {
				t.Errorf("the second Up made another schema (-first +second):\n%s", diff)
			}
		})
	}
}

func up(t *testing.T, db *sql.DB, dialect migrations.Dialect) []migrations.Migration {
	t.Helper()
	applied, err := migrations.Up(context.Background(), db, dialect)
	if err != nil {
		t.Fatal(err)
	}
	return applied
}

func TestStatus(t *testing.T) {
	for _, dialect := range storetest.Dialects {
		t.Run(string(dialect), func(t *testing.T) {
			ctx, db := context.Background(), openEmpty(t, dialect)
			up(t, db, dialect)
			if _, err := migrations.Down(ctx, db, dialect, 3); err != nil {
				t.Fatal(err)
			}
			status, err := migrations.Status(ctx, db, dialect)
			if err != nil {
				t.Fatal(err)
			}
			for i, m := range status {
				if m.Version != int64(i+1) {
					t.Errorf("migration %d has number %d: the numbers must be unbroken", i+1, m.Version)
				}
				if want := m.Version <= 3; m.Applied != want || m.AppliedAt.IsZero() == want {
					t.Errorf("migration %d (%s) applied = %v at %v, want %v", m.Version, m.Name, m.Applied, m.AppliedAt, want)
				}
			}
		})
	}
}

func TestUnknownDatabase(t *testing.T) {
	if _, err := migrations.Up(context.Background(), nil, "other"); err == nil {
		t.Error("Up on an unknown kind of database gave no error")
	}
}

// TestDatabasesAgree compares tables, columns, keys and indexes of the two databases.
func TestDatabasesAgree(t *testing.T) {
	lite, big := openEmpty(t, migrations.SQLite), openEmpty(t, migrations.PostgreSQL)
	up(t, lite, migrations.SQLite)
	up(t, big, migrations.PostgreSQL)
	if diff := cmp.Diff(columns(t, lite, migrations.SQLite), columns(t, big, migrations.PostgreSQL)); diff != "" {
		t.Errorf("columns differ (-sqlite +postgres):\n%s", diff)
	}
	if diff := cmp.Diff(rows(t, lite, sqliteIndexes), rows(t, big, postgresIndexes)); diff != "" {
		t.Errorf("indexes differ (-sqlite +postgres):\n%s", diff)
	}
	if diff := cmp.Diff(rows(t, lite, sqliteForeignKeys), rows(t, big, postgresForeignKeys)); diff != "" {
		t.Errorf("foreign keys differ (-sqlite +postgres):\n%s", diff)
	}
	if diff := cmp.Diff(rows(t, lite, sqliteGuarded), rows(t, big, postgresGuarded)); diff != "" {
		t.Errorf("guarded tables differ (-sqlite +postgres):\n%s", diff)
	}
}

// One line each in the same form for both: table, column, kind of type, whether it may be null, place in the primary key.
const (
	sqliteColumns = `SELECT m.name || ' ' || c.name || ' ' || lower(c.type) || CASE WHEN c."notnull" OR (c.pk AND lower(c.type) = 'integer') THEN ' not null' ELSE '' END || ' ' || c.pk
		FROM sqlite_master m JOIN pragma_table_info(m.name) c WHERE m.type = 'table' AND m.name NOT LIKE 'sqlite_%' AND m.name <> 'goose_db_version'`
	postgresColumns = `SELECT c.table_name || ' ' || c.column_name || ' ' || c.data_type || CASE c.is_nullable WHEN 'NO' THEN ' not null' ELSE '' END || ' ' ||
			COALESCE((SELECT k.ordinal_position FROM information_schema.table_constraints t JOIN information_schema.key_column_usage k
				ON k.constraint_name = t.constraint_name AND k.table_name = t.table_name
				WHERE t.constraint_type = 'PRIMARY KEY' AND t.table_name = c.table_name AND k.column_name = c.column_name), 0)
		FROM information_schema.columns c WHERE c.table_schema = 'public' AND c.table_name <> 'goose_db_version'`
	sqliteIndexes = `SELECT m.tbl_name || ' ' || m.name || ' ' || (SELECT group_concat(name, ',') FROM pragma_index_info(m.name))
		FROM sqlite_master m WHERE m.type = 'index' AND m.sql IS NOT NULL ORDER BY 1`
	postgresIndexes = `SELECT i.tablename || ' ' || i.indexname || ' ' || replace(substring(i.indexdef from '\(([^)]*)\)'), ', ', ',')
		FROM pg_indexes i WHERE i.schemaname = 'public' AND NOT EXISTS (SELECT 1 FROM pg_constraint c WHERE c.conname = i.indexname)
		ORDER BY i.tablename COLLATE "C", i.indexname COLLATE "C"`
	sqliteForeignKeys = `SELECT m.name || ' ' || group_concat(f."from", ',' ORDER BY f.seq) || ' -> ' || f."table" || ' ' || group_concat(f."to", ',' ORDER BY f.seq)
		FROM sqlite_master m JOIN pragma_foreign_key_list(m.name) f WHERE m.type = 'table' GROUP BY m.name, f.id ORDER BY 1`
	postgresForeignKeys = `SELECT line FROM (SELECT c.conrelid::regclass::text || ' ' ||
			(SELECT string_agg(a.attname, ',' ORDER BY k.n) FROM unnest(c.conkey) WITH ORDINALITY k(num, n) JOIN pg_attribute a ON a.attrelid = c.conrelid AND a.attnum = k.num)
			|| ' -> ' || c.confrelid::regclass::text || ' ' ||
			(SELECT string_agg(a.attname, ',' ORDER BY k.n) FROM unnest(c.confkey) WITH ORDINALITY k(num, n) JOIN pg_attribute a ON a.attrelid = c.confrelid AND a.attnum = k.num)
		AS line FROM pg_constraint c WHERE c.contype = 'f') l ORDER BY line COLLATE "C"`
	sqliteGuarded   = `SELECT DISTINCT tbl_name FROM sqlite_master WHERE type = 'trigger' ORDER BY 1`
	postgresGuarded = `SELECT DISTINCT tgrelid::regclass::text COLLATE "C" FROM pg_trigger WHERE NOT tgisinternal ORDER BY 1`
)

// sameType gives SQLite's and PostgreSQL's types one name.
var sameType = strings.NewReplacer("timestamp with time zone", "time", "timestamp", "time", "double precision", "real", "bytea", "blob",
	"json", "text", "bigint", "integer", "character varying", "text")

// columns describes every column of the program's tables.
func columns(t *testing.T, db *sql.DB, dialect migrations.Dialect) []string {
	t.Helper()
	query := sqliteColumns
	if dialect == migrations.PostgreSQL {
		query = postgresColumns
	}
	lines := rows(t, db, query)
	for i, line := range lines {
		table, rest, _ := strings.Cut(line, " ")
		column, rest, _ := strings.Cut(rest, " ")
		lines[i] = fmt.Sprintf("%s.%s %s", table, column, sameType.Replace(rest))
	}
	slices.Sort(lines)
	return lines
}

// rows gives a query's only column.
func rows(t *testing.T, db *sql.DB, query string) []string {
	t.Helper()
	found, err := db.QueryContext(context.Background(), query)
	if err != nil {
		t.Fatal(err)
	}
	defer found.Close()
	var lines []string
	for found.Next() {
		var line string
		if err := found.Scan(&line); err != nil {
			t.Fatal(err)
		}
		lines = append(lines, line)
	}
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	return lines
}
