package rating

import (
	"encoding/json"
	"math"
)

// MarshalJSON writes null where there is no test against chance, because no agreement can differ from it: JSON has no NaN.
func (a Agreement) MarshalJSON() ([]byte, error) {
	type plain Agreement
	return json.Marshal(struct {
		plain
		Z *float64
	}{plain(a), known(a.Z)})
}

// MarshalJSON writes null for an alpha without an item that there is not: JSON has no NaN.
func (c Consistency) MarshalJSON() ([]byte, error) {
	type plain Consistency
	without := make([]*float64, len(c.Without))
	for i, alpha := range c.Without {
		without[i] = known(alpha)
	}
	return json.Marshal(struct {
		plain
		Without []*float64
	}{plain(c), without})
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
