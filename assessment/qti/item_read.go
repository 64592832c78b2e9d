package qti

import (
	"fmt"
	"strconv"
	"strings"

	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/assessment/strict"
)

// Words that stand where a file gives none: an author must see what is left to write.
const (
	notGiven = "Not given in the file."
	noTopic  = "imported"
)

// place is where a field of the item was read.
type place struct {
	file string
	at   *element
}

// itemReader turns one item file into an item.
type itemReader struct {
	file    string
	root    *element
	lom     *element
	lomFile string

	it       question.Item
	optionOf map[string]string   // our id of an option by its identifier
	feedback map[string]*element // modal feedback by identifier
	places   map[string]place    // by the item's field
	filled   []string            // fields the file does not give
	faults   Faults
	notes    *Faults
}

// refuse adds a mistake of the item file.
func (r *itemReader) refuse(fault strict.Fault) { r.faults.add(r.file, fault) }

// note tells what was not kept.
func (r *itemReader) note(fault strict.Fault) { r.notes.add(r.file, fault) }

// at remembers where a field was read.
func (r *itemReader) at(field string, e *element) { r.places[field] = place{r.file, e} }

// read gives the item, and leaves its mistakes in r.faults.
func (r *itemReader) read() question.Item {
	r.it.ID = question.ItemID(slug(r.root.attr("identifier")))
	r.at("", r.root)
	r.optionOf, r.feedback = map[string]string{}, map[string]*element{}
	var declarations []*element
	var body *element
	for _, c := range r.root.children() {
		switch c.name {
		case "qti-response-declaration":
			declarations = append(declarations, c)
		case "qti-item-body":
			body = c
		case "qti-modal-feedback":
			if r.feedback[c.attr("identifier")] != nil {
				r.note(c.fault("is not kept: the feedback before it has the same identifier"))
				continue
			}
			r.feedback[c.attr("identifier")] = c
		case "qti-outcome-declaration", "qti-response-processing":
		case "qti-stylesheet", "qti-catalog-info":
			r.note(c.fault("is not kept"))
		default:
			r.refuse(c.fault("cannot be kept: an item stands alone, the same for everybody"))
		}
	}
	switch {
	case body == nil:
		r.refuse(r.root.fault("has no <qti-item-body>"))
		return r.it
	case len(declarations) != 1:
		r.refuse(r.root.fault("has %d response declarations: an item has one answer", len(declarations)))
	}
	interaction := r.body(body)
	if len(r.faults) > 0 || interaction == nil || len(declarations) != 1 {
		return r.it
	}
	r.answer(declarations[0], interaction)
	r.metadata()
	r.texts()
	r.fill()
	for _, fault := range r.it.Validate().List {
		r.locate(fault)
	}
	return r.it
}

// slug makes an identifier an id: lower-case words joined by hyphens.
func slug(identifier string) string {
	words := strings.FieldsFunc(strings.ToLower(identifier), func(c rune) bool { return !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9') })
	return strings.Join(words, "-")
}

// metadata reads what the manifest says about the item.
func (r *itemReader) metadata() {
	life := r.lom.find("lifeCycle")
	r.place("version", life.find("version", "string"))
	if version, err := strconv.Atoi(strings.TrimSpace(life.find("version", "string").raw())); err == nil {
		r.it.Version = version
	}
	r.it.Status = fromStatus[strings.TrimSpace(strings.ToLower(life.find("status", "value").raw()))]
	r.place("author", life.find("contribute", "entity"))
	r.it.Author = nameOn(life.find("contribute", "entity").raw())
	r.it.Difficulty = fromDifficulty[strings.TrimSpace(strings.ToLower(r.lom.find("educational", "difficulty", "value").raw()))]
	topic := r.lom.find("classification", "taxonPath", "taxon", "entry", "string")
	r.place("topic", topic)
	r.it.Topic = question.Topic(slug(topic.raw()))
	for _, relation := range r.lom.children() {
		if relation.name != "relation" {
			continue
		}
		switch kind := strings.TrimSpace(strings.ToLower(relation.find("kind", "value").raw())); {
		case kind == "isbasedon" && r.it.Source == "":
			text := relation.find("resource", "description", "string")
			r.place("source", text)
			r.it.Source = text.raw()
		case kind == "not-with":
			entry := relation.find("resource", "identifier", "entry")
			r.place(fmt.Sprintf("not_with[%d]", len(r.it.NotWith)), entry)
			r.it.NotWith = append(r.it.NotWith, question.ItemID(entry.raw()))
		}
	}
}

// place remembers where in the manifest a field was read.
func (r *itemReader) place(field string, e *element) {
	if e != nil {
		r.places[field] = place{r.lomFile, e}
	}
}

// fill puts words where the file has none and says so. Such an item is a draft: somebody has to write what is missing.
func (r *itemReader) fill() {
	r.give("topic", (*string)(&r.it.Topic), noTopic)
	r.give("author", &r.it.Author, notGiven)
	r.give("source", &r.it.Source, notGiven)
	r.give("rationale", &r.it.Rationale, notGiven)
	r.give("difficulty", (*string)(&r.it.Difficulty), string(question.Middling))
	for i := range r.it.Options {
		r.give(fmt.Sprintf("options[%d].feedback", i), &r.it.Options[i].Feedback, notGiven)
	}
	if r.it.Number != nil {
		r.give("number.unit", &r.it.Number.Unit, "not given")
	}
	if r.it.Version == 0 {
		r.it.Version, r.filled = 1, append(r.filled, "version")
	}
	if r.it.Status == "" {
		r.it.Status, r.filled = assessment.Draft, append(r.filled, "status")
	}
	if len(r.filled) > 0 {
		r.it.Status = assessment.Draft
		r.note(r.root.fault("the file does not give: %s. Words that say so stand there, and the item is a draft", strings.Join(r.filled, ", ")))
	}
}

func (r *itemReader) give(field string, text *string, words string) {
	if *text == "" {
		*text, r.filled = words, append(r.filled, field)
	}
}

// locate puts a mistake of meaning where the field it is in was read; the longest part of the field that has a place counts.
func (r *itemReader) locate(fault strict.Fault) {
	for field := fault.Field; ; field = field[:max(strings.LastIndexAny(field, ".["), 0)] {
		if p, known := r.places[field]; known {
			r.faults.add(p.file, p.at.fault("%s: %s", fault.Field, fault.Message))
			return
		}
	}
}
