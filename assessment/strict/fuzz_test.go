package strict_test

import (
	"errors"
	"testing"

	"isthmus/assessment/strict"
)

// FuzzJSON: any bytes give a value or Faults, never a panic, and a fault's place lies inside the input.
func FuzzJSON(f *testing.F) {
	for _, seed := range []string{`{"id": "a", "items": [{"name": "x", "at": [1, 2, 3]}]}`, `{"id": null, "marks": {"a": 1}}`, `[[[[1]]]]`, `{"id": "\ud800"}`, "{\n\"x\": 1e5}"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var into order
		wantFaults(t, strict.JSON(data, &into))
	})
}

// FuzzYAML is FuzzJSON for YAML.
func FuzzYAML(f *testing.F) {
	for _, seed := range []string{"id: a\nitems:\n  - name: x\n    at: [1, 2, 3]\n", "marks: {a: 1}\n", "id: |\n  text\n", "? a\n: b\n", "id: &x a\n", "- - - a\n", "id: 'it''s'\n"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var into order
		document, err := strict.YAML("f.yaml", data, &into)
		wantFaults(t, err)
		var faults strict.Faults
		faults.Add("items[0].name", "wrong")
		document.Locate(faults)
	})
}

func wantFaults(t *testing.T, err error) {
	t.Helper()
	var faults strict.Faults
	if err != nil && (!errors.As(err, &faults) || len(faults.List) == 0) {
		t.Fatalf("error is no Faults: %v", err)
	}
}
