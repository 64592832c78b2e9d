package competency

import (
	"fmt"
	"math"
)

// says puts the commonest omission in a sentence, with the share it is about: the step of scope left out in most operations, of several the
// one that takes more.
func (p Practice) says() (sentence, of string) {
	if p.Less.N == 0 {
		return "Nothing is on record yet for which the policy asks for a scope.", p.Less.Of
	}
	worst := 0
	for i, step := range p.Steps {
		if step.LeftOut.Hits >= p.Steps[worst].LeftOut.Hits {
			worst = i
		}
	}
	if s := p.Steps[worst].LeftOut; s.Hits > 0 {
		what := "it"
		if scopeSteps[worst].many {
			what = "them"
		}
		return fmt.Sprintf("%s: left out in %d of %d in which the policy asks for %s (%s).", scopeSteps[worst].name, s.Hits, s.N, what, s.inWords()), s.Of
	}
	return fmt.Sprintf("Nothing the policy asks for was left out in %d (at most %.0f %%, %.0f %% interval).", p.Less.N, math.Round(100**p.Less.High), 100*PracticeLevel), p.Less.Of
}

// inWords is the share with its interval; it must have some n.
func (s PracticeShare) inWords() string {
	return fmt.Sprintf("%.0f %%, %.0f %% interval %.0f to %.0f %%", math.Round(100**s.Share), 100*PracticeLevel, math.Round(100**s.Low), math.Round(100**s.High))
}
