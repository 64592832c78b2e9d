package strict_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/assessment/strict"
)

// item and order are stand-ins with every kind of field the domain uses.
type item struct {
	Name  string     `json:"name" yaml:"name"`
	Count int        `json:"count" yaml:"count"`
	At    [3]float64 `json:"at" yaml:"at"`
	Fresh *bool      `json:"fresh,omitempty" yaml:"fresh,omitempty"`
}

type order struct {
	ID    string         `json:"id" yaml:"id"`
	Items []item         `json:"items" yaml:"items"`
	Marks map[string]int `json:"marks,omitempty" yaml:"marks,omitempty"`
	At    time.Time      `json:"at,omitzero" yaml:"-"`
}

// faultsOf returns the faults in err in the form file:line:column: field: message.
func faultsOf(t *testing.T, err error) []string {
	t.Helper()
	if err == nil {
		return nil
	}
	var faults strict.Faults
	if !errors.As(err, &faults) {
		t.Fatalf("error %T is not strict.Faults: %v", err, err)
	}
	return strings.Split(faults.Error(), "\n")
}

func TestJSON(t *testing.T) {
	tests := []struct {
		name, in string
		want     []string
	}{
		{"right", `{"id": "a", "items": [{"name": "x", "count": 1, "at": [0, 0.5, 1], "fresh": true}], "marks": {"k": 2}, "at": "2026-03-14T00:00:00Z"}`, nil},
		{"null where nothing will do", `{"id": "a", "items": null}`, nil},
		{"unknown fields, all of them", "{\"id\": \"a\",\n \"extra\": 1,\n \"items\": [{\"nam\": \"x\"}]}", []string{
			"2:2: extra: unknown field: known here are at, id, items, marks", "3:13: items[0].nam: unknown field: known here are at, count, fresh, name"}},
		{"case matters", `{"ID": "a"}`, []string{"1:2: ID: unknown field: known here are at, id, items, marks"}},
		{"twice", `{"id": "a", "id": "b"}`, []string{"1:13: id: given twice: remove one"}},
		{"wrong types, all of them", `{"id": 1, "items": [{"count": "1"}, {"fresh": 0}, 7]}`, []string{
			"1:8: id: must be text, not a number", "1:31: items[0].count: must be a number, not text",
			"1:47: items[1].fresh: must be true or false, not a number", "1:51: items[2]: must be a mapping, not a number"}},
		{"not whole", `{"items": [{"count": 1.5}, {"count": 1e3}, {"count": 99999999999999999999}]}`, []string{
			"1:22: items[0].count: 1.5 must be a whole number within range, written plainly",
			"1:38: items[1].count: 1e3 must be a whole number within range, written plainly",
			"1:54: items[2].count: 99999999999999999999 must be a whole number within range, written plainly"}},
		{"too large", `{"items": [{"at": [1e999, 0, 0]}]}`, []string{"1:20: items[0].at[0]: 1e999 is no number that can be used here"}},
		{"wrong length", `{"items": [{"at": [1, 0]}]}`, []string{"1:19: items[0].at: must have exactly 3 items, not 2"}},
		{"null for a required kind", `{"id": null}`, []string{"1:8: id: must be text, not nothing"}},
		{"something follows", "{}\n{}", []string{"2:1: not JSON: invalid character '{' after top-level value"}},
		{"empty", " ", []string{"1:1: empty: expected a JSON document"}},
		{"cut off", `{"id": "a"`, []string{"1:10: not JSON: unexpected end of JSON input"}},
		{"broken", "{\"id\":\n tru}", []string{"2:5: not JSON: invalid character '}' in literal true (expecting 'e')"}},
		{"columns count characters", `{"id": "åäö", "x": 1}`, []string{"1:15: x: unknown field: known here are at, id, items, marks"}},
		{"not UTF-8", "{\"id\": \"\xff\"}", []string{"1:9: not UTF-8 text: save the file as UTF-8"}},
		{"a date that is none", `{"at": "yesterday"}`, []string{`parsing time "yesterday" as "2006-01-02T15:04:05Z07:00": cannot parse "yesterday" as "2006"`}},
		{"deep", strings.Repeat("[", 2000) + strings.Repeat("]", 2000), []string{"1:66: " + strings.Repeat("[0]", 65) + ": nested more than 64 deep"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var into order
			if diff := cmp.Diff(tt.want, faultsOf(t, strict.JSON([]byte(tt.in), &into))); diff != "" {
				t.Errorf("JSON(%s) (-want +got):\n%s", tt.in, diff)
			}
		})
	}
}

func TestJSONFills(t *testing.T) {
	var got order
	if err := strict.JSON([]byte(`{"id": "a", "items": [{"name": "x", "count": 3, "at": [1, 2, 3]}]}`), &got); err != nil {
		t.Fatal(err)
	}
	if want := (order{ID: "a", Items: []item{{Name: "x", Count: 3, At: [3]float64{1, 2, 3}}}}); !cmp.Equal(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
}

func TestYAML(t *testing.T) {
	tests := []struct {
		name, in string
		want     []string
	}{
		{"right", "id: a\nitems:\n  - name: x # a remark\n    count: 1\n    at: [0, 0.5, 1]\n    fresh: true\nmarks:\n  k: 2\n", nil},
		{"nothing where nothing will do", "id: a\nitems:\n", nil},
		{"unknown fields, all of them", "id: a\nextra: 1\nitems:\n  - nam: x\n", []string{
			"f.yaml:2:1: extra: unknown field: known here are id, items, marks", "f.yaml:4:5: items[0].nam: unknown field: known here are at, count, fresh, name"}},
		{"wrong types, all of them", "id: 1\nitems:\n  - count: x\n  - 7\n", []string{
			"f.yaml:1:5: id: must be text, not a number: put it in quotes", "f.yaml:3:12: items[0].count: must be a number, not text",
			"f.yaml:4:5: items[1]: must be a mapping, not a number"}},
		{"twice", "id: a\nid: b\n", []string{`f.yaml:2:1: not valid YAML: mapping key "id" already defined at [1:1]`}},
		{"anchor", "id: &a x\n", []string{"f.yaml:1:5: anchors, aliases, merge keys, tags and directives are not allowed: write it out"}},
		{"alias", "id: *a\n", []string{"f.yaml:1:5: anchors, aliases, merge keys, tags and directives are not allowed: write it out"}},
		{"merge", "<<: {id: a}\n", []string{"f.yaml:1:1: anchors, aliases, merge keys, tags and directives are not allowed: write it out"}},
		{"tag", "id: !!binary aGk=\n", []string{"f.yaml:1:5: anchors, aliases, merge keys, tags and directives are not allowed: write it out"}},
		{"two documents", "id: a\n---\nid: b\n", []string{"f.yaml:2:1: a second document: one file holds one document"}},
		{"empty", "# nothing\n", []string{"f.yaml:1:1: empty: expected a YAML document"}},
		{"infinite", "items:\n  - at: [.inf, 0, 0]\n", []string{"f.yaml:2:10: items[0].at[0]: inf is not allowed here"}},
		{"hexadecimal", "items:\n  - count: 0x10\n", []string{"f.yaml:2:12: items[0].count: 0x10 must be a whole number within range, written plainly"}},
		{"list at the top", "- id: a\n", []string{"f.yaml:1:1: must be a mapping, not a list"}},
		{"too large", "id: " + strings.Repeat("a", strict.MaxBytes), []string{"f.yaml: larger than 1048576 bytes"}},
		{"deep flow", "id: " + strings.Repeat("[", 10000), []string{"f.yaml:1:68: nested more than 64 deep"}},
		{"deep entries", strings.Repeat("- ", 10000), []string{"f.yaml:1:127: nested more than 64 deep"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var into order
			_, err := strict.YAML("f.yaml", []byte(tt.in), &into)
			if diff := cmp.Diff(tt.want, faultsOf(t, err)); diff != "" {
				t.Errorf("YAML (-want +got):\n%s", diff)
			}
		})
	}
}

func TestLocate(t *testing.T) {
	var into order
	document, err := strict.YAML("f.yaml", []byte("id: a\nitems:\n  - name: x\n    at: [0, 1, 2]\n  - name: y\n"), &into)
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		field        string
		line, column int
	}{
		{"id", 1, 1}, {"items", 2, 1}, {"items[0].name", 3, 5}, {"items[0].at[2]", 4, 16}, {"items[1]", 5, 5},
		{"items[1].count", 5, 5}, {"items[9].name", 2, 1}, {"absent.deeper", 1, 1}, {"", 1, 1}, {"items[x", 2, 1},
	}
	for _, tt := range tests {
		var faults strict.Faults
		faults.Add(tt.field, "wrong")
		got := document.Locate(faults)
		if at := got.List[0]; got.File != "f.yaml" || at.Line != tt.line || at.Column != tt.column {
			t.Errorf("Locate(%q) = %s:%d:%d, want f.yaml:%d:%d", tt.field, got.File, at.Line, at.Column, tt.line, tt.column)
		}
	}
	if got := document.Top(); !cmp.Equal(got, []string{"id", "items"}) {
		t.Errorf("Top() = %v", got)
	}
}

func TestFaultsJoin(t *testing.T) {
	var inner, outer strict.Faults
	inner.Add("ends", "unknown")
	inner.Add("[1]", "odd")
	inner.Add("", "all of it")
	outer.Join("patient.af", inner)
	want := "patient.af.ends: unknown\npatient.af[1]: odd\npatient.af: all of it"
	if outer.Error() != want || outer.Err() == nil || (strict.Faults{}).Err() != nil {
		t.Errorf("Join gives\n%s\nwant\n%s", outer.Error(), want)
	}
}
