package competency

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"isthmus/assessment/strict"
)

func TestExampleStandard(t *testing.T) {
	standard := ExampleStandard()
	if !standard.Example || !strings.Contains(strings.ToLower(standard.Title), "example") || standard.Note == "" {
		t.Errorf("the example is not labelled: %q", standard.Title)
	}
	want := []string{
		"At least 12 signed-off cases as primary, with scope biatrial set.",
		"At least 3 signed-off cases as primary, with scope box, left atrial set or biatrial set, in paroxysmal AF.",
		"Help given at level 4 (performed with spoken advice) or above in at least 80 % of the last 15 signed-off cases as primary, the lower limit of the 90 % interval at 60 % or above, from at least 3 assessors; late recall left out.",
		"The best plan graded A- or better in each of: paroxysmal, persistent, long-standing persistent AF; none unsafe among the last 5 plans.",
		"At least 3 signed-off cases as primary operated within the last 180 days.",
	}
	for i, r := range standard.Requirements {
		if r.Says() != want[i] {
			t.Errorf("%s says %q, want %q", r.ID, r.Says(), want[i])
		}
	}
}

const head = "id: a\ntitle: A standard\nversion: 1\nrequirements:\n"

func TestDecodeStandardPlacesFaults(t *testing.T) {
	for _, test := range []struct {
		name, yaml string
		line       int
		field      string
	}{
		{"not YAML", "id: [", 1, ""},
		{"unknown field", head + "  - {id: b, kind: count, at_least: 3}\nwho: me\n", 6, "who"},
		{"wrong type", head + "  - {id: b, kind: count, at_least: three}\n", 5, "requirements[0].at_least"},
		{"no requirements", "id: a\ntitle: A standard\nversion: 1\nrequirements: []\n", 4, "requirements"},
		{"bad id", strings.Replace(head, "id: a", "id: A B", 1) + "  - {id: b, kind: count, at_least: 3}\n", 1, "id"},
		{"no title", strings.Replace(head, "A standard", "''", 1) + "  - {id: b, kind: count, at_least: 3}\n", 2, "title"},
		{"version", strings.Replace(head, "version: 1", "version: 0", 1) + "  - {id: b, kind: count, at_least: 3}\n", 3, "version"},
		{"unknown kind", head + "  - {id: b, kind: sum, at_least: 3}\n", 5, "requirements[0].kind"},
		{"id twice", head + "  - {id: b, kind: count, at_least: 3}\n  - id: b\n    kind: count\n    at_least: 2\n", 6, "requirements[1].id"},
		{"count without number", head + "  - id: b\n    kind: count\n", 5, "requirements[0].at_least"},
		{"field of another kind", head + "  - id: b\n    kind: count\n    at_least: 3\n    letter: A\n", 8, "requirements[0].letter"},
		{"unknown scope", head + "  - id: b\n    kind: count\n    at_least: 3\n    filter:\n      scope: [box, maze]\n", 9, "requirements[0].filter.scope[1]"},
		{"role twice", head + "  - id: b\n    kind: count\n    at_least: 3\n    filter: {role: [primary, primary]}\n", 8, "requirements[0].filter.role[1]"},
		{"unknown operation", head + "  - {id: b, kind: count, at_least: 3, filter: {operation: [heart]}}\n", 5, "requirements[0].filter.operation[0]"},
		{"period", head + "  - {id: b, kind: count, at_least: 3, filter: {period_days: -1}}\n", 5, "requirements[0].filter.period_days"},
		{"recency without days", head + "  - id: b\n    kind: recency\n    at_least: 3\n", 5, "requirements[0].within_days"},
		{"recency with two periods", head + "  - {id: b, kind: recency, at_least: 3, within_days: 90, filter: {period_days: 90}}\n", 5, "requirements[0].filter.period_days"},
		{"scale", head + "  - {id: b, kind: level, scale: help, level: 4, share: 0.8, last: 15}\n", 5, "requirements[0].scale"},
		{"level", head + "  - {id: b, kind: level, scale: help_given, level: 1, share: 0.8, last: 15}\n", 5, "requirements[0].level"},
		{"share", head + "  - {id: b, kind: level, scale: help_given, level: 4, share: 80, last: 15}\n", 5, "requirements[0].share"},
		{"bound without confidence", head + "  - {id: b, kind: level, scale: help_given, level: 4, share: 0.8, last: 15, lower_bound: 0.6}\n", 5, "requirements[0].confidence"},
		{"confidence without bound", head + "  - {id: b, kind: level, scale: help_given, level: 4, share: 0.8, last: 15, confidence: 0.9}\n", 5, "requirements[0].confidence"},
		{"bound out of reach", head + "  - id: b\n    kind: level\n    scale: help_given\n    level: 4\n    share: 0.8\n    last: 5\n    lower_bound: 0.7\n    confidence: 0.9\n", 11, "requirements[0].lower_bound"},
		{"more assessors than cases", head + "  - {id: b, kind: level, scale: help_given, level: 4, share: 0.8, last: 5, assessors: 6}\n", 5, "requirements[0].assessors"},
		{"letter", head + "  - {id: b, kind: plan, letter: E, af_patterns: [paroxysmal], attempt: best}\n", 5, "requirements[0].letter"},
		{"no patterns", head + "  - {id: b, kind: plan, letter: A, attempt: best}\n", 5, "requirements[0].af_patterns"},
		{"pattern", head + "  - {id: b, kind: plan, letter: A, af_patterns: [lone], attempt: best}\n", 5, "requirements[0].af_patterns[0]"},
		{"attempt", head + "  - {id: b, kind: plan, letter: A, af_patterns: [paroxysmal]}\n", 5, "requirements[0].attempt"},
		{"follow-up over too few", head + "  - {id: b, kind: follow-up, month: 12, share: 0.8, at_least: 4}\n", 5, "requirements[0].at_least"},
		{"follow-up of cases never due", head + "  - id: b\n    kind: follow-up\n    month: 12\n    share: 0.8\n    at_least: 5\n    filter: {period_days: 300}\n", 10, "requirements[0].filter.period_days"},
		{"follow-up without a month", head + "  - {id: b, kind: follow-up, share: 0.8, at_least: 5}\n", 5, "requirements[0].month"},
		{"more topics than listed", head + "  - id: b\n    kind: quiz\n    topics: [conduction]\n    attempt: best\n    at_least: 2\n", 9, "requirements[0].at_least"},
		{"topic twice", head + "  - {id: b, kind: quiz, topics: [drugs, drugs], attempt: best, at_least: 1}\n", 5, "requirements[0].topics[1]"},
		{"topic of what form", head + "  - {id: b, kind: quiz, topics: [Drugs], attempt: best, at_least: 1}\n", 5, "requirements[0].topics[0]"},
		{"no topics", head + "  - {id: b, kind: quiz, attempt: best, at_least: 1}\n", 5, "requirements[0].topics"},
		{"phi", head + "  - {id: b, kind: dependability, scale: help_given, phi: 70, last: 20}\n", 5, "requirements[0].phi"},
		{"phi of lines complete", head + "  - {id: b, kind: dependability, scale: complete, phi: 0.7, last: 20}\n", 5, "requirements[0].scale"},
		{"phi over no window", head + "  - {id: b, kind: dependability, scale: help_given, phi: 0.7}\n", 5, "requirements[0].last"},
		{"filter on plans", head + "  - {id: b, kind: plan, letter: A, af_patterns: [paroxysmal], attempt: best, filter: {role: [primary]}}\n", 5, "requirements[0].filter"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := DecodeStandard("s.yaml", []byte(test.yaml))
			var faults strict.Faults
			if !errors.As(err, &faults) {
				t.Fatalf("error %v", err)
			}
			first := faults.List[0]
			if faults.File != "s.yaml" || first.Line != test.line || first.Field != test.field || first.Message == "" || len(faults.List) > 1 {
				t.Errorf("faults:\n%v\nwant one at line %d, field %q", faults, test.line, test.field)
			}
		})
	}
}

func TestSaysInOtherShapes(t *testing.T) {
	for _, test := range []struct{ yaml, want string }{
		{"{id: b, kind: count, at_least: 1}", "At least 1 signed-off case."},
		{"{id: b, kind: count, at_least: 5, filter: {operation: [coronary], period_days: 365}}", "At least 5 signed-off cases at coronary bypass operations, operated within the last 365 days."},
		{"{id: b, kind: level, scale: supervision_next, level: 4, share: 0.75, last: 8}", "Supervision next time at level 4 (operate alone) or above in at least 75 % of the last 8 signed-off cases."},
		{"{id: b, kind: plan, letter: A+, af_patterns: [paroxysmal], attempt: last}", "The latest plan graded A+ in each of: paroxysmal AF."},
		{"{id: b, kind: follow-up, month: 12, share: 0.8, at_least: 10, filter: {role: [primary]}}", "Rhythm follow-up at month 12 on record in at least 80 % of the signed-off cases as primary that are due for it, over at least 10 due cases."},
		{"{id: b, kind: quiz, topics: [lesion-sets, drugs], at_least: 2, attempt: best}", "The best quiz at or above its cut in at least 2 of 2 topics: lesion sets, drugs."},
		{"{id: b, kind: dependability, scale: supervision_next, phi: 0.7, last: 20}", "The supervision-next-time ratings of the last 20 signed-off cases carry a judgement: phi 0.70 or above."},
	} {
		standard, err := DecodeStandard("s.yaml", []byte(head+"  - "+test.yaml+"\n"))
		if err != nil {
			t.Fatal(err)
		}
		if got := standard.Requirements[0].Says(); got != test.want {
			t.Errorf("says %q, want %q", got, test.want)
		}
	}
}

func FuzzDecodeStandard(f *testing.F) {
	f.Add(ExampleStandardYAML())
	for _, requirement := range []string{
		"{id: b, kind: count, at_least: 3}", "{id: b, kind: level, scale: supervision_next, level: 4, share: 0.75, last: 8, lower_bound: 0.5, confidence: 0.9}",
		"{id: b, kind: recency, at_least: 3, within_days: 90}", "{id: b, kind: plan, letter: A, af_patterns: [permanent], attempt: last, safe_last: 3}",
		"{id: b, kind: follow-up, month: 12, share: 0.8, at_least: 10}", "{id: b, kind: quiz, topics: [conduction, drugs], at_least: 2, attempt: best}",
		"{id: b, kind: dependability, scale: help_given, phi: 0.7, last: 20}", "- - -", "&a [*a]",
	} {
		f.Add([]byte(head + "  - " + requirement + "\n"))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		standard, err := DecodeStandard("fuzz.yaml", data)
		if err != nil {
			var faults strict.Faults
			if !errors.As(err, &faults) || len(faults.List) == 0 {
				t.Fatalf("the error is %T with nothing in it", err)
			}
			return
		}
		standing := Stand(standard, Evidence{}, "2026-03-20")
		if standing.Ready || len(standing.Requirements) != len(standard.Requirements) {
			t.Fatalf("no evidence gives %+v", standing)
		}
		if slices.ContainsFunc(standing.Requirements, func(s RequirementStanding) bool { return s.Says == "" || s.Explanation == "" || s.Next == "" }) {
			t.Fatalf("a requirement has nothing to say: %+v", standing.Requirements)
		}
	})
}
