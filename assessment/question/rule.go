package question

// Rule is how an item with options is marked.
type Rule string

// The rules. Every one gives 1 for exactly the key and never less than 0 or more than 1.
const (
	// AllOrNothing gives 1 for exactly the key and 0 for everything else: the rule of every kind unless another is named.
	AllOrNothing Rule = "all-or-nothing"

	// HalfFromHalf gives 1/2 from half of the right options on. It is for several answers where no more may be chosen than the key has:
	// the rule called PS50 by Bauer and others 2011, Adv Health Sci Educ 16:211, 10.1007/s10459-010-9256-1 (abstract), where it was as
	// reliable as any.
	HalfFromHalf Rule = "half-from-half"

	// Share gives each right option its equal part: the rule called PS1/m in the same comparison.
	Share Rule = "share"

	// Pairs gives an order the pairs that stand right less those that stand wrong, of all pairs, and nothing below 0: the rank correlation
	// of Kendall 1938, Biometrika 30:81 (from memory), so that an order by chance is worth nothing on average. Common practice to mark by it, no source.
	Pairs Rule = "pairs"
)

// rulesOf are the rules each kind may have; a number or a drawing is right or it is not.
var rulesOf = map[Kind][]Rule{
	SingleBest: {AllOrNothing},
	Several:    {AllOrNothing, HalfFromHalf, Share},
	Numeric:    {AllOrNothing},
	Ordering:   {AllOrNothing, Pairs},
	OnMap:      {AllOrNothing},
}

// rule is the item's, the default where it names none.
func (it Item) rule() Rule {
	if it.Rule == "" {
		return AllOrNothing
	}
	return it.Rule
}

// Scheme is how a whole test is marked. The zero value is the default: nothing is ever taken away.
type Scheme struct {
	// Negative takes 1/(n-1) for a wrong answer to a single best answer of n options, so that guessing gains nothing on average: the
	// classical correction for guessing (from memory). Items of other kinds, and those left out, are never below 0.
	Negative bool `json:"negative,omitempty"`
}
