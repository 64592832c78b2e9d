package assessment_test

import (
	"errors"
	"strings"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// TestDefaultPolicy is the table of the default scope policy, row by row.
func TestDefaultPolicy(t *testing.T) {
	type patient = assessment.Patient
	open := assessment.Operation{Primary: "mitral", Urgency: "elective", OnBypass: true, LeftAtriumOpened: true}
	shut := assessment.Operation{Primary: "coronary", Urgency: "elective", OnBypass: true}
	redo := assessment.Operation{Primary: "mitral", Urgency: "elective", OnBypass: true, LeftAtriumOpened: true, RedoChest: true}
	emergency := assessment.Operation{Primary: "mitral", Urgency: "emergency", OnBypass: true, LeftAtriumOpened: true}
	tests := []struct {
		name            string
		pattern         af.Pattern
		patient         patient
		op              assessment.Operation
		target, minimum atrium.Scope
		row             string
	}{
		{"paroxysmal, left atrium opened", af.Paroxysmal, patient{LeftAtriumMM: 47}, open, atrium.ScopeLeftAtrial, atrium.ScopeBox, "paroxysmal"},
		// STS 2017, 10.1016/j.athoracsur.2016.10.076: no vein isolation alone from 45 mm or with more than moderate regurgitation (class III).
		{"paroxysmal, closed, 44 mm, mild", af.Paroxysmal, patient{LeftAtriumMM: 44, MitralRegurgitation: "mild"}, shut, atrium.ScopeBox, atrium.ScopePulmonaryVeinIsolation, "paroxysmal-left-atrium-closed-small"},
		{"paroxysmal, closed, 44 mm, severe", af.Paroxysmal, patient{LeftAtriumMM: 44, MitralRegurgitation: "severe"}, shut, atrium.ScopeBox, atrium.ScopeBox, "paroxysmal-left-atrium-closed"},
		{"paroxysmal, closed, 45 mm", af.Paroxysmal, patient{LeftAtriumMM: 45, MitralRegurgitation: "mild"}, shut, atrium.ScopeBox, atrium.ScopeBox, "paroxysmal-left-atrium-closed"},
		{"persistent", af.Persistent, patient{LeftAtriumMM: 50}, open, atrium.ScopeBiatrial, atrium.ScopeLeftAtrial, "non-paroxysmal"},
		{"long-standing, closed", af.LongStandingPersistent, patient{LeftAtriumMM: 50}, shut, atrium.ScopeBiatrial, atrium.ScopeLeftAtrial, "non-paroxysmal"},
		{"persistent, very large", af.Persistent, patient{LeftAtriumMM: 61}, open, atrium.ScopeBiatrial, atrium.ScopeLeftAtrial, "very-large-left-atrium"},
		{"persistent, sick sinus node", af.Persistent, patient{LeftAtriumMM: 50, SinusNodeDisease: true}, open, atrium.ScopeLeftAtrial, atrium.ScopeBox, "sinus-node-disease"},
		{"persistent, sick sinus node, paced", af.Persistent, patient{LeftAtriumMM: 50, SinusNodeDisease: true, Pacemaker: true}, open, atrium.ScopeBiatrial, atrium.ScopeLeftAtrial, "non-paroxysmal"},
		{"permanent", af.Permanent, patient{LeftAtriumMM: 50}, open, atrium.ScopeNone, "", "permanent"},
		{"clot, closed", af.Persistent, patient{LeftAtriumMM: 50, ThrombusOnImaging: true}, shut, atrium.ScopeNone, "", "thrombus-left-atrium-closed"},
		{"clot, opened", af.Persistent, patient{LeftAtriumMM: 50, ThrombusOnImaging: true}, open, atrium.ScopeBiatrial, atrium.ScopeLeftAtrial, "non-paroxysmal"},
		{"persistent, redo", af.Persistent, patient{LeftAtriumMM: 50}, redo, atrium.ScopeBiatrial, atrium.ScopeLeftAtrial, "non-paroxysmal-redo-chest"},
		{"paroxysmal, redo", af.Paroxysmal, patient{LeftAtriumMM: 50}, redo, atrium.ScopeLeftAtrial, atrium.ScopeBox, "paroxysmal"},
		{"emergency", af.Paroxysmal, patient{LeftAtriumMM: 40}, emergency, atrium.ScopeNone, "", "emergency"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := assessment.DefaultPolicy().Target(tt.pattern, tt.patient, tt.op)
			if err != nil || got.Scope != tt.target || got.Minimum != tt.minimum || got.Row.ID != tt.row {
				t.Errorf("Target = %s, minimum %q, row %s (%v); want %s, %q, %s", got.Scope, got.Minimum, got.Row.ID, err, tt.target, tt.minimum, tt.row)
			}
			if len(got.Row.Evidence) == 0 {
				t.Errorf("row %s has no evidence", got.Row.ID)
			}
		})
	}
}

// TestEvidenceOfScope: the pooled figures shown with the biatrial target, and that one of them does not exclude 1.
// Source: Cappabianca 2019, 10.1111/jce.14117 (28 studies, 7,065 patients).
func TestEvidenceOfScope(t *testing.T) {
	target, err := assessment.DefaultPolicy().Target(af.Persistent, assessment.Patient{LeftAtriumMM: 50}, assessment.Operation{Urgency: "elective", LeftAtriumOpened: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []struct {
		text  string
		isFor bool
	}{{"OR 1.37 (0.99 to 1.88): this does not exclude 1", false}, {"OR 1.85 (1.38 to 2.49)", false}, {"7.7 %, veins 16.1 %, biatrial 25 %", false}, {"OR 1.37 (1.09 to 1.73)", true}} {
		found := false
		for _, e := range target.Row.Evidence {
			found = found || strings.Contains(e.Text, want.text) && e.For == want.isFor && e.Source != ""
		}
		if !found {
			t.Errorf("no evidence %q with for = %t", want.text, want.isFor)
		}
	}
}

func TestScopeAgainstPolicy(t *testing.T) {
	pol := assessment.DefaultPolicy()
	open := assessment.Operation{Primary: "mitral", Urgency: "elective", LeftAtriumOpened: true}
	shut := assessment.Operation{Primary: "aortic-valve", Urgency: "elective"}
	tests := []struct {
		pattern af.Pattern
		op      assessment.Operation
		mm      float64
		scope   atrium.Scope
		want    string
	}{
		{af.Persistent, open, 52, atrium.ScopeBiatrial, "target"},
		{af.Persistent, open, 52, atrium.ScopeLeftAtrial, "minimum"},
		{af.Persistent, open, 52, atrium.ScopeBox, "below"},
		{af.Persistent, open, 52, atrium.ScopeNone, "below"},
		{af.Paroxysmal, open, 42, atrium.ScopeBiatrial, "target"},
		{af.Paroxysmal, open, 42, atrium.ScopeBox, "minimum"},
		{af.Paroxysmal, shut, 42, atrium.ScopeLeftAtrial, "beyond"},
		{af.Paroxysmal, shut, 42, atrium.ScopePulmonaryVeinIsolation, "minimum"},
		{af.Paroxysmal, shut, 47, atrium.ScopePulmonaryVeinIsolation, "below"},
		{af.Permanent, open, 52, atrium.ScopeNone, "not-applicable"},
		{af.Permanent, open, 52, atrium.ScopeBiatrial, "beyond"},
		{"", open, 52, atrium.ScopeBiatrial, "not-applicable"},
	}
	for _, tt := range tests {
		if got := assessment.ScopeAgainstPolicy(pol, tt.pattern, tt.op, tt.mm, tt.scope); got != tt.want {
			t.Errorf("ScopeAgainstPolicy(%s, opened %t, %g mm, %s) = %s, want %s", tt.pattern, tt.op.LeftAtriumOpened, tt.mm, tt.scope, got, tt.want)
		}
	}
}

func TestDecodePolicyRefuses(t *testing.T) {
	tests := []struct{ name, old, new, field, says string }{
		{"weights", "scope: 35,", "scope: 30,", "weights", "add up to 100"},
		{"a weight missing", "scope: 35, ", "", "weights.scope", "must be given"},
		{"letters out of order", "at_least: 93", "at_least: 98", "letters[1]", "worse letter"},
		{"unknown letter", "letter: B+", "letter: E", "letters[3].letter", `"E" is unknown`},
		{"no last letter", "  - {letter: F, at_least: 0}\n", "", "letters", "must start at 0"},
		{"unknown cap", "critical: F\n", "critical: Z\n", "caps.critical", "unknown"},
		{"deduction missing", "  gap: 1\n", "", "deductions.gap", "must be given"},
		{"unknown deduction", "  gap: 1\n", "  gap: 1\n  ennui: 1\n", "deductions.ennui", "unknown"},
		{"negative deduction", "  gap: 1\n", "  gap: -1\n", "deductions.gap", "between 0 and 100"},
		{"goal missing", "mitral: 2, ", "", "closing.shares.mitral", "must be given"},
		{"unknown scope", "target: box", "target: boxes", "rows[6].target", `"boxes" is unknown`},
		{"minimum above target", "minimum: pulmonary-vein-isolation", "minimum: biatrial", "rows[6].minimum", "more than the target"},
		{"unknown pattern", "[paroxysmal], left_atrium_opened: false, left", "[sometimes], left_atrium_opened: false, left", "rows[6].when.patterns[0]", "unknown"},
		{"no row for someone", "    when: {patterns: [permanent]}\n", "    when: {patterns: [permanent], thrombus: true}\n", "rows", "no row is for permanent AF"},
		{"unknown field", "title: Default", "titel: Default", "titel", "unknown field"},
		{"row id twice", "- id: permanent", "- id: emergency", "rows[1].id", "given once"},
		{"unknown floor", "floor_when_safe: D", "floor_when_safe: E", "caps.floor_when_safe", "unknown"},
		{"cap of an unknown finding", "    near-sinus-node: B\n", "    near-the-bone: B\n", "caps.findings.near-the-bone", "unknown"},
		{"unknown cap of a finding", "    near-sinus-node: B\n", "    near-sinus-node: E\n", "caps.findings.near-sinus-node", "unknown"},
		{"unknown structure", "{structure: sinus-node,", "{structure: spleen,", "hazards[0].structure", "unknown"},
		{"distance out of range", "within_mm: 5,", "within_mm: 50,", "hazards[0].within_mm", "between 0 and 30"},
		{"unknown energy", "energies: [unipolar-rf]", "energies: [laser]", "hazards[3].energies[0]", "unknown"},
		{"threshold twice", "{structure: av-node,", "{structure: sinus-node,", "hazards[1]", "has a threshold for bipolar-rf already"},
		{"threshold without source", "within_mm: 5, source: \"common practice, no source\"", "within_mm: 5, source: \"\"", "hazards[0].source", "between 1"},
		{"nothing is too wide", "widest_sinus_rhythm: 30", "widest_sinus_rhythm: 0", "told.widest_sinus_rhythm", "between 1 and 100"},
		{"expectation of nothing", "    - scopes: [none]\n", "    - scopes: []\n", "told.expect[0].scopes", "at least one"},
		{"expectation of an unknown scope", "    - scopes: [none]\n", "    - scopes: [some]\n", "told.expect[0].scopes[0]", "unknown"},
		{"expectation upside down", "{low: 0, high: 5}", "{low: 50, high: 5}", "told.expect[0].sinus_rhythm_percent.low", "not be more than high"},
		{"a scope nothing is expected of", "    - scopes: [box]\n", "    - scopes: [none]\n", "told.expect", "without conditions for box"},
		{"no reasons", "    reasons: [rhythm-control-given-up]\n", "", "rows[1].reasons", "right reasons"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			changed := strings.Replace(string(assessment.DefaultPolicyYAML()), tt.old, tt.new, 1)
			if changed == string(assessment.DefaultPolicyYAML()) {
				t.Fatalf("%q is not in the policy", tt.old)
			}
			_, err := assessment.DecodePolicy("p.yaml", []byte(changed))
			wantFault(t, err, "p.yaml", tt.field, tt.says)
		})
	}
}

// wantFault fails unless err is strict.Faults with a placed fault at field that says says.
func wantFault(t *testing.T, err error, file, field, says string) {
	t.Helper()
	var faults strict.Faults
	if !errors.As(err, &faults) {
		t.Fatalf("error = %v, want faults at %s", err, field)
	}
	for _, fault := range faults.List {
		if fault.Field == field && strings.Contains(fault.Message, says) && fault.Line > 0 && faults.File == file {
			return
		}
	}
	t.Errorf("faults:\n%v\nwant one in %s with a line at %s saying %q", faults, file, field, says)
}
