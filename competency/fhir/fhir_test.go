package fhir

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// element is a row of a resource's table in FHIR R4 (hl7.org/fhir/R4): how often, of which type, and the codes it is bound to.
type element struct {
	least int
	many  bool
	kind  string // "string", "code", "uri", "dateTime", or the name of a type below
	codes []string
}

// types are the elements of R4 that this program writes, with their neighbours that are required. What is not here must not be written.
var types = map[string]map[string]element{
	// bundle.html: type 1..1 bound to bundle-type; entry 0..*; entry.fullUrl 0..1; entry.resource 0..1.
	"Bundle": {
		"resourceType": {1, false, "code", []string{"Bundle"}},
		"type":         {1, false, "code", []string{"document", "message", "transaction", "transaction-response", "batch", "batch-response", "history", "searchset", "collection"}},
		"entry":        {0, true, "Bundle.entry", nil},
	},
	"Bundle.entry": {"fullUrl": {0, false, "uri", nil}, "resource": {0, false, "Resource", nil}},
	// procedure.html: status 1..1 bound to event-status, subject 1..1 Reference(Patient | Group), code 0..1, performed[x] 0..1, reasonCode 0..*.
	"Procedure": {
		"resourceType":      {1, false, "code", []string{"Procedure"}},
		"status":            {1, false, "code", []string{"preparation", "in-progress", "not-done", "on-hold", "stopped", "completed", "entered-in-error", "unknown"}},
		"code":              {0, false, "CodeableConcept", nil},
		"subject":           {1, false, "Reference", nil},
		"performedDateTime": {0, false, "dateTime", nil},
		"reasonCode":        {0, true, "CodeableConcept", nil},
	},
	// operationoutcome.html: issue 1..*, severity 1..1 bound to issue-severity, code 1..1 bound to issue-type, diagnostics 0..1.
	"OperationOutcome": {
		"resourceType": {1, false, "code", []string{"OperationOutcome"}},
		"issue":        {1, true, "OperationOutcome.issue", nil},
	},
	"OperationOutcome.issue": {
		"severity":    {1, false, "code", []string{"fatal", "error", "warning", "information"}},
		"code":        {1, false, "code", []string{"invalid", "security", "processing", "transient", "informational"}},
		"diagnostics": {0, false, "string", nil},
	},
	// datatypes.html and references.html.
	"CodeableConcept": {"coding": {0, true, "Coding", nil}, "text": {0, false, "string", nil}},
	"Coding":          {"system": {0, false, "uri", nil}, "code": {0, false, "code", nil}},
	"Reference":       {"reference": {0, false, "string", nil}, "type": {0, false, "uri", []string{"Patient", "Group"}}, "display": {0, false, "string", nil}},
}

// dateTimes is the form of a dateTime without a time (datatypes.html); codeForm that of a code: no space at the ends, none doubled.
var (
	dateTimes = regexp.MustCompile(`^([0-9]([0-9]([0-9][1-9]|[1-9]0)|[1-9]00)|[1-9]000)(-(0[1-9]|1[0-2])(-(0[1-9]|[1-2][0-9]|3[0-1]))?)?$`)
	codeForm  = regexp.MustCompile(`^[^\s]+(\s[^\s]+)*$`)
	urnUUID   = regexp.MustCompile(`^urn:uuid:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$`)
)

// faultsOf finds every breach of the tables in a value of a type.
func faultsOf(where, kind string, value any) []string {
	if list, ok := value.([]any); ok {
		return []string{fmt.Sprintf("%s is a list of %d", where, len(list))}
	}
	switch kind {
	case "string", "code", "uri", "dateTime":
		text, ok := value.(string)
		if !ok || text == "" { // json.html: no null and no empty value
			return []string{where + " is no text, or empty"}
		}
		if kind == "dateTime" && !dateTimes.MatchString(text) || kind == "code" && !codeForm.MatchString(text) || kind == "uri" && strings.ContainsAny(text, " \n") {
			return []string{where + " is no " + kind + ": " + text}
		}
		return nil
	case "Resource":
		object, _ := value.(map[string]any)
		kind, _ = object["resourceType"].(string)
	}
	object, ok := value.(map[string]any)
	known := types[kind]
	if !ok || known == nil || len(object) == 0 { // json.html: no empty object
		return []string{where + " is no " + kind}
	}
	var faults []string
	for name, inside := range object {
		e, ok := known[name]
		if !ok {
			faults = append(faults, where+"."+name+" is no element of "+kind)
			continue
		}
		items := []any{inside}
		if e.many {
			if items, ok = inside.([]any); !ok || len(items) == 0 { // json.html: a repeating element is an array, and never an empty one
				faults = append(faults, where+"."+name+" is no list, or empty")
			}
		}
		for i, item := range items {
			faults = append(faults, faultsOf(fmt.Sprintf("%s.%s[%d]", where, name, i), e.kind, item)...)
			if text, ok := item.(string); ok && e.codes != nil && !slices.Contains(e.codes, text) {
				faults = append(faults, fmt.Sprintf("%s.%s is %q, not of its value set", where, name, text))
			}
		}
	}
	for name, e := range known {
		if e.least > 0 && object[name] == nil {
			faults = append(faults, where+"."+name+" is missing: 1..1")
		}
	}
	if kind == "Reference" && object["reference"] == nil && object["identifier"] == nil && object["display"] == nil { // references.html
		faults = append(faults, where+" refers to nothing")
	}
	return faults
}

// written is a bundle as JSON, checked against the tables and the bundle's own rules.
func written(t interface{ Errorf(string, ...any) }, b Bundle) string {
	text, err := json.Marshal(b)
	var value map[string]any
	if err == nil {
		err = json.Unmarshal(text, &value)
	}
	if err != nil {
		t.Errorf("%v", err)
		return ""
	}
	for _, fault := range faultsOf("Bundle", "Bundle", value) {
		t.Errorf("%s", fault)
	}
	seen := map[string]bool{}
	for _, entry := range b.Entry {
		if seen[entry.FullURL] || !urnUUID.MatchString(entry.FullURL) { // bdl-7: unique; bdl-8: never of one version
			t.Errorf("bdl-7: %s", entry.FullURL)
		}
		seen[entry.FullURL] = true
	}
	return string(text)
}

// TestValidatorFinds: the checks above refuse what R4 refuses.
func TestValidatorFinds(t *testing.T) {
	for name, text := range map[string]string{
		"no status":     `{"resourceType":"Procedure","subject":{"display":"x"}}`,
		"no subject":    `{"resourceType":"Procedure","status":"completed"}`,
		"status":        `{"resourceType":"Procedure","status":"done","subject":{"display":"x"}}`,
		"empty list":    `{"resourceType":"Procedure","status":"completed","subject":{"display":"x"},"reasonCode":[]}`,
		"no list":       `{"resourceType":"Procedure","status":"completed","subject":{"display":"x"},"reasonCode":{"text":"x"}}`,
		"empty text":    `{"resourceType":"Procedure","status":"completed","subject":{"display":""}}`,
		"nothing":       `{"resourceType":"Procedure","status":"completed","subject":{"type":"Patient"}}`,
		"a date":        `{"resourceType":"Procedure","status":"completed","subject":{"display":"x"},"performedDateTime":"2026-W11"}`,
		"R5":            `{"resourceType":"Procedure","status":"completed","subject":{"display":"x"},"occurrenceDateTime":"2026"}`,
		"no issue":      `{"resourceType":"OperationOutcome"}`,
		"another kind":  `{"resourceType":"Patient"}`,
		"no bundleType": `{"resourceType":"Bundle"}`,
	} {
		var value any
		if err := json.Unmarshal([]byte(text), &value); err != nil || len(faultsOf(name, "Resource", value)) == 0 {
			t.Errorf("%s passes", name)
		}
	}
}

// operation draws an operation; a few cannot be told.
func operation(t *rapid.T) Operation {
	day := competency.Day("2024-01-01").Add(rapid.IntRange(0, 900).Draw(t, "day"))
	return Operation{
		OperatedOn: competency.Coarsen(day, rapid.SampledFrom([]competency.Precision{competency.PrecisionDay, competency.PrecisionWeek, competency.PrecisionMonth}).Draw(t, "precision")),
		Operation:  rapid.SampledFrom([]string{"mitral", "coronary", "stand-alone", "unknown"}).Draw(t, "operation"),
		Pattern:    rapid.SampledFrom([]af.Pattern{af.Paroxysmal, af.Persistent, af.LongStandingPersistent, af.Permanent}).Draw(t, "pattern"),
		Scope:      rapid.SampledFrom([]atrium.Scope{atrium.ScopeBox, atrium.ScopeBiatrial}).Draw(t, "scope"),
	}
}

// TestRelease: every operation that leaves looks like at least k-1 others, none is invented or lost, and the order of the cases does not show.
func TestRelease(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		operations := rapid.SliceOfN(rapid.Custom(operation), 0, 80).Draw(t, "operations")
		k := rapid.IntRange(0, 9).Draw(t, "k")
		r := NewRelease(operations, k)
		if r.Released()+r.Hidden != len(operations) {
			t.Fatalf("%d released and %d hidden of %d", r.Released(), r.Hidden, len(operations))
		}
		alike := map[string]int{}
		for _, entry := range Write(r, uuid.Nil).Entry[1:] {
			text, _ := json.Marshal(entry.Resource)
			alike[string(text)]++
		}
		for look, n := range alike {
			if n < max(2, k) {
				t.Fatalf("%d look like %s, k is %d", n, look, k)
			}
		}
		shuffled := rapid.Permutation(operations).Draw(t, "another order")
		if a, b := fmt.Sprint(r), fmt.Sprint(NewRelease(shuffled, k)); a != b {
			t.Fatalf("another order gives another release:\n%s\n%s", a, b)
		}
		for _, sentence := range r.Says() {
			for n := 1; n < r.K; n++ {
				if strings.Contains(sentence, fmt.Sprintf(": %d operations", n)) {
					t.Fatalf("a small number is told: %s", sentence)
				}
			}
		}
	})
}

// finer is anything like a date finer than a year.
var finer = regexp.MustCompile(`\d{4}-(\d{2}|W\d{2})|\d{1,2}:\d{2}`)

// TestNothingFiner: whatever the precision, a valid bundle holds no date finer than a year.
func TestNothingFiner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		operations := rapid.SliceOfN(rapid.Custom(operation), 0, 60).Draw(t, "operations")
		bundle := Write(NewRelease(operations, 2), uuid.MustParse("0198c0de-0000-7000-8000-000000000001"))
		text := written(t, bundle)
		for _, entry := range bundle.Entry {
			text = strings.ReplaceAll(text, entry.FullURL, "")
		}
		if date := finer.FindString(text); date != "" {
			t.Fatalf("%s in %s", date, text)
		}
	})
}

// TestCells: which step each operation leaves by.
func TestCells(t *testing.T) {
	many := func(n int, on, operation string, pattern af.Pattern) []Operation {
		return slices.Repeat([]Operation{{on, operation, pattern, atrium.ScopeBiatrial}}, n)
	}
	for _, c := range []struct {
		name            string
		operations      []Operation
		cells           []Cell
		coarser, hidden int
	}{
		{"enough in a year", many(5, "2026-03-14", "mitral", af.Persistent), []Cell{{"2026", "Mitral valve", af.Persistent, "biatrial set", 5}}, 0, 0},
		{"too few", many(4, "2026-03", "mitral", af.Persistent), []Cell{}, 0, 4},
		{"two years together", append(many(2, "2025-03", "mitral", af.Persistent), many(3, "2026-03", "mitral", af.Persistent)...),
			[]Cell{{"", "Mitral valve", af.Persistent, "biatrial set", 5}}, 5, 0},
		{"two kinds together", append(many(2, "2026-03", "coronary", af.Permanent), many(3, "2026-03", "mitral", af.Permanent)...),
			[]Cell{{"", "", af.Permanent, "biatrial set", 5}}, 5, 0},
		{"patterns never", append(many(4, "2026-03", "mitral", af.Permanent), many(4, "2026-03", "mitral", af.Persistent)...), []Cell{}, 0, 8},
		{"a week belongs to the year of its Thursday", many(5, "2026-W01", "mitral", af.Persistent), []Cell{{"2026", "Mitral valve", af.Persistent, "biatrial set", 5}}, 0, 0},
		{"what cannot be told", many(6, "soon", "mitral", af.Persistent), []Cell{}, 0, 6},
	} {
		r := NewRelease(c.operations, 5)
		if fmt.Sprint(r.Cells) != fmt.Sprint(c.cells) || r.Coarser != c.coarser || r.Hidden != c.hidden {
			t.Errorf("%s: %+v", c.name, r)
		}
	}
}

// TestCodes: only patterns whose code has a source carry one, and all have words.
func TestCodes(t *testing.T) {
	for pattern, want := range map[af.Pattern]string{af.Paroxysmal: "", af.Persistent: "I48.19", af.LongStandingPersistent: "I48.11", af.Permanent: "I48.21"} {
		concept := reasons[pattern]
		got := ""
		if len(concept.Coding) > 0 {
			got = concept.Coding[0].Code
		}
		if got != want || concept.Text == "" {
			t.Errorf("%s: %+v", pattern, concept)
		}
	}
}

// TestTwoExportsShareNoAddress: an address says nothing of the operation.
func TestTwoExportsShareNoAddress(t *testing.T) {
	r := NewRelease(slices.Repeat([]Operation{{"2026", "mitral", af.Persistent, atrium.ScopeBox}}, 3), 2)
	r.Cells = []Cell{{Year: "2026", Operation: "Mitral valve", Pattern: af.Persistent, Scope: "box", N: 3}}
	a, b := Write(r, uuid.New()), Write(r, uuid.New())
	for i := range a.Entry {
		if a.Entry[i].FullURL == b.Entry[i].FullURL {
			t.Errorf("entry %d is %s in both", i, a.Entry[i].FullURL)
		}
	}
}
