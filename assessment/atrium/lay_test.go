package atrium

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// TestLay: the geometry alone is that of the whole result, less what tells of effect.
func TestLay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		set := anySet(t)
		r, err := coarse.Conduct(set)
		if err != nil {
			t.Fatal(err)
		}
		for i := range r.Lesions {
			r.Lesions[i].Recognised = ""
		}
		if laid, err := coarse.Lay(set); err != nil || !reflect.DeepEqual(laid, r.Lesions) {
			t.Fatalf("laid as %+v (%v), conducted as %+v", laid, err, r.Lesions)
		}
	})
	if _, err := coarse.Lay(LesionSet{Lesions: []Lesion{{Name: "roof"}}}); err == nil {
		t.Error("an unknown lesion was laid")
	}
}
