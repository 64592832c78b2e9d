package api

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/danielgtaylor/huma/v2"
	"github.com/google/go-cmp/cmp"

	"isthmus/api/store/storetest"
	"isthmus/migrations"
	"isthmus/policies"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// described lists every operation of the description by path, reading first.
func described(w *world) []*huma.Operation {
	var all []*huma.Operation
	paths := w.server.api.OpenAPI().Paths
	for _, path := range slices.Sorted(maps.Keys(paths)) {
		all = append(all, operationsOf(paths[path])...)
	}
	return all
}

// TestEveryOperationIsDecided: an operation nobody decided about, or one that nobody may use, must not exist.
func TestEveryOperationIsDecided(t *testing.T) {
	w := newWorld(t, storetest.Open(t, migrations.SQLite))
	for _, op := range described(w) {
		object, action, known := meaning(op)
		if !known || !slices.Contains(policies.Objects(), object) || !slices.Contains(policies.Actions(), action) {
			t.Errorf("%s %s: object %q, action %q", op.Method, op.Path, object, action)
		}
		if len(w.server.Authorizer.Scope(policies.Roles(), object, action)) == 0 {
			t.Errorf("%s %s: no role may %s %s", op.Method, op.Path, action, object)
		}
		if op.OperationID == "" || op.Summary == "" || len(op.Tags) != 1 {
			t.Errorf("%s %s: id, summary or tag missing", op.Method, op.Path)
		}
	}
	if n := len(described(w)); n < 28 {
		t.Errorf("only %d operations are described", n)
	}
}

// TestEveryRouteIsDescribed finds routes under /api that went past the description, and so past the admission.
func TestEveryRouteIsDescribed(t *testing.T) {
	w := newWorld(t, storetest.Open(t, migrations.SQLite))
	_, engine, err := assemble(w.server.Deps)
	w.must(err)
	known := map[string]bool{}
	for _, op := range described(w) {
		known[op.Method+" "+strings.NewReplacer("{", ":", "}", "").Replace(op.Path)] = true
	}
	for _, route := range engine.Routes() {
		if strings.HasPrefix(route.Path, "/api") && !known[route.Method+" "+route.Path] {
			t.Errorf("%s %s is in no description", route.Method, route.Path)
		}
	}
}

// TestAccess is the whole table of operations, roles and relations as one file, so that a change of policy is read as a diff.
func TestAccess(t *testing.T) {
	w := newWorld(t, storetest.Open(t, migrations.SQLite))
	var table strings.Builder
	table.WriteString("# Who may do what: o own, s supervised, p anything in the programme, a anywhere, . nothing. Rewritten by go test ./api -run Access -update.\n")
	fmt.Fprintf(&table, "%-66s %-11s %-9s", "operation", "object", "action")
	for _, role := range policies.Roles() {
		fmt.Fprintf(&table, " %-11s", role)
	}
	table.WriteString("\n")
	for _, op := range described(w) {
		object, action, _ := meaning(op)
		also, _ := op.Metadata[metaAlso].([]policies.Object)
		for _, object := range append([]policies.Object{object}, also...) {
			fmt.Fprintf(&table, "%-66s %-11s %-9s", op.Method+" "+op.Path, object, action)
			for _, role := range policies.Roles() {
				fmt.Fprintf(&table, " %-11s", letters(w.server.Authorizer, role, object, action))
			}
			table.WriteString("\n")
		}
	}
	golden(t, "access.golden", trimmed(table.String()))
}

// letters says within which relations a role may do something.
func letters(allow *policies.Authorizer, role policies.Role, object policies.Object, action policies.Action) string {
	cell := ""
	for _, relation := range policies.Relations() {
		if allow.Allowed([]policies.Role{role}, object, action, relation) {
			cell += string(relation[0])
		}
	}
	if cell == "" {
		return "."
	}
	return cell
}

// trimmed cuts the blanks at the ends of lines.
func trimmed(text string) string {
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		lines[i] = strings.TrimRight(line, " ")
	}
	return strings.Join(lines, "\n")
}

// golden compares text with a file under testdata.
func golden(t *testing.T, name, text string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), text); diff != "" {
		t.Errorf("%s differs (-want +got); -update rewrites it:\n%s", file, diff)
	}
}
