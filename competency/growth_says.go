package competency

import (
	"fmt"
	"math"
)

// saysPattern puts a pattern's track in one or two sentences.
func (t Track) saysPattern() string {
	if t.N == 0 {
		return "No plan yet."
	}
	if t.First.N == 0 {
		return fmt.Sprintf("No first try in practice; %d of %s at %s or better.", t.Tests.Hits, plural(t.Tests.N, "test"), GrowthLetter)
	}
	return fmt.Sprintf("%d of %s at %s or better", t.First.Hits, firstTries(t.First.N), GrowthLetter) + t.words("reached it", GrowthLetter+" or better")
}

// saysOmission puts an omission's track in one or two sentences.
func (t Track) saysOmission() string {
	if t.N == 0 {
		return "No plan yet in which it could be made."
	}
	if t.First.N == 0 {
		return fmt.Sprintf("No first try in practice; made in %d of %s.", t.Tests.Hits, plural(t.Tests.N, "test"))
	}
	return fmt.Sprintf("Made in %d of %s in which it could be", t.First.Hits, firstTries(t.First.N)) + t.words("made it", "the omission")
}

// firstTries counts first tries.
func firstTries(n int) string {
	if n == 1 {
		return "1 first try"
	}
	return fmt.Sprintf("%d first tries", n)
}

// words is the share with its interval and how it changes, or that there are too few for one.
func (t Track) words(did, what string) string {
	s := t.First
	if s.Interval == nil {
		return fmt.Sprintf(": too few to say more, which takes %d, or %d to say whether it changes.", GrowthLeastN, 2*GrowthLeastN)
	}
	share := fmt.Sprintf(" (%.0f %%, %.0f %% interval %.0f to %.0f %%). ", 100*s.Share, 100*s.Interval.Level, math.Round(100*s.Interval.Low), math.Round(100*s.Interval.High))
	return share + t.change(did, what)
}

// change says how the later half of first tries stands to the earlier half.
func (t Track) change(did, what string) string {
	halves := fmt.Sprintf("%d of %d of the later half %s, %d of %d of the earlier", t.Later.Hits, t.Later.N, did, t.Earlier.Hits, t.Earlier.N)
	switch t.Change {
	case MoreOften:
		return "Later first tries show " + what + " more often: " + halves + "."
	case LessOften:
		return "Later first tries show " + what + " less often: " + halves + "."
	case NoClearChange:
		return "No clear change: " + halves + "; the intervals overlap."
	}
	return fmt.Sprintf("Whether that changes is too early to say: it takes %d first tries.", 2*GrowthLeastN)
}
