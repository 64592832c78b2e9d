package qti

import (
	"strconv"

	"isthmus/assessment/question"
)

// Expressions and rules of response processing, by the names of the schema.
func variable() *element { return el("qti-variable", "identifier", response) }
func correct() *element  { return el("qti-correct", "identifier", response) }

func base(kind, text string) *element { return el("qti-base-value", "base-type", kind).says(text) }

func set(outcome string, expression *element) *element {
	return el("qti-set-outcome-value", "identifier", outcome).with(expression)
}

// shown adds modal feedback: one outcome of several identifiers (MultipleDType takes single and multiple values alike).
func shown(identifiers ...string) *element {
	all := el("qti-multiple")
	for _, id := range identifiers {
		all.with(base("identifier", id))
	}
	return set(feedback, all)
}

// processingOf marks the response as the item's rule does, and shows the feedback on what was answered and the rationale. Orders marked
// by pairs are marked all or nothing: no operator of the standard tells where a value stands in an order.
func processingOf(it question.Item) *element {
	processing := el("qti-response-processing")
	switch it.Kind {
	case question.Numeric:
		return processing.with(numberMarked(*it.Number))
	case question.Ordering:
		all := []string{}
		for _, o := range it.Options {
			all = append(all, ncname(o.ID))
		}
		return processing.with(matched(it), shown(append(all, rationale)...))
	}
	if it.Rule == question.Share {
		processing.with(set(score, el("qti-divide").with(el("qti-map-response", "identifier", response), base("float", strconv.Itoa(len(it.Key))))))
	} else {
		processing.with(matched(it))
	}
	return processing.with(set(feedback, el("qti-multiple").with(variable(), base("identifier", rationale))))
}

// matched gives 1 for exactly the key, and of half from half 1/2 from half of it on.
func matched(it question.Item) *element {
	condition := el("qti-response-condition").with(
		el("qti-response-if").with(el("qti-match").with(variable(), correct()), set(score, base("float", "1"))))
	if it.Rule == question.HalfFromHalf {
		half := el("qti-gte").with(el("qti-map-response", "identifier", response), base("float", number(float64(len(it.Key))/2)))
		condition.with(el("qti-response-else-if").with(half, set(score, base("float", "0.5"))))
	}
	return condition
}

// numberMarked compares with the right number, then with each miss: the first that is near enough speaks.
func numberMarked(n question.Number) *element {
	near := func(to *element) *element {
		return el("qti-equal", "tolerance-mode", "absolute", "tolerance", number(n.Tolerance)+" "+number(n.Tolerance),
			"include-lower-bound", "true", "include-upper-bound", "true").with(to, variable())
	}
	condition := el("qti-response-condition").with(
		el("qti-response-if").with(near(correct()), set(score, base("float", "1")), shown(rationale)))
	for i, m := range n.Misses {
		condition.with(el("qti-response-else-if").with(near(base("float", number(m.Value))), shown(miss+strconv.Itoa(i+1), rationale)))
	}
	return condition.with(el("qti-response-else").with(shown(rationale)))
}
