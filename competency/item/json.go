package item

import (
	"encoding/json"
	"math"
)

// MarshalJSON writes null for the correlations of an item that does not vary: JSON has no NaN.
func (a Analysis) MarshalJSON() ([]byte, error) {
	type plain Analysis
	return json.Marshal(struct {
		plain
		Total, Corrected *float64
	}{plain(a), known(a.Total), known(a.Corrected)})
}

// MarshalJSON writes null for the likeliest ability of all wrong or all right, which is infinite.
func (p Person) MarshalJSON() ([]byte, error) {
	type plain Person
	return json.Marshal(struct {
		plain
		Likely, LikelySE *float64
	}{plain(p), known(p.Likely), known(p.LikelySE)})
}

// MarshalJSON writes null for the spread between judges where there is one judge.
func (c Cut) MarshalJSON() ([]byte, error) {
	type plain Cut
	return json.Marshal(struct {
		plain
		Deviation, SE *float64
	}{plain(c), known(c.Deviation), known(c.SE)})
}

// known points at a number that JSON can hold.
func known(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
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
