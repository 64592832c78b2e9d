package qti

import (
	"math"
	"strconv"
	"strings"

	"isthmus/assessment/question"
)

// answer reads what is right and how it is marked. Cardinality and base type must be those the standard gives the interaction: an
// identifier, one or several, of a choice; identifiers in order of an order; of a text entry here a number.
func (r *itemReader) answer(declaration, interaction *element) {
	cardinality, base := declaration.attr("cardinality"), declaration.attr("base-type")
	fits := base == "identifier"
	switch {
	case interaction.name == entryName:
		r.it.Kind, fits = question.Numeric, cardinality == "single" && (base == "float" || base == "integer")
	case interaction.name == orderName:
		r.it.Kind, fits = question.Ordering, fits && cardinality == "ordered"
	case cardinality == "multiple":
		r.it.Kind = question.Several
	default:
		r.it.Kind, fits = question.SingleBest, fits && cardinality == "single"
	}
	if !fits {
		r.refuse(declaration.fault("cardinality %q with base type %q cannot be kept for <%s>: words written freely are not marked here",
			shorten(cardinality), shorten(base), interaction.name))
		return
	}
	if id := declaration.attr("identifier"); interaction.attr("response-identifier") != id {
		r.refuse(interaction.fault("response-identifier %q names no response declaration: it is %q",
			shorten(interaction.attr("response-identifier")), shorten(id)))
		return
	}
	values := declaration.find("qti-correct-response")
	if values == nil {
		r.refuse(declaration.fault("has no <qti-correct-response>: what is right must be told"))
		return
	}
	r.at("key", values)
	if r.it.Kind == question.Numeric {
		r.number(declaration, values)
		return
	}
	list := values.all("qti-value")
	if len(list) > len(r.it.Options) {
		r.refuse(values.fault("has more values than there are options"))
		return
	}
	for _, v := range list {
		id, known := r.optionOf[collapse(v.raw())]
		if !known {
			r.refuse(v.fault("%q is no option of this item", shorten(collapse(v.raw()))))
			continue
		}
		r.it.Key = append(r.it.Key, id)
	}
	r.rule(declaration)
}

// rule finds how it is marked: by the word that an export of ours leaves with the score, or by a mapping that gives every right option the
// same (MappingDType; the template map_response). Other mappings are not kept.
func (r *itemReader) rule(declaration *element) {
	for _, outcome := range r.root.all("qti-outcome-declaration") {
		if word := question.Rule(outcome.attr("interpretation")); outcome.attr("identifier") == score && isRule(word) {
			r.it.Rule = word
			r.at("rule", outcome)
			return
		}
	}
	mapping := declaration.find("qti-mapping")
	if mapping == nil || !r.mapped() {
		return
	}
	if r.it.Kind == question.Several && r.equalParts(mapping) {
		r.it.Rule = question.Share
		return
	}
	r.note(mapping.fault("is not kept: the item is marked all or nothing"))
}

func isRule(word question.Rule) bool {
	return word == question.AllOrNothing || word == question.HalfFromHalf || word == question.Share || word == question.Pairs
}

// mapped reports whether the response is marked by its mapping.
func (r *itemReader) mapped() bool {
	processing := r.root.find("qti-response-processing")
	if processing == nil {
		return false
	}
	return strings.HasSuffix(strings.TrimSuffix(processing.attr("template"), ".xml"), "/map_response") || len(processing.deep("qti-map-response")) > 0
}

// equalParts reports whether a mapping gives the same to every right option and nothing to, or from, another.
func (r *itemReader) equalParts(mapping *element) bool {
	entries := map[string]float64{}
	for _, e := range mapping.all("qti-map-entry") {
		worth, ok := finite(e.attr("mapped-value"))
		if !ok {
			return false
		}
		if worth != 0 {
			entries[r.optionOf[e.attr("map-key")]] = worth
		}
	}
	for _, id := range r.it.Key {
		if entries[id] <= 0 || entries[id] != entries[r.it.Key[0]] {
			return false
		}
	}
	return len(entries) == len(r.it.Key)
}

// number reads the right number, how near is near enough, and the wrong numbers that have feedback of their own.
func (r *itemReader) number(declaration, values *element) {
	list := values.all("qti-value")
	if len(list) != 1 {
		r.refuse(values.fault("has %d values: a number has one", len(list)))
		return
	}
	x, ok := finite(list[0].raw())
	if !ok {
		r.refuse(list[0].fault("%q is no number", shorten(list[0].raw())))
		return
	}
	r.it.Number.Value = x
	told := false
	for _, equal := range r.root.find("qti-response-processing").deepAll("qti-equal") {
		if !mentions(equal, "qti-variable", declaration.attr("identifier")) {
			continue
		}
		if mentions(equal, "qti-correct", declaration.attr("identifier")) {
			r.tolerance(equal)
			told = true
		}
	}
	if !told {
		r.note(values.fault("no comparison with a tolerance: exactly this number is right"))
	}
	for _, branch := range append(r.root.deep("qti-response-if"), r.root.deep("qti-response-else-if")...) {
		r.branch(branch)
	}
}

// tolerance reads EqualDType: exact, absolute, or relative in per cent of the first number; one number of tolerance, or two that must be
// alike here, since an item has one.
func (r *itemReader) tolerance(equal *element) {
	mode, limits := equal.attr("tolerance-mode"), strings.Fields(equal.attr("tolerance"))
	if mode == "exact" {
		return
	}
	if len(limits) == 0 || len(limits) > 2 || mode != "absolute" && mode != "relative" {
		r.refuse(equal.fault("tolerance mode %q with tolerance %q cannot be read", shorten(mode), shorten(equal.attr("tolerance"))))
		return
	}
	low, ok := finite(limits[0])
	high, ok2 := finite(limits[len(limits)-1])
	if !ok || !ok2 || low != high || equal.attr("include-lower-bound") == "false" || equal.attr("include-upper-bound") == "false" {
		r.refuse(equal.fault("the tolerance must be one number on either side, with its limits: %q is not", shorten(equal.attr("tolerance"))))
		return
	}
	if mode == "relative" {
		low *= math.Abs(r.it.Number.Value) / 100
	}
	r.it.Number.Tolerance = low
	r.at("number.tolerance", equal)
}

// branch reads a wrong number: a comparison with it, and the modal feedback shown then.
func (r *itemReader) branch(branch *element) {
	parts := branch.children()
	if len(parts) == 0 || parts[0].name != "qti-equal" || parts[0].find("qti-base-value") == nil {
		return
	}
	x, ok := finite(parts[0].find("qti-base-value").raw())
	if !ok {
		return
	}
	for _, rule := range parts[1:] {
		for _, shown := range append(rule.all("qti-base-value"), rule.find("qti-multiple").deepAll("qti-base-value")...) {
			id := collapse(shown.raw())
			told := r.feedback[id]
			if told == nil || id == rationale {
				continue
			}
			field := "number.misses[" + strconv.Itoa(len(r.it.Number.Misses)) + "]"
			r.at(field, told)
			r.it.Number.Misses = append(r.it.Number.Misses, question.MissNumber{Value: x, Feedback: r.plain(told)})
			delete(r.feedback, id)
		}
	}
}

// deepAll is deep for an element that may be missing.
func (e *element) deepAll(name string) []*element {
	if e == nil {
		return nil
	}
	return e.deep(name)
}

// mentions reports whether e has an operand of that name for that variable.
func mentions(e *element, name, identifier string) bool {
	for _, c := range e.all(name) {
		if c.attr("identifier") == identifier {
			return true
		}
	}
	return false
}

// finite reads a number of the standard's float: no infinity, no not-a-number, none of Go's own notations.
func finite(text string) (float64, bool) {
	text = collapse(text)
	x, err := strconv.ParseFloat(text, 64)
	return x, err == nil && !math.IsInf(x, 0) && !math.IsNaN(x) && !strings.ContainsAny(text, "_xXpP")
}
