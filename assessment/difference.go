package assessment

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
)

// Difference is one thing in which two plans for the same scenario differ, as a surgeon would say it. Swapping the plans swaps Yours with
// Theirs and the two places, and changes nothing else.
type Difference struct {
	Topic  Topic  `json:"topic"`
	About  string `json:"about"` // what differs, for example 'Roof line' or 'A circuit round the tricuspid annulus'
	Yours  string `json:"yours"`
	Theirs string `json:"theirs"`
	Means  string `json:"means"`            // one sentence: what the difference does
	Source string `json:"source,omitempty"` // of that sentence; empty when it follows from the two results alone

	// Place is where it shows on the map of your plan, TheirPlace on theirs; each with the indexes of its own plan and result. Both are
	// absent for what has no place.
	Place      *Place `json:"place,omitempty"`
	TheirPlace *Place `json:"their_place,omitempty"`
}

// Topic says what kind of thing differs.
type Topic string

// The topics, in the order a comparison lists them.
const (
	TopicDecision  Topic = "decision"  // ablate or not, and why
	TopicScope     Topic = "scope"     // what the lines amount to
	TopicLesion    Topic = "lesion"    // made in one plan only, or joined in one only
	TopicDelivery  Topic = "delivery"  // energy, applications, block test of one lesion
	TopicEffect    Topic = "effect"    // what is left: circuits, veins, wall, islands
	TopicMeasure   Topic = "measure"   // delay, lengths and distances
	TopicAppendage Topic = "appendage" // what is done with the left appendage
	TopicSteps     Topic = "steps"
	TopicPacing    Topic = "pacing"
	TopicTold      Topic = "told"
	TopicAftercare Topic = "aftercare"
)

// comparison is two plans being compared.
type comparison struct {
	scenario      Scenario
	yours, theirs half
	list          []Difference
}

// half is one of the two plans with what its lines do.
type half struct {
	plan   Plan
	result atrium.Result
	made   []made
}

// Compare lists the differences between two plans for a scenario, y and t being the conduction results of their lesions on the scenario's
// patient: what is decided, the lesions, what each plan leaves, and what follows the operation, as far as the scenario asks for it.
// Lesions are matched by name, then by the named lesion whose work they do, then by what they join or enclose. It is pure, and a plan
// differs in nothing from itself.
func Compare(s Scenario, yours, theirs Plan, y, t atrium.Result) []Difference {
	c := &comparison{
		scenario: s, list: []Difference{},
		yours:  half{yours, y, lesionsMade(s.Patient, yours, y)},
		theirs: half{theirs, t, lesionsMade(s.Patient, theirs, t)},
	}
	c.ablation()
	if s.asked(AskLesionSet) || s.asked(AskAblation) {
		c.scope()
		if yours.ablates() && theirs.ablates() {
			c.lesions()
		} else {
			c.oneSided()
		}
		c.effects()
		c.measures()
	}
	c.decisions()
	return c.list
}

// differ enters a difference unless both sides say the same.
func (c *comparison) differ(d Difference) {
	if d.Yours != d.Theirs {
		c.list = append(c.list, d)
	}
}

// ofKind gives a difference the reason and source that a finding of that code has.
func ofKind(code string, d Difference) Difference {
	k, known := kinds[code]
	if !known {
		panic("assessment: no finding " + code)
	}
	d.Means, d.Source = k.why, k.source
	return d
}

// ablation compares the decision to ablate and, where both decline, the reason.
func (c *comparison) ablation() {
	says := func(p Plan) string {
		if p.ablates() {
			return "ablate"
		}
		return "no ablation: " + inWords(p.Reason)
	}
	yours, theirs := c.yours.plan, c.theirs.plan
	d := Difference{Topic: TopicDecision, About: "Ablation", Yours: says(yours), Theirs: says(theirs)}
	if yours.ablates() == theirs.ablates() {
		d = ofKind("reason-wrong", d)
		d.Means = "The decision is the same, the reason is not: with another patient the two would part."
	} else {
		d.Means = "Everything else follows from this decision; the patient's AF, the risk of today and what the lines could reach decide it."
		d.Source = commonPractice
	}
	c.differ(d)
}

// scope compares what the lines amount to.
func (c *comparison) scope() {
	yours, theirs := c.yours.result.Scope, c.theirs.result.Scope
	higher := yours
	if theirs.Rank() > yours.Rank() {
		higher = theirs
	}
	c.differ(Difference{Topic: TopicScope, About: "Scope reached", Yours: scopeNames[yours], Theirs: scopeNames[theirs], Means: scopeAdds[higher]})
}

// scopeAdds says what a scope has beyond the one below it.
var scopeAdds = map[atrium.Scope]string{
	atrium.ScopePulmonaryVeinIsolation: "Vein isolation shuts in all four veins, where most triggers are.",
	atrium.ScopeBox:                    "A closed box isolates the wall between the veins as well as the veins.",
	atrium.ScopeLeftAtrial:             "A left atrial set leaves no circuit in the left atrium that is long enough to hold a wave.",
	atrium.ScopeBiatrial:               "A biatrial set leaves no circuit in either atrium that is long enough to hold a wave.",
}

// oneSided names the lesions of the plan that ablates where the other does not; without either there is nothing to say.
func (c *comparison) oneSided() {
	says := func(s half) string {
		names := make([]string, len(s.made))
		for i, l := range s.made {
			names[i] = lower(l.title())
		}
		slices.Sort(names)
		if len(names) == 0 {
			return "none"
		}
		return fmt.Sprintf("%s: %s", count(len(names), "lesion"), strings.Join(names, ", "))
	}
	c.differ(Difference{
		Topic: TopicLesion, About: "Lesion set", Yours: says(c.yours), Theirs: says(c.theirs),
		Means: "One plan changes the atria and the other leaves them as they are.",
	})
}

// count counts things whose plural takes an s.
func count(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// lower makes the first letter of a sentence a small one; titles begin with ASCII letters.
func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// inWords says an id in the words of the field; an id without an entry is its own words.
func inWords[T ~string](id T) string {
	if text, known := comparedWords[string(id)]; known {
		return text
	}
	return strings.ReplaceAll(string(id), "-", " ")
}

// comparedWords are the ids that need other words than their own.
var comparedWords = map[string]string{
	string(RhythmControlGivenUp): "rhythm control is given up", string(Thrombus): "clot in the atrium", string(RiskTooHigh): "the risk is too high",
	string(atrium.BipolarRF): "bipolar radiofrequency", string(atrium.UnipolarRF): "unipolar radiofrequency", string(atrium.Cryo): "cryothermy", "": "not said",
	string(atrium.EntranceBlock): "entrance block tested", string(atrium.ExitBlock): "exit block tested",
	string(atrium.ExitAndEntrance): "exit and entrance block tested", string(atrium.Bidirectional): "block tested both ways", string(atrium.NotTested): "block not tested",
	"internal-suture": "suture from inside", byStrokeRisk: "then by stroke risk", "stop-if-sinus-rhythm": "then stop if in sinus rhythm", "stop": "then stop",
	"av-node": "AV node",
}
