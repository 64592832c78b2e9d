package atrium

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"isthmus/assessment/strict"
)

func TestParseLesionSet(t *testing.T) {
	long := `{"lesions": [` + strings.TrimSuffix(strings.Repeat(`{"lesion": "roof-line"},`, MostLesions+1), ",") + `]}`
	many := make([]string, MostPoints+1)
	for i := range many {
		many[i] = fmt.Sprintf("[%.4f,0.1,0.9]", math.Sin(float64(i)))
	}
	for _, c := range []struct{ name, file, field string }{
		{"not JSON", `{"lesions": [`, ""},
		{"unknown field", `{"lesions": [], "lession": 1}`, "lession"},
		{"wrong type", `{"lesions": [{"lesion": 4}]}`, "lesions[0].lesion"},
		{"unknown lesion", `{"lesions": [{"lesion": "roof"}]}`, "lesions[0].lesion"},
		{"unknown energy", `{"lesions": [{"lesion": "roof-line", "energy": "steam"}]}`, "lesions[0].energy"},
		{"applications out of range", `{"lesions": [{"lesion": "roof-line", "applications": 11}]}`, "lesions[0].applications"},
		{"named with a path", `{"lesions": [{"lesion": "roof-line", "path": [[1,0,0],[0,1,0]]}]}`, "lesions[0].lesion"},
		{"drawn without chamber", `{"lesions": [{"path": [[1,0,0],[0,1,0]]}]}`, "lesions[0].chamber"},
		{"unknown chamber", `{"lesions": [{"chamber": "ventricle", "path": [[1,0,0],[0,1,0]]}]}`, "lesions[0].chamber"},
		{"one point", `{"lesions": [{"chamber": "left-atrium", "path": [[1,0,0]]}]}`, "lesions[0].path"},
		{"no direction", `{"lesions": [{"chamber": "left-atrium", "path": [[0,0,0],[0,1,0]]}]}`, "lesions[0].path[0]"},
		{"no length", `{"lesions": [{"chamber": "left-atrium", "path": [[0,1,0],[0,1,0]]}]}`, "lesions[0].path"},
		{"opposite points", `{"lesions": [{"chamber": "left-atrium", "path": [[0,1,0],[0,-1,0]]}]}`, "lesions[0].path[1]"},
		{"opposite ends of a ring", `{"lesions": [{"chamber": "left-atrium", "closed": true, "path": [[1,0,0],[0,1,0],[-1,0,0]]}]}`, "lesions[0].path[0]"},
		{"ring of two points", `{"lesions": [{"chamber": "left-atrium", "closed": true, "path": [[1,0,0],[0,1,0]]}]}`, "lesions[0].path"},
		{"two coordinates", `{"lesions": [{"chamber": "left-atrium", "path": [[1,0],[0,1,0]]}]}`, "lesions[0].path[0]"},
		{"beyond any number", `{"lesions": [{"chamber": "left-atrium", "path": [[1e400,0,0],[0,1,0]]}]}`, "lesions[0].path[0][0]"},
		{"given twice", `{"lesions": [{"lesion": "roof-line", "lesion": "floor-line"}]}`, "lesions[0].lesion"},
		{"empty lesion", `{"lesions": [{}]}`, "lesions[0].chamber"},
		{"unknown block test", `{"lesions": [{"lesion": "roof-line", "block": "yes"}]}`, "lesions[0].block"},
		{"right diameter", `{"lesions": [], "right_atrium_diameter_mm": 7}`, "right_atrium_diameter_mm"},
		{"too many lesions", long, "lesions"},
		{"too many points", `{"lesions": [{"chamber": "left-atrium", "path": [` + strings.Join(many, ",") + `]}]}`, "lesions"},
		{"appendage", `{"lesions": [], "left_appendage": "gone"}`, "left_appendage"},
		{"diameter", `{"lesions": [], "left_atrium_diameter_mm": 900}`, "left_atrium_diameter_mm"},
		{"velocity", `{"lesions": [], "conduction_velocity_m_s": -1}`, "conduction_velocity_m_s"},
		{"refractory period", `{"lesions": [], "refractory_period_ms": 1e9}`, "refractory_period_ms"},
	} {
		_, err := ParseLesionSet("set.json", []byte(c.file))
		var faults strict.Faults
		if !errors.As(err, &faults) {
			t.Errorf("%s: error %v, want faults", c.name, err)
			continue
		}
		if first := faults.List[0]; first.Field != c.field || first.Line != 1 && c.field != "" {
			t.Errorf("%s: fault at %q line %d, want %q line 1: %v", c.name, first.Field, first.Line, c.field, err)
		}
	}
	if (Lesion{Chamber: LeftAtrium, Path: []Vec{{math.NaN(), 0, 1}, {0, 1, 0}}}).Validate().Err() == nil {
		t.Error("a NaN passed as a direction")
	}
}

func TestParseAccepts(t *testing.T) {
	set, err := ParseLesionSet("", []byte(`{"lesions": [
		{"lesion": "left-pulmonary-vein-isolation", "energy": "bipolar-rf", "applications": 2, "block": "exit-and-entrance"},
		{"chamber": "left-atrium", "path": [[-0.30,-0.24,0.90], [-0.30,-0.60,0.60]], "closed": false}],
		"left_appendage": "kept", "left_atrium_diameter_mm": 52}`))
	if err != nil {
		t.Fatal(err)
	}
	if len(set.Lesions) != 2 || set.Lesions[0].Applications != 2 || set.Lesions[1].Path[1][1] != -0.60 {
		t.Errorf("read as %+v", set)
	}
}

// FuzzParseLesionSet: whatever comes in, there is an error or a result whose JSON can be read again, and no panic.
func FuzzParseLesionSet(f *testing.F) {
	for _, row := range table {
		data, err := json.Marshal(row.set)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(`{"lesions": [{"chamber": "right-atrium", "path": [[0.5,-0.1,0.7],[0.9,0,0.1],[0.3,-0.2,-0.8]], "closed": true}]}`))
	small := New(6) // coarse, so that the fuzzer tries many sets
	f.Fuzz(func(t *testing.T, data []byte) {
		set, err := ParseLesionSet("", data)
		if err != nil {
			return
		}
		r, err := small.Conduct(set)
		if err != nil {
			t.Fatalf("a set that parsed was refused: %v", err)
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err)
		}
		if laid, err := small.Lay(set); err != nil || len(laid) != len(set.Lesions) {
			t.Fatalf("%d of %d lesions laid: %v", len(laid), len(set.Lesions), err)
		}
	})
}
