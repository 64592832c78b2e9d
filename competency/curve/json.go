package curve

import (
	"encoding/json"
	"math"
)

// MarshalJSON writes null for a limit that there is not: JSON has no infinity.
func (t Target) MarshalJSON() ([]byte, error) {
	type plain Target
	return json.Marshal(struct {
		plain
		Low, High *float64
	}{plain(t), known(t.Low), known(t.High)})
}

// known points at a number that JSON can hold.
func known(x float64) *float64 {
	if !finite(x) {
		return nil
	}
	return &x
}

// sane reports whether all are numbers whose squares can be added up.
func sane(list ...float64) bool {
	for _, x := range list {
		if !(math.Abs(x) <= 1e9) {
			return false
		}
	}
	return true
}

// finite reports whether all are numbers, and not infinite.
func finite(list ...float64) bool {
	for _, x := range list {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
