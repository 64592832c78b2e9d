// Package published reads testdata/reference.json: check values for statistics, each case naming the source it was compared with. The
// outputs were computed with R from Debian (base R, survival, lme4, psych, spc, eRm); 'published' are figures printed in the source named.
package published

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Case is one check case. Paths into inputs and outputs are fields and list positions from 0, joined by points.
type Case struct {
	ID        string         `json:"id"`
	Source    string         `json:"source"`
	Inputs    map[string]any `json:"inputs"`
	Outputs   map[string]any `json:"outputs"`
	Tolerance float64        `json:"tolerance"` // relative to 1 + |value|
	Printed   []Printed      `json:"published"`

	got     map[string]float64 // what the test computed, by path
	excused map[string]string  // why a printed figure is not compared, or does not hold, by the start of its path
}

// IDs are the ids of all cases, in the order of the file.
func IDs(t *testing.T) []string {
	t.Helper()
	var ids []string
	for _, c := range load(t) {
		ids = append(ids, c.ID)
	}
	return ids
}

func load(t *testing.T) []Case {
	t.Helper()
	data, err := os.ReadFile(find(t))
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Cases []Case `json:"cases"`
	}
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	return file.Cases
}

// Cases gives the cases of these ids, in their order, and compares their printed figures when the test ends. Write the ids as literals:
// a test counts by them which cases are asked for.
func Cases(t *testing.T, ids ...string) []Case {
	t.Helper()
	var found []Case
	for _, c := range pick(t, ids) {
		t.Cleanup(func() { c.comparePrinted(t) })
		found = append(found, c)
	}
	return found
}

// One gives the case of an id, as Cases does.
func One(t *testing.T, id string) Case {
	t.Helper()
	return Cases(t, id)[0]
}

// Each runs fn once for every case, and compares its printed figures afterwards.
func Each(t *testing.T, fn func(t *testing.T, c Case), ids ...string) {
	t.Helper()
	for _, c := range pick(t, ids) {
		t.Run(c.ID, func(t *testing.T) {
			fn(t, c)
			c.comparePrinted(t)
		})
	}
}

func pick(t *testing.T, ids []string) []Case {
	t.Helper()
	all := load(t)
	found := make([]Case, len(ids))
	for i, id := range ids {
		at := slices.IndexFunc(all, func(c Case) bool { return c.ID == id })
		if at < 0 {
			t.Fatalf("no check case is called %s", id)
		}
		found[i] = all[at]
		found[i].got, found[i].excused = map[string]float64{}, map[string]string{}
	}
	return found
}

// find looks for the file in the folders above the test's own.
func find(t *testing.T) string {
	t.Helper()
	for dir := "."; len(dir) < 40; dir = filepath.Join(dir, "..") {
		path := filepath.Join(dir, "testdata", "reference.json")
		if _, err := os.Stat(path); err == nil {
			return path
		}
	}
	t.Fatal("testdata/reference.json is not above the folder of this test")
	return ""
}

// at walks a path.
func at(t *testing.T, from any, path string) any {
	t.Helper()
	for step := range strings.SplitSeq(path, ".") {
		if list, is := from.([]any); is {
			i, err := strconv.Atoi(step)
			if err != nil || i >= len(list) {
				t.Fatalf("no %s in %s", step, path)
			}
			from = list[i]
			continue
		}
		fields, is := from.(map[string]any)
		if !is {
			t.Fatalf("no %s in %s", step, path)
		}
		value, has := fields[step]
		if !has {
			t.Fatalf("no %s in %s", step, path)
		}
		from = value
	}
	return from
}

// In is a number of the inputs, Out one of the outputs.
func (c Case) In(t *testing.T, path string) float64 {
	t.Helper()
	return number(t, at(t, c.Inputs, path))
}

// Out is a number of the outputs; NaN where the file says null.
func (c Case) Out(t *testing.T, path string) float64 {
	t.Helper()
	return number(t, at(t, c.Outputs, path))
}

// InList is a list of numbers of the inputs; a single number is a list of one.
func (c Case) InList(t *testing.T, path string) []float64 {
	t.Helper()
	return numbers(t, at(t, c.Inputs, path))
}

// OutList is a list of numbers of the outputs.
func (c Case) OutList(t *testing.T, path string) []float64 {
	t.Helper()
	return numbers(t, at(t, c.Outputs, path))
}

// InTable is a list of lists of numbers of the inputs.
func (c Case) InTable(t *testing.T, path string) [][]float64 {
	t.Helper()
	var table [][]float64
	for _, row := range at(t, c.Inputs, path).([]any) {
		table = append(table, numbers(t, row))
	}
	return table
}

// OutLen is the length of a list of the outputs.
func (c Case) OutLen(t *testing.T, path string) int {
	t.Helper()
	return len(at(t, c.Outputs, path).([]any))
}

// Want compares got with the output at path within the case's tolerance.
func (c Case) Want(t *testing.T, path string, got float64) {
	t.Helper()
	c.Near(t, path, got, c.Tolerance)
}

// Near compares got with the output at path within a tolerance relative to 1 + |value|.
func (c Case) Near(t *testing.T, path string, got, tolerance float64) {
	t.Helper()
	c.got[path] = got
	want := c.Out(t, path)
	if math.IsNaN(want) && math.IsNaN(got) {
		return
	}
	if !(math.Abs(got-want) <= tolerance*(1+math.Abs(want))) {
		t.Errorf("%s = %.12g, want %.12g within %g (%s)", path, got, want, tolerance, c.Source)
	}
}

func number(t *testing.T, value any) float64 {
	t.Helper()
	switch v := value.(type) {
	case float64:
		return v
	case bool:
		if v {
			return 1
		}
		return 0
	case nil:
		return math.NaN()
	}
	t.Fatalf("%v is no number", value)
	return 0
}

func numbers(t *testing.T, value any) []float64 {
	t.Helper()
	list, is := value.([]any)
	if !is {
		return []float64{number(t, value)}
	}
	out := make([]float64, len(list))
	for i, v := range list {
		out[i] = number(t, v)
	}
	return out
}
