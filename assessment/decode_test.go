package assessment_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"isthmus/assessment"
)

// starter reads a starter scenario as a file.
func starter(t testing.TB, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("pack", "scenarios", name))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestDecodeScenarioRefuses(t *testing.T) {
	right := starter(t, "01-persistent-mitral-repair.yaml")
	tests := []struct{ name, old, new, field, says string }{
		{"id", "id: persistent", "id: Persistent", "id", "lower-case words"},
		{"version", "version: 1", "version: 0", "version", "1 or more"},
		{"status", "status: live", "status: alive", "status", `"alive" is unknown: use draft, in-review, live or retired`},
		{"age", "age: 63", "age: 12", "patient.age", "between 18 and 110"},
		{"diameter", "left_atrium_mm: 52", "left_atrium_mm: 520", "patient.left_atrium_mm", "between 25 and 90, not 520"},
		{"regurgitation", "mitral_regurgitation: severe", "mitral_regurgitation: terrible", "patient.mitral_regurgitation", "unknown"},
		{"stroke item", "[hypertension]", "[hypertension, age-75-or-over]", "patient.stroke_risk_items[1]", "contradicts the age"},
		{"stroke item twice", "[hypertension]", "[hypertension, hypertension]", "patient.stroke_risk_items[1]", "twice"},
		{"contradictory history", "ends: does-not-end", "ends: by-itself", "patient.af.ends", "has not ended by itself"},
		{"exactly a year", "continuous_months: 5", "continuous_months: 12", "patient.af.continuous_months", "exactly 12 months"},
		{"operation", "primary: mitral", "primary: mitre", "operation.primary", "unknown"},
		{"opened off bypass", "on_bypass: true", "on_bypass: false", "operation.left_atrium_opened", "off bypass"},
		{"asks nothing", "asks: [ablation, lesion-set, appendage, aftercare]", "asks: []", "asks", "at least one"},
		{"asks twice", "asks: [ablation, lesion-set", "asks: [ablation, ablation", "asks[1]", "twice"},
		{"unknown lesion of an expert", "lesion: roof-line", "lesion: rooftop-line", "expert[0].plan.lesions[2].lesion", ""},
		{"unknown energy of an expert", "energy: cryo", "energy: laser", "expert[0].plan.lesions[2].energy", ""},
		{"flawed letter", "letter: B\n", "letter: E\n", "flawed[0].letter", "unknown"},
		{"flawed code", "codes: [scope-at-minimum", "codes: [scope-at-large", "flawed[0].codes[0]", "unknown"},
		{"unknown field", "  age: 63", "  age: 63\n  shoe_size: 44", "patient.shoe_size", "unknown field"},
		{"note without source", "source: \"Nitta 2025, PMID 40061540 (as cited)\"", "source: \"\"", "notes[1].source", "between 1"},
		{"negative limit", "asks: [", "minutes_limit: -1\nasks: [", "minutes_limit", "between 0 and 240"},
		{"limit of a day", "asks: [", "minutes_limit: 1440\nasks: [", "minutes_limit", "between 0 and 240, not 1440"},
		{"accepts nothing", "notes:", "alternatives:\n  - {why: because}\nnotes:", "alternatives[0]", "must name a scope or a finding"},
		{"accepts two things", "notes:", "alternatives:\n  - {scope: box, finding: gap, why: because}\nnotes:", "alternatives[0].finding", "not both"},
		{"accepts an unknown scope", "notes:", "alternatives:\n  - {scope: boxes, why: because}\nnotes:", "alternatives[0].scope", "unknown"},
		{"accepts an unknown finding", "notes:", "alternatives:\n  - {finding: gaps, why: because}\nnotes:", "alternatives[0].finding", "unknown"},
		{"accepts what is critical", "notes:", "alternatives:\n  - {finding: thrombus-handled, why: because}\nnotes:", "alternatives[0].finding", "is critical"},
		{"accepts without a reason", "notes:", "alternatives:\n  - {finding: gap}\nnotes:", "alternatives[0].why", "between 1"},
		{"unknown decision", "asks: [ablation,", "asks: [weather,", "asks[0]", "steps, pacing or told"},
		{"wrong type", "age: 63", "age: sixty-three", "patient.age", "must be a number, not text"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			changed := strings.Replace(right, tt.old, tt.new, 1)
			if changed == right {
				t.Fatalf("%q is not in the scenario", tt.old)
			}
			_, err := assessment.DecodeScenario("s.yaml", []byte(changed))
			wantFault(t, err, "s.yaml", tt.field, tt.says)
		})
	}
}

func TestLiveScenarioNeedsExpert(t *testing.T) {
	text := starter(t, "01-persistent-mitral-repair.yaml")
	from, to := strings.Index(text, "expert:"), strings.Index(text, "flawed:")
	_, err := assessment.DecodeScenario("s.yaml", []byte(text[:from]+text[to:]))
	wantFault(t, err, "s.yaml", "expert", "at least one expert's plan")
}

func TestForTrainee(t *testing.T) {
	s, err := assessment.DecodeScenario("s.yaml", []byte(starter(t, "08-clot-at-mitral-replacement.yaml")))
	if err != nil {
		t.Fatal(err)
	}
	if shown := s.ForTrainee(); shown.Expert != nil || shown.Flawed != nil || shown.Alternative != nil || shown.Vignette != s.Vignette {
		t.Errorf("a trainee is shown the answers: %+v", shown)
	}
}

const plan = `{
  "ablate": true,
  "lesions": [
    {"lesion": "left-pulmonary-vein-isolation", "energy": "bipolar-rf", "applications": 2, "block": "entrance"},
    {"chamber": "left-atrium", "path": [[-0.3, -0.24, 0.9], [-0.3, -0.6, 0.6]], "energy": "cryo"}
  ],
  "left_appendage": {"state": "excised", "method": "excision-and-suture"},
  "aftercare": {"anticoagulation_months": 3, "anticoagulation_then": "by-stroke-risk", "monitoring_months": [3, 6, 12], "monitoring_hours": 24},
  "steps": ["vein-isolation", "block-test", "arrest"],
  "pacing_wires": "atrial-and-ventricular",
  "told": {"sinus_rhythm_percent": {"low": 60, "high": 80}, "pacemaker_percent": {"low": 5, "high": 15}}
}`

func TestDecodePlan(t *testing.T) {
	if _, err := assessment.DecodePlan([]byte(plan)); err != nil {
		t.Fatal(err)
	}
	tests := []struct{ name, old, new, field, says string }{
		{"no decision", `"ablate": true,`, "", "ablate", "true or false"},
		{"a reason to ablate", `"ablate": true,`, `"ablate": true, "reason": "thrombus",`, "reason", "leave it out"},
		{"lesions without ablation", `"ablate": true,`, `"ablate": false, "reason": "thrombus",`, "lesions", "must be empty"},
		{"no ablation, no reason", `"ablate": true,`, `"ablate": false,`, "reason", "unknown"},
		{"unknown lesion", "left-pulmonary", "middle-pulmonary", "lesions[0].lesion", ""},
		{"unknown energy", "bipolar-rf", "steam", "lesions[0].energy", ""},
		{"unknown block test", "entrance", "hopeful", "lesions[0].block", ""},
		{"applications out of range", `"applications": 2`, `"applications": -2`, "lesions[0].applications", ""},
		{"unknown chamber", "left-atrium", "left-ventricle", "lesions[1].chamber", ""},
		{"unknown state", `"excised"`, `"evicted"`, "left_appendage.state", "kept, excised or excluded"},
		{"no state", `"state": "excised", `, "", "left_appendage.state", "unknown"},
		{"unknown method", "excision-and-suture", "glue", "left_appendage.method", "unknown"},
		{"months", `"anticoagulation_months": 3`, `"anticoagulation_months": 300`, "aftercare.anticoagulation_months", "between 0 and 120"},
		{"then", "by-stroke-risk", "by-mood", "aftercare.anticoagulation_then", "unknown"},
		{"month twice", "[3, 6, 12]", "[3, 3]", "aftercare.monitoring_months[1]", "twice"},
		{"hours", `"monitoring_hours": 24`, `"monitoring_hours": -1`, "aftercare.monitoring_hours", "between"},
		{"unknown step", `"arrest"]`, `"lunch"]`, "steps[2]", "closure-check or pacing-wires"},
		{"a step twice", `"arrest"]`, `"block-test"]`, "steps[2]", "twice"},
		{"eleven steps", `"arrest"]`, `"arrest", "arrest", "arrest", "arrest", "arrest", "arrest", "arrest", "arrest", "arrest"]`, "steps", "at most 10"},
		{"unknown wires", `"atrial-and-ventricular"`, `"atrial-only"`, "pacing_wires", "ventricular-only or none"},
		{"range upside down", `"low": 60, "high": 80`, `"low": 80, "high": 60`, "told.sinus_rhythm_percent.low", "not be more than high, 60"},
		{"beyond 100 %", `"low": 5, "high": 15`, `"low": 5, "high": 115`, "told.pacemaker_percent.high", "between 0 and 100, not 115"},
		{"below 0 %", `"low": 5, "high": 15`, `"low": -5, "high": 15`, "told.pacemaker_percent.low", "between 0 and 100, not -5"},
		{"unknown field", `"ablate": true,`, `"ablate": true, "sure": true,`, "sure", "unknown field"},
		{"wrong type", `"ablate": true,`, `"ablate": "yes",`, "ablate", "must be true or false, not text"},
		{"null", `"ablate": true,`, `"ablate": null,`, "ablate", "must be true or false"},
		{"long note", `"ablate": true,`, `"ablate": true, "note": "` + strings.Repeat("a", 2001) + `",`, "note", "between 0 and 2000"},
		{"not JSON", `"ablate": true,`, `"ablate": tru,`, "", "not JSON"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			changed := strings.Replace(plan, tt.old, tt.new, 1)
			if changed == plan {
				t.Fatalf("%q is not in the plan", tt.old)
			}
			_, err := assessment.DecodePlanFile("p.json", []byte(changed))
			wantFault(t, err, "p.json", tt.field, tt.says)
		})
	}
}

func TestDecodePlanTooLarge(t *testing.T) {
	if _, err := assessment.DecodePlan([]byte(`{"note": "` + strings.Repeat("a", 1<<20) + `"}`)); err == nil || !strings.Contains(err.Error(), "larger than") {
		t.Errorf("a plan of more than a mebibyte: %v", err)
	}
}
