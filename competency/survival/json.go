package survival

import (
	"encoding/json"
	"math"
)

// MarshalJSON writes null where the survival is 0 and has no standard error and no limits: JSON has no NaN.
func (s Step) MarshalJSON() ([]byte, error) {
	type plain Step
	return json.Marshal(struct {
		plain
		StandardError, Low, High *float64
	}{plain(s), known(s.StandardError), known(s.Low), known(s.High)})
}

// known points at a number that JSON can hold.
func known(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}
