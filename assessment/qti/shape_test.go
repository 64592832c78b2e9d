package qti_test

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"slices"
	"strings"
	"testing"

	"isthmus/assessment/qti"
	"isthmus/assessment/question"
)

// shape is what the published schema says of an element, as far as we write it: attributes (a star: required) and children in their order;
// a bar in front means any order. from names the type of the schema imsqti_asiv3p0p1_v1p0.xsd unless it says another. Read in listings of
// the schema: the item, its declarations, the mapping, interactions, conditions, pairs and modal feedback. As the guide's examples use
// them: the rest of the item and the manifest. From memory: the order within qtiMetadata and LOM, and what HTML allows inside <p>.
type shape struct{ from, attrs, children string }

var (
	expressions = "| qti-correct qti-variable qti-base-value qti-map-response qti-match qti-equal qti-gte qti-multiple qti-divide qti-set-outcome-value"

	shapes = map[string]shape{
		"qti-assessment-item": {"AssessmentItemDType", "identifier* title* time-dependent* adaptive label tool-name tool-version",
			"qti-response-declaration qti-outcome-declaration qti-item-body qti-response-processing qti-modal-feedback"},
		"qti-response-declaration":   {"ResponseDeclarationDType", "identifier* cardinality* base-type", "qti-default-value qti-correct-response qti-mapping"},
		"qti-correct-response":       {"CorrectResponseDType", "interpretation", "qti-value"},
		"qti-mapping":                {"MappingDType", "lower-bound upper-bound default-value", "qti-map-entry"},
		"qti-map-entry":              {"MapEntryDType", "map-key* mapped-value* case-sensitive", ""},
		"qti-outcome-declaration":    {"OutcomeDeclarationDType", "identifier* cardinality* base-type interpretation normal-maximum normal-minimum", "qti-default-value"},
		"qti-default-value":          {"DefaultValueDType", "interpretation", "qti-value"},
		"qti-value":                  {"ValueDType", "base-type field-identifier", ""},
		"qti-item-body":              {"ItemBodyDType", "class id", "| p pre qti-choice-interaction qti-order-interaction"},
		"qti-choice-interaction":     {"ChoiceInteractionDType", "response-identifier* shuffle max-choices min-choices orientation", "qti-prompt qti-simple-choice"},
		"qti-order-interaction":      {"OrderInteractionDType", "response-identifier* shuffle max-choices min-choices orientation", "qti-prompt qti-simple-choice"},
		"qti-text-entry-interaction": {"TextEntryInteractionDType", "response-identifier* base expected-length pattern-mask placeholder-text format", ""},
		"qti-prompt":                 {"PromptDType", "class id", "| p pre"},
		"qti-simple-choice":          {"SimpleChoiceDType", "identifier* fixed template-identifier show-hide", "| p pre"},
		"qti-response-processing":    {"ResponseProcessingDType", "template template-location", "| qti-response-condition qti-set-outcome-value"},
		"qti-response-condition":     {"ResponseConditionDType", "", "qti-response-if qti-response-else-if qti-response-else"},
		"qti-response-if":            {"ResponseIfDType", "", expressions},
		"qti-response-else-if":       {"ResponseIfDType", "", expressions},
		"qti-response-else":          {"ResponseElseDType", "", "qti-set-outcome-value"},
		"qti-set-outcome-value":      {"SetValueDType", "identifier*", expressions},
		"qti-equal":                  {"EqualDType", "tolerance-mode* tolerance include-lower-bound include-upper-bound", expressions},
		"qti-match":                  {"LogicPairDType", "", expressions},
		"qti-gte":                    {"LogicPairDType", "", expressions},
		"qti-divide":                 {"LogicPairDType", "", expressions},
		"qti-multiple":               {"Logic0toManyDType", "", expressions},
		"qti-variable":               {"VariableDType", "identifier* weight-identifier", ""},
		"qti-correct":                {"CorrectDType", "identifier*", ""},
		"qti-map-response":           {"MapResponseDType", "identifier*", ""},
		"qti-base-value":             {"BaseValueDType", "base-type*", ""},
		"qti-modal-feedback":         {"ModalFeedbackDType", "outcome-identifier* identifier* show-hide* title", "qti-stylesheet qti-content-body qti-catalog-info"},
		"qti-content-body":           {"FeedbackFlowContentBodyDType", "", "| p pre"},
		"p":                          {"PDType", "", "qti-text-entry-interaction"},
		"pre":                        {"PreDType", "", ""},

		"manifest":      {"ManifestDType of imsqtiv3p0_imscpv1p2_v1p0.xsd", "identifier* version", "metadata organizations resources"},
		"metadata":      {"ManifestMetadataDType and ResourceMetadataDType of the same", "", "schema schemaversion qtiMetadata lom:lom"},
		"organizations": {"OrganizationsDType of the same", "", ""},
		"resources":     {"ResourcesDType of the same", "", "resource"},
		"resource":      {"ResourceDType of the same", "identifier* type* href", "metadata file dependency"},
		"qtiMetadata": {"QTIMetadataDType of imsqti_metadatav3p0_v1p0.xsd", "",
			"itemTemplate timeDependent composite interactionType feedbackType solutionAvailable scoringMode toolName toolVersion toolVendor"},
		"lom:lom":        {"IEEE 1484.12.1, clause 6: the nine categories", "", "lom:general lom:lifeCycle lom:metaMetadata lom:technical lom:educational lom:rights lom:relation lom:annotation lom:classification"},
		"lom:lifeCycle":  {"IEEE 1484.12.1, clause 6, 2", "", "lom:version lom:status lom:contribute"},
		"lom:contribute": {"IEEE 1484.12.1, clause 6, 2.3", "", "lom:role lom:entity lom:date"},
		"lom:relation":   {"IEEE 1484.12.1, clause 6, 7", "", "lom:kind lom:resource"},
		"lom:taxonPath":  {"IEEE 1484.12.1, clause 6, 9.2", "", "lom:source lom:taxon"},
	}
)

// TestShapes: every element of a package of the starter bank has the attributes and children, in the order, that the schema gives it.
func TestShapes(t *testing.T) {
	p, err := qti.Export(question.Starter().Items())
	if err != nil {
		t.Fatal(err)
	}
	reader, err := zip.NewReader(bytes.NewReader(p.Data), int64(len(p.Data)))
	if err != nil {
		t.Fatal(err)
	}
	if reader.File[0].Name != "imsmanifest.xml" || len(reader.File) != p.Items+1 {
		t.Errorf("%d files, the first %s", len(reader.File), reader.File[0].Name)
	}
	seen := map[string]bool{}
	for _, f := range reader.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		checkShapes(t, f.Name, r, seen)
		r.Close()
	}
	for _, must := range []string{"qti-choice-interaction", "qti-order-interaction", "qti-text-entry-interaction", "qti-modal-feedback", "lom:lom"} {
		if !seen[must] {
			t.Errorf("no %s was written", must)
		}
	}
}

func checkShapes(t *testing.T, file string, r io.Reader, seen map[string]bool) {
	t.Helper()
	type open struct {
		name string
		last int // place of the child before in the order
	}
	stack := []open{{}}
	decoder := xml.NewDecoder(r)
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			name := e.Name.Local
			if e.Name.Space == "http://ltsc.ieee.org/xsd/LOM" {
				name = "lom:" + name // LOM has an element <resource> of its own
			}
			seen[name] = true
			if s, known := shapes[name]; known {
				checkAttributes(t, file, e, s)
			} else if strings.HasPrefix(name, "qti-") {
				t.Errorf("%s: <%s> has no row in shapes", file, name)
			}
			parent := &stack[len(stack)-1]
			if s, known := shapes[parent.name]; known {
				order := strings.Fields(s.children)
				at := slices.Index(order, name)
				if at < 0 || at < parent.last && order[0] != "|" {
					t.Errorf("%s: <%s> may not stand there in <%s> (%s)", file, name, parent.name, s.from)
				}
				parent.last = at
			}
			stack = append(stack, open{name: name})
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		}
	}
}

func checkAttributes(t *testing.T, file string, e xml.StartElement, s shape) {
	t.Helper()
	given := map[string]bool{}
	for _, a := range e.Attr {
		if a.Name.Space == "xmlns" || a.Name.Local == "xmlns" {
			continue
		}
		given[a.Name.Local] = true
		if !slices.Contains(strings.Fields(strings.ReplaceAll(s.attrs, "*", "")), a.Name.Local) {
			t.Errorf("%s: <%s> has no attribute %s (%s)", file, e.Name.Local, a.Name.Local, s.from)
		}
	}
	for _, name := range strings.Fields(s.attrs) {
		if required, is := strings.CutSuffix(name, "*"); is && !given[required] {
			t.Errorf("%s: <%s> lacks %s (%s)", file, e.Name.Local, required, s.from)
		}
	}
}
