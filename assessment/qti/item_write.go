package qti

import (
	"fmt"
	"strconv"

	"isthmus/assessment/question"
)

// ncname makes an id an identifier of the standard, which is an NCName of XML and starts with no digit. slug takes the stroke off again.
func ncname(id string) string {
	if id != "" && id[0] >= '0' && id[0] <= '9' {
		return "_" + id
	}
	return id
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// itemOf is an item as <qti-assessment-item>; children stand in the order of AssessmentItemDType: declarations, body, processing, feedback.
func itemOf(it question.Item) *element {
	scoring := el("qti-outcome-declaration", "identifier", score, "cardinality", "single", "base-type", "float", "normal-maximum", "1")
	if it.Rule != "" {
		scoring.attrs = append(scoring.attrs, attr{"interpretation", string(it.Rule)}) // the attribute explains the number to people
	}
	root := el("qti-assessment-item", "xmlns", itemSpace, "identifier", ncname(string(it.ID)), "title", string(it.ID),
		"adaptive", "false", "time-dependent", "false", "tool-name", ours).with(
		declarationOf(it),
		scoring.with(el("qti-default-value").with(value("0"))),
		el("qti-outcome-declaration", "identifier", feedback, "cardinality", "multiple", "base-type", "identifier"),
		bodyOf(it),
		processingOf(it))
	for _, o := range it.Options {
		root.with(modal(ncname(o.ID), o.Feedback))
	}
	if it.Number != nil {
		for i, m := range it.Number.Misses {
			root.with(modal(miss+strconv.Itoa(i+1), m.Feedback))
		}
	}
	return root.with(modal(rationale, it.Rationale))
}

func value(text string) *element { return el("qti-value").says(text) }

// modal is feedback that is shown once answered (ModalFeedbackDType; the guide, section 3.7).
func modal(identifier, text string) *element {
	return el("qti-modal-feedback", "outcome-identifier", feedback, "identifier", identifier, "show-hide", "show").
		with(el("qti-content-body").with(flow(text)))
}

// declarationOf says what the response is and what is right (ResponseDeclarationDType). A mapping counts the right options for the rules
// that give part of the mark.
func declarationOf(it question.Item) *element {
	cardinality, base := "single", "identifier"
	correct := el("qti-correct-response")
	switch it.Kind {
	case question.Several:
		cardinality = "multiple"
	case question.Ordering:
		cardinality = "ordered"
	case question.Numeric:
		base = "float"
		correct.with(value(number(it.Number.Value)))
	}
	for _, id := range it.Key {
		correct.with(value(ncname(id)))
	}
	declaration := el("qti-response-declaration", "identifier", response, "cardinality", cardinality, "base-type", base).with(correct)
	if partly(it) {
		mapping := el("qti-mapping", "lower-bound", "0", "upper-bound", strconv.Itoa(len(it.Key)), "default-value", "0")
		for _, id := range it.Key {
			mapping.with(el("qti-map-entry", "map-key", ncname(id), "mapped-value", "1"))
		}
		declaration.with(mapping)
	}
	return declaration
}

// partly reports whether the rule gives part of the mark for some of the right options.
func partly(it question.Item) bool {
	return it.Rule == question.Share || it.Rule == question.HalfFromHalf
}

// bodyOf is what is asked, with its one interaction (the guide, section 3.2).
func bodyOf(it question.Item) *element {
	body := el("qti-item-body")
	switch it.Kind {
	case question.Numeric: // an interaction of this kind stands within a line; what follows it is the unit
		line := el("p").with(el("qti-text-entry-interaction", "response-identifier", response, "expected-length", "15"))
		if unit := it.Number.Unit; collapse(unit) != unit {
			return body.with(flow(it.Stem), line, flow(unit))
		}
		return body.with(flow(it.Stem), line.says(" "+it.Number.Unit))
	case question.Ordering:
		return body.with(choices(it, el("qti-order-interaction", "response-identifier", response, "shuffle", "true")))
	}
	return body.with(choices(it, el("qti-choice-interaction", "response-identifier", response, "shuffle", strconv.FormatBool(!it.KeepOrder),
		"max-choices", strconv.Itoa(len(it.Key)))))
}

func choices(it question.Item, interaction *element) *element {
	interaction.with(within(el("qti-prompt"), it.Stem))
	for _, o := range it.Options {
		interaction.with(within(el("qti-simple-choice", "identifier", ncname(o.ID)), o.Text))
	}
	return interaction
}

// inexpressible says why an item cannot be written; empty when it can.
func inexpressible(it question.Item) string {
	if it.Kind == question.OnMap {
		return "is answered on the atrial map, for which QTI has no interaction"
	}
	texts := map[string]string{"author": it.Author, "stem": it.Stem, "rationale": it.Rationale, "source": it.Source}
	for i, o := range it.Options {
		texts[fmt.Sprintf("options[%d].text", i)], texts[fmt.Sprintf("options[%d].feedback", i)] = o.Text, o.Feedback
	}
	if it.Number != nil {
		texts["number.unit"] = it.Number.Unit
		for i, m := range it.Number.Misses {
			texts[fmt.Sprintf("number.misses[%d].feedback", i)] = m.Feedback
		}
	}
	worst := ""
	for field, text := range texts {
		if !carried(text) && (worst == "" || field < worst) {
			worst = field
		}
	}
	if worst != "" {
		return worst + " holds a control character, which XML cannot carry"
	}
	return ""
}
