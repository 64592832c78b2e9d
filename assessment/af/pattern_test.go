package af_test

import (
	"testing"

	"isthmus/assessment/af"
)

func TestNonParoxysmal(t *testing.T) {
	for pattern, want := range map[af.Pattern]bool{af.Paroxysmal: false, af.Persistent: true, af.LongStandingPersistent: true, af.Permanent: true, "": false} {
		if pattern.NonParoxysmal() != want {
			t.Errorf("%q.NonParoxysmal() = %t", pattern, !want)
		}
	}
}
