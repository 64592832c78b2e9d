package qti

import (
	"strconv"
	"strings"

	"isthmus/assessment"
	"isthmus/assessment/question"
)

// lomDifficulty are the words of LOM 1.0 (5.8 Educational.Difficulty) for ours; it has two more, at the ends.
var lomDifficulty = map[question.Difficulty]string{question.Easy: "easy", question.Middling: "medium", question.Hard: "difficult"}

// fromDifficulty reads them; what is none of them is the middle.
var fromDifficulty = map[string]question.Difficulty{
	"very easy": question.Easy, "easy": question.Easy, "medium": question.Middling, "difficult": question.Hard, "very difficult": question.Hard,
}

// fromStatus reads ours and those of LOM 1.0 (2.2 LifeCycle.Status). What others call final has not been reviewed here.
var fromStatus = map[string]assessment.Status{
	string(assessment.Draft): assessment.Draft, string(assessment.InReview): assessment.InReview, string(assessment.Live): assessment.Live,
	string(assessment.Retired): assessment.Retired, "final": assessment.Draft, "revised": assessment.Draft, "unavailable": assessment.Retired,
}

// interactionTypes are the words of the metadata's vocabulary: the names of the interactions before QTI 3.0.
var interactionTypes = map[question.Kind]string{
	question.SingleBest: "choiceInteraction", question.Several: "choiceInteraction",
	question.Ordering: "orderInteraction", question.Numeric: "textEntryInteraction",
}

// manifestOf lists the items (IMS Content Packaging 1.2 as profiled by QTI 3.0: schema and version are fixed words, organizations is empty).
func manifestOf(items []question.Item) *element {
	resources := el("resources")
	for _, it := range items {
		resources.with(el("resource", "identifier", "RES-"+string(it.ID), "type", itemType, "href", hrefOf(it)).with(
			el("metadata").with(qtiMetadataOf(it), lomOf(it)),
			el("file", "href", hrefOf(it))))
	}
	return el("manifest", "xmlns", manifestSpace, "xmlns:imsmd", lomSpace, "xmlns:imsqti", metadataSpace, "identifier", "isthmus-questions").with(
		el("metadata").with(el("schema").says("QTI Package"), el("schemaversion").says("3.0.1")),
		el("organizations"),
		resources)
}

func hrefOf(it question.Item) string { return "items/" + string(it.ID) + ".xml" }

func qtiMetadataOf(it question.Item) *element {
	say := func(name, text string) *element { return el("imsqti:" + name).says(text) }
	return el("imsqti:qtiMetadata").with(say("itemTemplate", "false"), say("timeDependent", "false"), say("composite", "false"),
		say("interactionType", interactionTypes[it.Kind]), say("feedbackType", "nonadaptive"), say("solutionAvailable", "true"))
}

// lomOf is what is known about an item, in the categories of LOM 1.0 in their order. The source of the fact is what the item is based on
// (7 Relation, isbasedon), the topic a discipline (9 Classification); what LOM has no word for names us as the vocabulary.
func lomOf(it question.Item) *element {
	lom := func(name string, children ...*element) *element { return el("imsmd:" + name).with(children...) }
	say := func(name, text string) *element { return el("imsmd:" + name).says(text) }
	word := func(name, source, value string) *element {
		return lom(name, say("source", source), say("value", value))
	}
	named := func(id string) *element { return lom("identifier", say("catalog", ours), say("entry", id)) }

	all := lom("lom",
		lom("general", named(string(it.ID))),
		lom("lifeCycle",
			lom("version", say("string", strconv.Itoa(it.Version))),
			word("status", ours, string(it.Status)),
			lom("contribute", word("role", "LOMv1.0", "author"), say("entity", card(it.Author)))),
		lom("educational", word("difficulty", "LOMv1.0", lomDifficulty[it.Difficulty])),
		lom("relation", word("kind", "LOMv1.0", "isbasedon"), lom("resource", lom("description", say("string", it.Source)))))
	for _, id := range it.NotWith {
		all.with(lom("relation", word("kind", ours, "not-with"), lom("resource", named(string(id)))))
	}
	return all.with(lom("classification", word("purpose", "LOMv1.0", "discipline"),
		lom("taxonPath", lom("source", say("string", ours)), lom("taxon", lom("entry", say("string", string(it.Topic)))))))
}

// LOM names a person by a vCard (2.3.2 LifeCycle.Contribute.Entity; RFC 2426 sections 3.1.1 and 5 for its name and its escapes).
var (
	escaped   = strings.NewReplacer(`\`, `\\`, "\r", `\r`, "\n", `\n`, ",", `\,`, ";", `\;`)
	unescaped = strings.NewReplacer(`\\`, `\`, `\r`, "\r", `\n`, "\n", `\N`, "\n", `\,`, ",", `\;`, ";")
)

func card(name string) string {
	return "BEGIN:VCARD\nVERSION:3.0\nFN:" + escaped.Replace(name) + "\nN:" + escaped.Replace(name) + ";;;;\nEND:VCARD"
}

// nameOn is the name on a vCard, or the text itself where it is none.
func nameOn(entity string) string {
	if !strings.HasPrefix(strings.TrimSpace(entity), "BEGIN:VCARD") {
		return strings.TrimSpace(entity)
	}
	for line := range strings.Lines(entity) {
		if name, found := strings.CutPrefix(strings.Trim(line, "\r\n"), "FN:"); found {
			return unescaped.Replace(name)
		}
	}
	return ""
}
