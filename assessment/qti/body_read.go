package qti

import (
	"fmt"
	"strings"

	"isthmus/assessment/question"
)

// The interactions that become items.
const (
	choiceName = "qti-choice-interaction"
	orderName  = "qti-order-interaction"
	entryName  = "qti-text-entry-interaction"
)

// body reads the stem and the one interaction; nil when there is not exactly one that is known.
func (r *itemReader) body(body *element) *element {
	var found *element
	split := -1 // lines before a text entry
	g := gatherer{refuse: r.refuse}
	g.special = func(e *element) bool {
		switch {
		case e.name == "qti-rubric-block":
			r.rubric(e)
		case strings.HasPrefix(e.name, "qti-") && strings.HasSuffix(e.name, "-interaction"):
			g.end()
			switch {
			case e.name != choiceName && e.name != orderName && e.name != entryName:
				r.refuse(e.fault("this interaction is not known here: %s, %s and %s are", choiceName, orderName, entryName))
			case found != nil:
				r.refuse(e.fault("is a second interaction: an item has one"))
			default:
				found = e
				split = len(g.lines)
				if e.name != entryName {
					g.lines = append(g.lines, r.choices(e)...)
				}
			}
		default:
			return false
		}
		return true
	}
	g.inside(body)
	g.end()
	if found == nil {
		if len(r.faults) == 0 {
			r.refuse(body.fault("asks for nothing: there is no interaction in it"))
		}
		return nil
	}
	r.at("stem", body)
	if found.name != entryName {
		r.it.Stem = g.text()
		return found
	}
	before, after := strings.Join(g.lines[:split], "\n"), strings.Join(g.lines[split:], "\n")
	r.it.Stem, r.it.Number = before, &question.Number{Unit: after}
	r.at("number", found)
	if len([]rune(after)) > 20 { // more than a unit: the question goes on after the gap
		r.it.Stem, r.it.Number.Unit = before+" ____ "+after, ""
	}
	return found
}

// rubric takes the rationale from a block meant for those who teach or mark (RubricBlockDType, view; the example rubric_block of the guide), where no
// modal feedback gives it.
func (r *itemReader) rubric(e *element) {
	view := " " + e.attr("view") + " "
	if r.feedback[rationale] == nil && r.it.Rationale == "" && (strings.Contains(view, " tutor ") || strings.Contains(view, " scorer ")) {
		r.it.Rationale = r.plain(e)
		r.at("rationale", e)
		return
	}
	r.note(e.fault("is not kept"))
}

// plain is the text of an element that holds nothing but text.
func (r *itemReader) plain(e *element) string {
	g := gatherer{refuse: r.refuse}
	g.inside(e)
	return g.text()
}

// choices reads the options of a choice or an order, and gives the lines of the prompt.
func (r *itemReader) choices(interaction *element) []string {
	var prompt []string
	for _, c := range interaction.children() {
		switch c.name {
		case "qti-prompt":
			g := gatherer{refuse: r.refuse}
			g.inside(c)
			g.end()
			prompt = g.lines
		case "qti-simple-choice":
			if len(r.it.Options) == maxOptions {
				r.refuse(c.fault("is one option too many: %d are read", maxOptions))
				return prompt
			}
			r.option(c)
		default:
			r.refuse(c.fault("cannot be kept: a choice has a prompt and options"))
		}
	}
	r.at("options", interaction)
	r.it.KeepOrder = interaction.name == choiceName && interaction.attr("shuffle") != "true" // ChoiceInteractionDType: false unless given
	return prompt
}

// option reads a choice; feedback may stand inside it.
func (r *itemReader) option(c *element) {
	o := question.Option{ID: slug(c.attr("identifier"))}
	field := fmt.Sprintf("options[%d]", len(r.it.Options))
	g := gatherer{refuse: r.refuse, special: func(e *element) bool {
		if e.name != "qti-feedback-inline" {
			return false
		}
		o.Feedback = r.plain(e)
		return true
	}}
	g.inside(c)
	o.Text = g.text()
	if told := r.feedback[c.attr("identifier")]; told != nil {
		o.Feedback = r.plain(told)
		r.at(field+".feedback", told)
		delete(r.feedback, c.attr("identifier"))
	}
	r.at(field, c)
	if _, given := r.optionOf[c.attr("identifier")]; given {
		r.refuse(c.fault("identifier %q is given twice", shorten(c.attr("identifier"))))
	}
	r.optionOf[c.attr("identifier")] = o.ID
	r.it.Options = append(r.it.Options, o)
}

// texts reads the rationale, and tells which feedback was not kept.
func (r *itemReader) texts() {
	if told := r.feedback[rationale]; told != nil {
		r.it.Rationale = r.plain(told)
		r.at("rationale", told)
		delete(r.feedback, rationale)
	}
	for _, c := range r.root.children() {
		if c.name == "qti-modal-feedback" && r.feedback[c.attr("identifier")] == c {
			r.note(c.fault("is not kept: it belongs to no option and no wrong number"))
		}
	}
}
