package main

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/migrations"
)

// TestHelp: every command explains itself with an example, and the ones above them list what they hold.
func TestHelp(t *testing.T) {
	var cli commands
	parser, err := kong.New(&cli)
	if err != nil {
		t.Fatal(err)
	}
	leaves := parser.Model.Leaves(false)
	if len(leaves) < 15 {
		t.Errorf("%d commands", len(leaves))
	}
	for _, leaf := range leaves {
		args := append(strings.Fields(commandPath(leaf)), "--help")
		code, out, errs := command(t, args...)
		example := regexp.MustCompile(`(?s)Examples?:\n.*isthmus ` + commandPath(leaf))
		if code != 0 || errs != "" || !strings.HasPrefix(out, "Usage: isthmus "+commandPath(leaf)) || !example.MatchString(out) {
			t.Errorf("%q: exit %d, example %v\n%s%s", args, code, example.MatchString(out), out, errs)
		}
		if parent := leaf.Parent; parent.Type == kong.CommandNode {
			if code, out, _ := command(t, commandPath(parent), "--help"); code != 0 || !strings.Contains(out, commandPath(leaf)) {
				t.Errorf("%s --help: exit %d\n%s", commandPath(parent), code, out)
			}
		}
	}
	_, full, _ := command(t, "--help")
	code, out, errs := command(t)
	if code != 0 || errs != "" || out != full || !strings.Contains(strings.Join(strings.Fields(out), " "), atrium.Caution) {
		t.Errorf("no arguments: exit %d\n%s%s", code, out, errs)
	}
}

// commandPath is how a command is called, without the program's name.
func commandPath(node *kong.Node) string {
	if node.Parent == nil || node.Parent.Type != kong.CommandNode {
		return node.Name
	}
	return commandPath(node.Parent) + " " + node.Name
}

// TestWrongCommandLine: what cannot be understood is named and does nothing.
func TestWrongCommandLine(t *testing.T) {
	tests := []struct {
		args []string
		says string
	}{
		{[]string{"frobnicate"}, "frobnicate"},
		{[]string{"servee"}, "servee"},
		{[]string{"user"}, `expected one of "add", "reset-password", "list"`},
		{[]string{"user", "delete"}, "delete"},
		{[]string{"--frobnicate"}, "--frobnicate"},
		{[]string{"version", "now"}, "now"},
		{[]string{"conduct"}, "<file>"},
		{[]string{"check"}, "<files>"},
		{[]string{"migrate", "down", "--lose-the-data"}, "--to"},
		{[]string{"migrate", "down", "--to", "four"}, "four"},
		{[]string{"user", "add", "--email", "a@example.org", "--programme", "p"}, "--role"},
		{[]string{"user", "add", "--email", "a@example.org", "--programme", "p", "--role", "surgeon"}, `"surgeon"`},
		{[]string{"user", "add", "--email", "a@example.org", "--programme", "p", "--role", "faculty", "--password", "a-narrow-passage"}, `"ask","generate"`},
		{[]string{"programme", "add", "North", "--date-precision", "hour"}, `"day","week","month"`},
	}
	for _, tt := range tests {
		code, out, errs := command(t, tt.args...)
		if code != 2 || out != "" || !strings.HasPrefix(errs, "isthmus: ") || !strings.Contains(errs, tt.says) || !strings.Contains(errs, "--help") {
			t.Errorf("%q: exit %d, want 2 with %q\n%s%s", tt.args, code, tt.says, out, errs)
		}
	}
}

func TestVersion(t *testing.T) {
	if code, out, errs := command(t, "version"); code != 0 || errs != "" || !strings.HasPrefix(out, "isthmus "+version+", conduction model 1, go") {
		t.Errorf("exit %d\n%s%s", code, out, errs)
	}
}

// TestPanicIsNoSuccess: a mistake of ours must end the program as one, not with exit code 0.
func TestPanicIsNoSuccess(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a command that panics ends as if it had done its work")
		}
	}()
	run(t.Context(), []string{"version"}, nil, Streams{})
}

// database is a database of a test's own that commands run on.
type database struct{ url string }

// eachDatabase runs the same test on every database, migrated or without tables.
func eachDatabase(t *testing.T, address func(testing.TB, migrations.Dialect) string, test func(t *testing.T, on database)) {
	t.Helper()
	for _, dialect := range storetest.Dialects {
		t.Run(string(dialect), func(t *testing.T) { test(t, database{address(t, dialect)}) })
	}
}

// do runs a command that must succeed without a word of complaint, and gives what it printed.
func (on database) do(t *testing.T, args ...string) string {
	t.Helper()
	code, out, errs := command(t, append(args, "--database", on.url)...)
	if code != 0 || errs != "" {
		t.Fatalf("%q: exit %d\n%s%s", args, code, out, errs)
	}
	return out
}

// refuse runs a command that must fail, say why, and print nothing else.
func (on database) refuse(t *testing.T, says string, args ...string) {
	t.Helper()
	code, out, errs := command(t, append(args, "--database", on.url)...)
	if code != 1 || out != "" || !strings.Contains(errs, says) {
		t.Errorf("%q: exit %d, want 1 with %q\n%s%s", args, code, says, out, errs)
	}
}

// look reads from the database itself.
func (on database) look(t *testing.T, read func(tx *store.Tx) error) {
	t.Helper()
	err := onCurrent(t.Context(), Config{Database: on.url}, func(s *store.Store) error { return s.Read(t.Context(), read) })
	if err != nil {
		t.Error(err)
	}
}

func TestMigrate(t *testing.T) {
	eachDatabase(t, storetest.EmptyURL, func(t *testing.T, on database) {
		applied := func() int { return strings.Count(on.do(t, "migrate", "status"), " UTC\n") }
		listed := strings.Count(on.do(t, "migrate", "status"), "  no\n")
		if listed < 5 || applied() != 0 {
			t.Fatalf("%d migrations of an empty database", listed)
		}
		for _, args := range [][]string{{"programme", "list"}, {"user", "list"}, {"audit", "verify"}, {"standing", "recompute"}, {"programme", "add", "North"}, {"serve", "--log-format", "json"}} {
			code, out, errs := command(t, append(args, "--database", on.url)...)
			if code != 1 || out != "" || !strings.Contains(errs, fmt.Sprintf("lacks %d migrations: run isthmus migrate up", listed)) {
				t.Errorf("%q on a database that is behind: exit %d\n%s%s", args, code, out, errs)
			}
		}
		if out := on.do(t, "migrate", "up"); strings.Count(out, "applied ") != listed || !strings.HasPrefix(out, "applied 1 programmes\n") || applied() != listed {
			t.Errorf("up:\n%s", out)
		}
		if out := on.do(t, "migrate", "up"); out != "The database is at this version.\n" {
			t.Errorf("up again:\n%s", out)
		}
		on.do(t, "programme", "add", "North")
		on.refuse(t, "add --lose-the-data", "migrate", "down", "--to", "0")
		on.refuse(t, "-1", "migrate", "down", "--to=-1", "--lose-the-data")
		if out := on.do(t, "migrate", "down", "--to", "99", "--lose-the-data"); out != "The database has no migration above 99.\n" {
			t.Errorf("down to what is above:\n%s", out)
		}
		if applied() != listed || !strings.Contains(on.do(t, "programme", "list"), "North") {
			t.Error("something was taken back")
		}
		if out := on.do(t, "migrate", "down", "--to", "3", "--lose-the-data"); strings.Count(out, "taken back ") != listed-3 || !strings.HasSuffix(out, "taken back 5 cases\ntaken back 4 plans\n") || applied() != 3 {
			t.Errorf("down to 3:\n%s", out)
		}
		on.refuse(t, fmt.Sprintf("lacks %d migrations", listed-3), "programme", "list")
		on.do(t, "migrate", "up")
		if !strings.Contains(on.do(t, "programme", "list"), "North") {
			t.Error("what lies below was lost")
		}
		on.do(t, "migrate", "down", "--to", "0", "--lose-the-data")
		if applied() != 0 {
			t.Error("down to 0 leaves something")
		}
	})
}

// TestNewerDatabase: a database of a newer program is left alone.
func TestNewerDatabase(t *testing.T) {
	eachDatabase(t, storetest.URL, func(t *testing.T, on database) {
		on.tamper(t, "INSERT INTO goose_db_version (version_id, is_applied) VALUES (9999, true)")
		on.refuse(t, "of a newer version of the program", "programme", "list")
	})
}

// tamper changes the database from outside the program.
func (on database) tamper(t *testing.T, statements ...string) {
	t.Helper()
	if err := on.change(t, statements...); err != nil {
		t.Fatal(err)
	}
}

// change tries to, and gives the database's answer.
func (on database) change(t *testing.T, statements ...string) error {
	t.Helper()
	return onDatabase(t.Context(), Config{Database: on.url}, func(s *store.Store) error {
		for _, statement := range statements {
			if _, err := s.DB().ExecContext(t.Context(), statement); err != nil {
				return err
			}
		}
		return nil
	})
}

func TestProgramme(t *testing.T) {
	eachDatabase(t, storetest.URL, func(t *testing.T, on database) {
		if out := on.do(t, "programme", "list"); strings.Count(out, "\n") != 1 {
			t.Errorf("list of none:\n%s", out)
		}
		id := strings.TrimSpace(on.do(t, "programme", "add", " Surgery of the atria ", "--site", "North, upper theatre", "--site", "South", "--date-precision", "week", "--late-recall-days", "21"))
		other := strings.TrimSpace(on.do(t, "programme", "add", "Another"))
		list := on.do(t, "programme", "list")
		for _, want := range []string{id + "  Surgery of the atria  ", other + "  Another  "} {
			if !strings.Contains(list, want) {
				t.Errorf("no %q in\n%s", want, list)
			}
		}
		on.look(t, func(tx *store.Tx) error {
			programme, err := tx.ProgrammeByID(competency.ProgrammeID(id))
			if err != nil {
				return err
			}
			want := competency.Defaults()
			want.Sites, want.DatePrecision, want.LateRecallDays = []string{"North, upper theatre", "South"}, competency.PrecisionWeek, 21
			if diff := cmp.Diff(want, programme.Settings); diff != "" || programme.Name != "Surgery of the atria" {
				t.Errorf("%q (-want +got):\n%s", programme.Name, diff)
			}
			standard, err := tx.StandardInForce(programme.ID, competency.DayOf(wallClock()))
			if err == nil && (standard.YAML != string(competency.ExampleStandardYAML()) || standard.Version != 1) {
				t.Errorf("in force: %+v", standard)
			}
			return err
		})
		const unnamed = "the name of a programme must be 1 to 120 characters on one line"
		for says, args := range map[string][]string{
			unnamed:                               {""},
			unnamed + "\n":                        {" \t "},
			"one line":                            {"North\nSouth"},
			"120 characters":                      {strings.Repeat("a", 121)},
			"sites[0]: must be 1 to 80":           {"North", "--site", " "},
			`sites[1]: "a" is listed twice`:       {"North", "--site", "a", "--site", "a"},
			"late_recall_days: must be 1 to 365,": {"North", "--late-recall-days=-3"},
		} {
			on.refuse(t, says, append([]string{"programme", "add"}, args...)...)
		}
		if again := on.do(t, "programme", "list"); again != list {
			t.Errorf("a refused programme is there:\n%s", again)
		}
	})
}
