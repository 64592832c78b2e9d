package question_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"isthmus/assessment/question"
	"isthmus/assessment/strict"
)

// bankFile reads a file of the starter bank.
func bankFile(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("bank", name))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// whole is one item of each kind, valid.
const whole = `items:
  - {id: one, version: 1, topic: lines, status: live, author: A, kind: single-best, difficulty: easy, stem: "What is the answer to this?",
     options: [{id: a, text: A, feedback: no}, {id: b, text: B, feedback: yes it is}, {id: c, text: C, feedback: not that}], key: [b],
     not_with: [two], rationale: "Because it is so.", source: "common practice, no source"}
  - {id: two, version: 1, topic: lines, status: draft, author: A, kind: several, difficulty: hard, rule: share, stem: "Which two are right here?",
     options: [{id: a, text: A, feedback: x}, {id: b, text: B, feedback: x}, {id: c, text: C, feedback: x}], key: [a, c],
     rationale: "Because it is so.", source: "from memory"}
  - {id: three, version: 1, topic: lines, status: live, author: A, kind: numeric, difficulty: easy, stem: "How long is it in millimetres?",
     number: {value: 10, tolerance: 1, unit: mm, misses: [{value: 100, feedback: ten times}]}, rationale: "Because it is so.", source: "a paper"}
  - {id: four, version: 1, topic: lines, status: live, author: A, kind: ordering, difficulty: easy, rule: pairs, stem: "Put these in order.",
     options: [{id: a, text: A, feedback: x}, {id: b, text: B, feedback: x}, {id: c, text: C, feedback: x}], key: [c, a, b],
     rationale: "Because it is so.", source: "a paper"}
  - {id: five, version: 1, topic: lines, status: live, author: A, kind: map, difficulty: easy, stem: "Mark the sinus node.",
     map: {chamber: right-atrium, draw: point, shown: {lesions: []}, near: {within_mm: 8}, key: [[0.35, 0.85, 0.05]]},
     rationale: "Because it is so.", source: "a paper"}
  - {id: six, version: 1, topic: lines, status: live, author: A, kind: map, difficulty: easy, stem: "Draw the isthmus line.",
     map: {chamber: right-atrium, draw: line, shown: {lesions: []}, effect: {closes: [[tricuspid-annulus]], clear: [{structure: av-node, least_mm: 5}], most_mm: 60},
           key: [[0, -0.86, 0.45], [0.05, -0.98, -0.10], [-0.10, -0.75, -0.60]], misses: [{path: [[0, 0, 1], [0, 0.5, 1]], feedback: "elsewhere"}]},
     rationale: "Because it is so.", source: "a paper"}
`

func TestDecode(t *testing.T) {
	items, err := question.Decode("w.yaml", []byte(whole))
	if err != nil || len(items) != 6 {
		t.Fatal(len(items), err)
	}
	if items[5].Map.Effect.Closes[0][0] != "tricuspid-annulus" || items[1].Rule != question.Share || items[2].Number.Misses[0].Value != 100 {
		t.Errorf("not read: %+v", items)
	}
}

// TestDecodeRefuses: every mistake has its file, its line and its field.
func TestDecodeRefuses(t *testing.T) {
	tests := []struct{ name, old, new, field, says string }{
		{"nothing", whole[7:], "[]\n", "items", "at least one"},
		{"id", "id: one,", "id: One,", "items[0].id", "lower-case words"},
		{"id twice", "id: two,", "id: one,", "items[1].id", "items[0] too"},
		{"version", "id: one, version: 1", "id: one, version: 0", "items[0].version", "between 1"},
		{"topic", "topic: lines", "topic: Lines", "items[0].topic", "lower-case"},
		{"status", "status: live", "status: alive", "items[0].status", "unknown"},
		{"kind", "kind: single-best", "kind: essay", "items[0].kind", "use one of single-best, several"},
		{"difficulty", "difficulty: easy", "difficulty: cruel", "items[0].difficulty", "unknown"},
		{"stem", "What is the answer to this?", "What?", "items[0].stem", "between 10"},
		{"rationale", "Because it is so.", "So.", "items[0].rationale", "between 10"},
		{"source", "common practice, no source", "", "items[0].source", "between 3"},
		{"live from memory", "status: draft", "status: live", "items[1].source", "somebody has read"},
		{"unknown field", "kind: single-best", "kind: single-best, colour: red", "items[0].colour", "unknown field"},
		{"two keys", "key: [b]", "key: [a, b]", "items[0].key", "one key"},
		{"no such key", "key: [b]", "key: [x]", "items[0].key[0]", "no option"},
		{"all keys", "key: [a, c]", "key: [a, b, c]", "items[1].key", "at least one wrong"},
		{"key twice", "key: [a, c]", "key: [a, a]", "items[1].key[1]", "twice"},
		{"order not whole", "key: [c, a, b]", "key: [c, a]", "items[3].key", "all 3"},
		{"order kept", "key: [c, a, b]", "keep_order: true, key: [c, a, b]", "items[3].keep_order", "as written"},
		{"option twice", "{id: b, text: B, feedback: yes it is}", "{id: a, text: B, feedback: x}", "items[0].options[1].id", "twice"},
		{"text twice", "{id: b, text: B, feedback: yes it is}", "{id: b, text: a, feedback: x}", "items[0].options[1].text", "same as another"},
		{"no feedback", "feedback: not that", `feedback: ""`, "items[0].options[2].feedback", "between 1"},
		{"two options", ", {id: c, text: C, feedback: not that}", "", "items[0].options", "between 3"},
		{"rule of another kind", "rule: pairs", "rule: share", "items[3].rule", "use one of all-or-nothing, pairs"},
		{"itself", "not_with: [two]", "not_with: [one]", "items[0].not_with[0]", "itself"},
		{"no number", "number: {value: 10, tolerance: 1, unit: mm, misses: [{value: 100, feedback: ten times}]}, ", "", "items[2].number", "missing"},
		{"tolerance", "tolerance: 1", "tolerance: -1", "items[2].number.tolerance", "between 0"},
		{"unit", "unit: mm", `unit: ""`, "items[2].number.unit", "between 1"},
		{"miss that is right", "{value: 100", "{value: 11", "items[2].number.misses[0].value", "within the tolerance"},
		{"number elsewhere", "rule: pairs,", "rule: pairs, number: {value: 1, tolerance: 0, unit: mm},", "items[3].number", "numeric item only"},
		{"map elsewhere", "rule: pairs,", "rule: pairs, map: {chamber: left-atrium, draw: point, shown: {lesions: []}, key: [[1, 0, 0]]},", "items[3].map", "on the map only"},
		{"options elsewhere", "number: {value: 10", "key: [a], number: {value: 10", "items[2].options", "no options"},
		{"chamber", "chamber: right-atrium", "chamber: atrium", "items[4].map.chamber", "unknown"},
		{"draw", "draw: point", "draw: blob", "items[4].map.draw", "unknown"},
		{"neither", "near: {within_mm: 8}, ", "", "items[4].map", "one of the two"},
		{"both", "near: {within_mm: 8}", "near: {within_mm: 8}, effect: {isolates: [posterior-wall]}", "items[4].map", "one of the two"},
		{"within", "within_mm: 8", "within_mm: 80", "items[4].map.near.within_mm", "between 1 and 40"},
		{"no direction", "key: [[0.35, 0.85, 0.05]]", "key: [[0, 0, 0]]", "items[4].map.key[0]", "no direction"},
		{"shown", "draw: point, shown: {lesions: []}", "draw: point, shown: {lesions: [{lesion: rooftop}]}", "items[4].map.shown.lesions[0].lesion", "no lesion"},
		{"obstacle of the other atrium", "[[tricuspid-annulus]]", "[[mitral-annulus]]", "items[5].map.effect.closes[0][0]", "unknown"},
		{"closes nothing", "closes: [[tricuspid-annulus]], ", "", "items[5].map.effect", "must close or isolate"},
		{"structure", "structure: av-node", "structure: spleen", "items[5].map.effect.clear[0].structure", "unknown"},
		{"line of one point", "key: [[0, -0.86, 0.45], [0.05, -0.98, -0.10], [-0.10, -0.75, -0.60]]", "key: [[0, -0.86, 0.45]]", "items[5].map.key", "a line needs 2"},
		{"point with an effect", "draw: line", "draw: point", "items[5].map.effect", "no effect"},
		{"miss without feedback", `feedback: "elsewhere"`, `feedback: ""`, "items[5].map.misses[0].feedback", "between 1"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			changed := strings.Replace(whole, tt.old, tt.new, 1)
			if changed == whole {
				t.Fatalf("%q is not in the file", tt.old)
			}
			_, err := question.Decode("w.yaml", []byte(changed))
			wantFault(t, err, tt.field, tt.says)
		})
	}
}

// wantFault checks that one of the faults is at field, has a place, and says so.
func wantFault(t *testing.T, err error, field, says string) {
	t.Helper()
	var faults strict.Faults
	if !errors.As(err, &faults) {
		t.Fatalf("error %v is no Faults", err)
	}
	for _, fault := range faults.List {
		if fault.Field == field && strings.Contains(fault.Message, says) {
			if faults.File == "w.yaml" && fault.Line == 0 {
				t.Errorf("%s has no line", field)
			}
			return
		}
	}
	t.Errorf("no fault at %s that says %q in\n%v", field, says, err)
}

// FuzzDecode: any bytes give valid items or Faults, never a panic; what is valid can be shown, and its own key is an answer to it.
func FuzzDecode(f *testing.F) {
	f.Add([]byte(whole))
	names, _ := filepath.Glob(filepath.Join("bank", "*.yaml"))
	for _, name := range names {
		f.Add([]byte(bankFile(f, filepath.Base(name))))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		items, err := question.Decode("w.yaml", data)
		var faults strict.Faults
		if err != nil {
			if !errors.As(err, &faults) || len(faults.List) == 0 {
				t.Fatalf("error is no Faults: %v", err)
			}
			return
		}
		if _, err := question.NewBank(items); err != nil {
			t.Fatalf("decoded, but no bank: %v", err)
		}
		for _, it := range items {
			placed := question.Place(it, 7)
			if _, err := placed.View(it); err != nil {
				t.Fatalf("cannot be shown: %v", err)
			}
			if faults := it.Check(question.Answer{Chosen: it.Key}); faults.Err() != nil {
				t.Fatalf("its key is no answer: %v", faults)
			}
		}
	})
}

// FuzzDecodeBlueprint is FuzzDecode for blueprints.
func FuzzDecodeBlueprint(f *testing.F) {
	f.Add([]byte("title: T\nrows: [{topic: lines, items: 5}, {topic: energy, difficulty: hard, items: 2}]\n"))
	f.Add([]byte("title: T\nfixed: [{item: one, version: 1}]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := question.DecodeBlueprint("b.yaml", data)
		var faults strict.Faults
		if err != nil {
			if !errors.As(err, &faults) || len(faults.List) == 0 {
				t.Fatalf("error is no Faults: %v", err)
			}
			return
		}
		if form, err := question.Assemble(question.Starter(), b, 3); err == nil && len(form.Items) == 0 {
			t.Fatal("a form without items")
		}
	})
}
