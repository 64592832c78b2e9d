package competency

import (
	"fmt"
	"iter"
	"math"
	"strings"
)

// What the hits of a share did.
const (
	practiceLess  = "less than the policy asks for"
	practiceBelow = "less than the least the policy accepts"
)

// Shares are all shares with what their hits are in words; each has its own Of.
func (p Practice) Shares() iter.Seq2[PracticeShare, string] {
	return func(yield func(PracticeShare, string) bool) {
		on := true
		put := func(s PracticeShare, says string) { on = on && yield(s, says) }
		scopes := func(of string, shares []PracticeShare) {
			for i, s := range shares {
				put(s, of+": "+ScopeChoices[i].Name)
			}
		}
		put(p.NotAsked, "the policy asks for no scope")
		put(p.Less, practiceLess)
		put(p.Below, practiceBelow)
		for _, pattern := range p.Patterns {
			name := "AF pattern unknown"
			if pattern.Pattern != "" {
				name = nameOf(PatternChoices, string(pattern.Pattern)) + " AF"
			}
			put(pattern.Less, name+": "+practiceLess)
			scopes(name, pattern.Scopes)
		}
		for _, q := range p.Quarters {
			q.shares(strings.Replace(q.Name, "-", " ", 1), put, scopes)
		}
		for _, site := range p.Sites {
			site.shares(site.Name, put, scopes)
		}
		for _, step := range p.Steps {
			put(step.LeftOut, step.Name+": left out")
			for _, lesion := range step.Lesions {
				put(lesion.LeftOut, lesion.Name+": left out")
			}
		}
	}
}

func (p PeriodPractice) shares(name string, put func(PracticeShare, string), scopes func(string, []PracticeShare)) {
	put(p.Less, name+": "+practiceLess)
	put(p.Below, name+": "+practiceBelow)
	scopes(name, p.Scopes)
}

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
