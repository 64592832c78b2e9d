package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"isthmus/assessment/atrium"
)

// conducted is what the contract of isthmus conduct promises, declared anew so that a renamed field fails here.
type conducted struct {
	Model       string           `json:"model"`
	Scope       string           `json:"scope"`
	LeftAtrium  conductedChamber `json:"left_atrium"`
	RightAtrium conductedChamber `json:"right_atrium"`
	SinusToAV   *bool            `json:"sinus_to_av_node"`
	Veins       []string         `json:"veins_isolated"`
	Wall        *bool            `json:"posterior_wall_isolated"`
	Caution     string           `json:"caution"`
}

type conductedChamber struct {
	Independent *int     `json:"independent_circuits"`
	Isolated    *float64 `json:"isolated_percent"`
	Circuits    []struct {
		Round   []string `json:"round"`
		Length  float64  `json:"length_mm"`
		Verdict string   `json:"verdict"`
	} `json:"circuits"`
	Gaps []any `json:"gaps"`
}

// circuits are lengths in mm by the obstacles a circuit goes round.
type circuits map[string]float64

// lesionSets holds a file for each row of the topology table of the project's design, which an independent earlier program on the same
// geometry made. The counts also follow by hand from Euler's formula: a sphere with n openings has n-1 independent circuits, and the coronary
// sinus strip adds one. Isolated is a share of the left atrium; where the table gives none, no line isolates anything more.
var lesionSets = []struct {
	file        string
	left, right int
	isolated    float64
	scope       string
	inLeft      circuits
	inRight     circuits
}{
	{"1-none.json", 5, 3, 0, "none", circuits{"left-superior-vein": 46.5, "left-inferior-vein": 46.5, "right-superior-vein": 46.5, "right-inferior-vein": 46.5,
		"left-superior-vein left-inferior-vein": 76, "right-superior-vein right-inferior-vein": 76, "mitral-annulus": 123}, intactRight},
	{"2-both-vein-pairs.json", 3, 3, 8, "pulmonary-vein-isolation", circuits{"left-superior-vein left-inferior-vein": 93,
		"right-superior-vein right-inferior-vein": 93, "mitral-annulus": 123}, intactRight},
	{"3-closed-box.json", 2, 3, 15, "box", circuits{"mitral-annulus": 123}, intactRight},
	{"4-box-and-mitral-line.json", 1, 3, 15, "box", circuits{"mitral-annulus": 152}, intactRight},
	{"5-box-mitral-line-and-coronary-sinus.json", 0, 3, 15, "left-atrial", circuits{}, intactRight},
	{"6-appendage-excised-without-its-line.json", 1, 3, 18, "left-atrial", circuits{"left-appendage-stump": 63}, intactRight},
	{"7-left-atrial-set.json", 0, 3, 18, "left-atrial", circuits{}, intactRight},
	{"8-left-atrial-set-and-intercaval-line.json", 0, 2, 18, "left-atrial", circuits{},
		circuits{"tricuspid-annulus": 133, "superior-vena-cava inferior-vena-cava": 149, "coronary-sinus-ostium": 35}},
	{"9-biatrial-set.json", 0, 1, 18, "biatrial", circuits{}, circuits{"coronary-sinus-ostium": 35}},
}

var intactRight = circuits{"coronary-sinus-ostium": 35, "superior-vena-cava": 65, "inferior-vena-cava": 76, "tricuspid-annulus": 133,
	"superior-vena-cava inferior-vena-cava": 149}

// lesionSet is the path of a lesion-set file.
func lesionSet(name string) string { return filepath.Join("..", "..", "testdata", "lesion-sets", name) }

func TestConduct(t *testing.T) {
	for _, row := range lesionSets {
		t.Run(row.file, func(t *testing.T) {
			code, out, errs := command(t, "conduct", lesionSet(row.file))
			var got conducted
			if err := json.Unmarshal([]byte(out), &got); code != 0 || errs != "" || err != nil {
				t.Fatalf("exit %d, %v\n%s%s", code, err, out, errs)
			}
			if got.Scope != row.scope || got.Model != atrium.ModelVersion || got.SinusToAV == nil || !*got.SinusToAV {
				t.Errorf("scope %s, want %s; model %s; sinus node to AV node %v", got.Scope, row.scope, got.Model, got.SinusToAV)
			}
			if got.Caution != "For education. Not advice on a patient. Local policy and licensed practice decide." {
				t.Errorf("caution %q", got.Caution)
			}
			if veins, wall := row.scope != "none", row.isolated >= 15; (len(got.Veins) == 4) != veins || got.Wall == nil || *got.Wall != wall {
				t.Errorf("veins isolated %v, posterior wall %v", got.Veins, got.Wall)
			}
			got.LeftAtrium.check(t, row.left, row.isolated, row.inLeft)
			got.RightAtrium.check(t, row.right, 0, row.inRight)
			if _, again, _ := command(t, "conduct", lesionSet(row.file)); again != out {
				t.Error("the same input gives other bytes")
			}
		})
	}
}

// check compares one chamber with its row: the count exactly, lengths within 10 %, the isolated share within 1.5 percent of the chamber.
// Where a row names no circuit none may be left.
func (c conductedChamber) check(t *testing.T, independent int, isolated float64, named circuits) {
	t.Helper()
	if c.Independent == nil || c.Isolated == nil || c.Gaps == nil || c.Circuits == nil {
		t.Fatalf("fields are missing: %+v", c)
	}
	if *c.Independent != independent || math.Abs(*c.Isolated-isolated) > 1.5 || len(c.Gaps) > 0 {
		t.Errorf("%d independent circuits, %.1f %% isolated, want %d and %.0f %%; gaps %v", *c.Independent, *c.Isolated, independent, isolated, c.Gaps)
	}
	if independent == 0 && len(c.Circuits) > 0 {
		t.Errorf("circuits are left: %+v", c.Circuits)
	}
	for round, want := range named {
		found := false
		for _, circuit := range c.Circuits {
			near := strings.Join(circuit.Round, " ") == round && math.Abs(circuit.Length-want) <= want/10
			found = found || near && circuit.Verdict == verdictOf(circuit.Length)
		}
		if !found {
			t.Errorf("no circuit round %s of %.0f mm within 10 %% in %+v", round, want, c.Circuits)
		}
	}
}

// verdictOf judges by the design's thresholds: harmless under 78 mm (Rensma 1988, Circulation Research, from memory); able to sustain from
// the wavelength after persistent AF on, 0.60 m/s (from memory) x 199 ms (2003, PMID 12784779) = 119.4 mm.
func verdictOf(length float64) string {
	switch {
	case length < 78:
		return "harmless"
	case length < 119.4:
		return "possible"
	}
	return "can-sustain"
}

// TestEveryLesionSetIsChecked: a file without a row would look checked and not be.
func TestEveryLesionSetIsChecked(t *testing.T) {
	files, err := filepath.Glob(lesionSet("*.json"))
	if err != nil || len(files) != len(lesionSets) {
		t.Errorf("%d files, %d rows, %v", len(files), len(lesionSets), err)
	}
}

// TestConductFromStandardInput: - reads the same set from elsewhere and says the same.
func TestConductFromStandardInput(t *testing.T) {
	data, err := os.ReadFile(lesionSet("3-closed-box.json"))
	if err != nil {
		t.Fatal(err)
	}
	_, want, _ := command(t, "conduct", lesionSet("3-closed-box.json"))
	if code, out, errs := commandIn(t, nil, string(data), "conduct", "-"); code != 0 || out != want {
		t.Errorf("exit %d\n%s", code, errs)
	}
}

// TestConductDrawn: a drawn line is the same geometry as a named one, and one that reaches nothing says where it ends.
func TestConductDrawn(t *testing.T) {
	const loose = `{"lesions": [{"chamber": "left-atrium", "path": [[0.2,-0.5,0.8], [0.3,-0.6,0.7]], "closed": false}], "left_appendage": "kept"}`
	code, out, errs := commandIn(t, nil, loose, "conduct", "-")
	var got conducted
	if err := json.Unmarshal([]byte(out), &got); code != 0 || err != nil || len(got.LeftAtrium.Gaps) != 2 || *got.LeftAtrium.Independent != 6 {
		t.Errorf("exit %d, %v, %+v\n%s", code, err, got.LeftAtrium, errs)
	}
}

// TestConductRefuses: every mistake stands on a line of its own with its place, and nothing goes to the output.
func TestConductRefuses(t *testing.T) {
	tests := []struct {
		name, set string
		says      []string
	}{
		{"empty", "", []string{":1:1: empty"}},
		{"cut off", "{\n  \"lesions\": [", []string{":2:14: not JSON"}},
		{"no mapping", "[]", []string{":1:1: must be a mapping, not a list"}},
		{"two documents", `{"lesions": []} {}`, []string{":1:17: not JSON"}},
		{"unknown fields, inside too", "{\"lesions\": [\n  {\"lesion\": \"roof-line\", \"enrgy\": \"cryo\"}],\n \"left_apendage\": \"kept\"}",
			[]string{":2:27: lesions[0].enrgy: unknown field", ":3:2: left_apendage: unknown field"}},
		{"wrong types", "{\"lesions\": [\n  {\"lesion\": 7, \"applications\": \"two\"}],\n \"left_atrium_diameter_mm\": \"50\"}",
			[]string{":2:14: lesions[0].lesion: must be text", ":2:33: lesions[0].applications: must be a number", ":3:29: left_atrium_diameter_mm: must be a number"}},
		{"given twice", `{"left_appendage": "kept", "left_appendage": "excised"}`, []string{":1:28: left_appendage: given twice"}},
		{"mistakes of meaning", "{\"lesions\": [\n  {\"lesion\": \"moat\"},\n  {\"lesion\": \"roof-line\", \"energy\": \"laser\", \"block\": \"yes\", \"applications\": 99}],\n" +
			" \"left_appendage\": \"gone\",\n \"left_atrium_diameter_mm\": 500,\n \"conduction_velocity_m_s\": 60}",
			[]string{`:2:4: lesions[0].lesion: is "moat"`, `:3:27: lesions[1].energy: is "laser"`, `:3:46: lesions[1].block: is "yes"`, ":3:62: lesions[1].applications: is 99",
				`:4:2: left_appendage: is "gone"`, ":5:2: left_atrium_diameter_mm: is 500", ":6:2: conduction_velocity_m_s: is 60"}},
		{"drawn wrongly", "{\"lesions\": [\n  {\"chamber\": \"ventricle\", \"path\": [[0,0,1]]},\n  {\"path\": [[0,0,1],[0,1,0]]},\n  {\"chamber\": \"left-atrium\", \"path\": [[0,0,0],[0,1,0]]},\n" +
			"  {\"chamber\": \"left-atrium\", \"path\": [[0,0,1],[0,1]]}]}", []string{":5:47: lesions[3].path[1]: must have exactly 3 items, not 2"}},
		{"drawn to no sense", "{\"lesions\": [\n  {\"chamber\": \"ventricle\", \"path\": [[0,0,1]]},\n  {\"path\": [[0,0,1],[0,1,0]]},\n  {\"chamber\": \"left-atrium\", \"path\": [[0,0,0],[0,1,0]]}]}",
			[]string{`:2:4: lesions[0].chamber: is "ventricle"`, ":2:28: lesions[0].path: has 1 points", ":3:3: lesions[1].chamber: is missing", ":4:39: lesions[2].path[0]: is no direction"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			file := write(t, "set.json", tt.set)
			code, out, errs := command(t, "conduct", file)
			if code != 1 || out != "" {
				t.Errorf("exit %d\n%s", code, out)
			}
			lines := strings.Split(strings.TrimSuffix(errs, "\n"), "\n")
			for _, want := range tt.says {
				if !slices.ContainsFunc(lines, func(line string) bool { return strings.HasPrefix(line, file+want) }) {
					t.Errorf("no line %s%s in\n%s", file, want, errs)
				}
			}
			if len(lines) != len(tt.says) {
				t.Errorf("%d lines, want %d\n%s", len(lines), len(tt.says), errs)
			}
		})
	}
	for _, file := range []string{filepath.Join(t.TempDir(), "absent.json"), t.TempDir(), write(t, "large.json", strings.Repeat(" ", 1<<20+1))} {
		if code, out, errs := command(t, "conduct", file); code != 1 || out != "" || !strings.Contains(errs, file) {
			t.Errorf("%s: exit %d\n%s%s", file, code, out, errs)
		}
	}
}
