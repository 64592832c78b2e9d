package published

import (
	"encoding/json"
	"math"
	"os"
	"reflect"
	"strconv"
	"testing"
)

// TestComputedAgain compares testdata/reference.json with what testdata/reference.R computes now: `make reference` runs both. Every input,
// text and printed figure must be the same, every output within its case's tolerance.
func TestComputedAgain(t *testing.T) {
	path := os.Getenv("ISTHMUS_REFERENCE")
	if path == "" {
		t.Skip("make reference runs this: it needs R")
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	kept, err := os.ReadFile(find(t))
	if err != nil {
		t.Fatal(err)
	}
	var files [2]struct {
		Cases []map[string]any `json:"cases"`
	}
	for i, bytes := range [][]byte{kept, data} {
		if err := json.Unmarshal(bytes, &files[i]); err != nil {
			t.Fatal(err)
		}
	}
	if len(files[0].Cases) != len(files[1].Cases) || len(files[0].Cases) == 0 {
		t.Fatalf("%d cases are kept, %d computed", len(files[0].Cases), len(files[1].Cases))
	}
	for i, want := range files[0].Cases {
		got := files[1].Cases[i]
		id, _ := want["id"].(string)
		tolerance, _ := want["tolerance"].(float64)
		for field, value := range want {
			if field == "outputs" || field == "published" { // a printed figure stands beside the computed one
				same(t, id+": "+field, value, got[field], tolerance)
			} else if field != "cross_check" && !reflect.DeepEqual(value, got[field]) {
				t.Errorf("%s: %s was %v and is %v", id, field, value, got[field])
			}
		}
	}
	if !t.Failed() {
		t.Logf("%d cases computed again, all as kept", len(files[0].Cases))
	}
}

// same compares two trees of JSON, numbers within a tolerance relative to 1 + |value|.
func same(t *testing.T, at string, want, got any, tolerance float64) {
	t.Helper()
	switch want := want.(type) {
	case map[string]any:
		other, is := got.(map[string]any)
		if !is || len(other) != len(want) {
			t.Errorf("%s has another shape", at)
			return
		}
		for name, value := range want {
			same(t, at+"."+name, value, other[name], tolerance)
		}
	case []any:
		other, is := got.([]any)
		if !is || len(other) != len(want) {
			t.Errorf("%s has another length", at)
			return
		}
		for i, value := range want {
			same(t, at+"."+strconv.Itoa(i), value, other[i], tolerance)
		}
	case float64:
		if other, is := got.(float64); !is || !(math.Abs(other-want) <= tolerance*(1+math.Abs(want))) {
			t.Errorf("%s was %.17g and is %v", at, want, got)
		}
	default:
		if want != got {
			t.Errorf("%s was %v and is %v", at, want, got)
		}
	}
}
