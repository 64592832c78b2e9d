package qti_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"isthmus/assessment"
	"isthmus/assessment/qti"
	"isthmus/assessment/question"
)

// file is one entry of a package that a test builds.
type file struct{ name, text string }

// pack zips files as they are given.
func pack(t testing.TB, files ...file) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range files {
		entry, err := w.Create(f.name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := entry.Write([]byte(f.text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// manifest lists item files without metadata.
func manifest(hrefs ...string) string {
	text := `<?xml version="1.0" encoding="UTF-8"?><manifest xmlns="http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1" identifier="M"><metadata><schema>QTI Package</schema><schemaversion>3.0.0</schemaversion></metadata><organizations/><resources>`
	for i, href := range hrefs {
		text += fmt.Sprintf(`<resource identifier="R%d" type="imsqti_item_xmlv3p0" href="%s"><file href="%s"/></resource>`, i, href, href)
	}
	return text + `</resources></manifest>`
}

const head = `<?xml version="1.0" encoding="UTF-8"?>
<qti-assessment-item xmlns="http://www.imsglobal.org/xsd/imsqtiasi_v3p0" identifier="Knot_01" title="Knots" adaptive="false" time-dependent="false">`

// elsewhere are items as other programs write them: shapes of the published examples, words of our own.
var elsewhere = map[string]string{
	// Single choice with the prompt in the interaction and the template match_correct (the guide, section 3.2).
	"single": head + `
  <qti-response-declaration identifier="RESPONSE" cardinality="single" base-type="identifier">
    <qti-correct-response><qti-value> ChoiceB </qti-value></qti-correct-response>
  </qti-response-declaration>
  <qti-outcome-declaration identifier="SCORE" cardinality="single" base-type="float"/>
  <qti-item-body>
    <p>A rope is wet and
       must hold.</p>
    <qti-choice-interaction response-identifier="RESPONSE" max-choices="1">
      <qti-prompt>Which knot do <em>you</em> tie?</qti-prompt>
      <qti-simple-choice identifier="ChoiceA">A slip knot <qti-feedback-inline outcome-identifier="FEEDBACK" identifier="ChoiceA" show-hide="show">It slips.</qti-feedback-inline></qti-simple-choice>
      <qti-simple-choice identifier="ChoiceB"><p>A bowline</p></qti-simple-choice>
      <qti-simple-choice identifier="ChoiceC">A bow</qti-simple-choice>
    </qti-choice-interaction>
  </qti-item-body>
  <qti-response-processing template="https://purl.imsglobal.org/spec/qti/v3p0/rptemplates/match_correct.xml"/>
</qti-assessment-item>`,
	// Several answers marked by a mapping (the template map_response).
	"several": head + `
  <qti-response-declaration identifier="ANSWER" cardinality="multiple" base-type="identifier">
    <qti-correct-response><qti-value>A</qti-value><qti-value>C</qti-value></qti-correct-response>
    <qti-mapping lower-bound="0" upper-bound="2" default-value="0"><qti-map-entry map-key="A" mapped-value="1"/><qti-map-entry map-key="C" mapped-value="1.0"/></qti-mapping>
  </qti-response-declaration>
  <qti-item-body><qti-choice-interaction response-identifier="ANSWER" shuffle="true" max-choices="0">
    <qti-prompt>Which two of these knots hold when wet?</qti-prompt>
    <qti-simple-choice identifier="A">One</qti-simple-choice><qti-simple-choice identifier="B">Two</qti-simple-choice><qti-simple-choice identifier="C">Three</qti-simple-choice>
  </qti-choice-interaction></qti-item-body>
  <qti-response-processing template="https://purl.imsglobal.org/spec/qti/v3p0/rptemplates/map_response.xml"/>
</qti-assessment-item>`,
	// A number with a relative tolerance (EqualDType) and a rubric for tutors (RubricBlockDType).
	"number": head + `
  <qti-response-declaration identifier="RESPONSE_1" cardinality="single" base-type="float">
    <qti-correct-response><qti-value>40</qti-value></qti-correct-response>
  </qti-response-declaration>
  <qti-item-body><p>How long must the loose end of the rope be?</p>
    <div><qti-text-entry-interaction response-identifier="RESPONSE_1"/> mm</div>
    <qti-rubric-block view="tutor" use="instructions"><qti-content-body><p>Ten times the rope.</p></qti-content-body></qti-rubric-block>
  </qti-item-body>
  <qti-response-processing><qti-response-condition><qti-response-if>
    <qti-equal tolerance-mode="relative" tolerance="5.0 5.0"><qti-variable identifier="RESPONSE_1"/><qti-correct identifier="RESPONSE_1"/></qti-equal>
    <qti-set-outcome-value identifier="SCORE"><qti-base-value base-type="float">1</qti-base-value></qti-set-outcome-value>
  </qti-response-if></qti-response-condition></qti-response-processing>
</qti-assessment-item>`,
}

// TestElsewhere: items of other programs come in as drafts, with notes on what their files do not give.
func TestElsewhere(t *testing.T) {
	read := func(name string) question.Item {
		t.Helper()
		got, err := qti.Import(name+".xml", []byte(elsewhere[name]))
		if err != nil || len(got.Items) != 1 || len(got.Notes) == 0 {
			t.Fatalf("%s: %v\n%v", name, err, got)
		}
		it := got.Items[0]
		if it.ID != "knot-01" || it.Status != assessment.Draft || it.Version != 1 || it.Topic != "imported" || !strings.Contains(got.Notes.Error(), "source") {
			t.Errorf("%s: %+v\n%v", name, it, got.Notes)
		}
		return it
	}
	if it := read("single"); it.Kind != question.SingleBest || it.Stem != "A rope is wet and must hold.\nWhich knot do you tie?" || !it.KeepOrder ||
		it.Key[0] != "choiceb" || it.Options[1].Text != "A bowline" || it.Options[0].Feedback != "It slips." || it.Options[2].Feedback != "Not given in the file." {
		t.Errorf("single: %+v", it)
	}
	if it := read("several"); it.Kind != question.Several || it.Rule != question.Share || it.KeepOrder || len(it.Key) != 2 {
		t.Errorf("several: %+v", it)
	}
	if it := read("number"); it.Kind != question.Numeric || it.Number.Value != 40 || it.Number.Tolerance != 2 || it.Number.Unit != "mm" || it.Rationale != "Ten times the rope." {
		t.Errorf("number: %+v %+v", it, it.Number)
	}
}

// TestMistakes: each is told with the file, the line and the element; an item beside it comes in all the same.
func TestMistakes(t *testing.T) {
	tests := []struct{ name, item, old, new, place, says string }{
		{"an interaction that is not known", "single", `<p>A rope`, `<qti-slider-interaction response-identifier="X" lower-bound="0" upper-bound="1"/><p>A rope`, ":8:5: qti-assessment-item/qti-item-body/qti-slider-interaction", "not known here"},
		{"two interactions", "number", `<div>`, `<div><qti-text-entry-interaction response-identifier="R2"/>`, "div/qti-text-entry-interaction[2]", "second"},
		{"no interaction", "number", `<qti-text-entry-interaction response-identifier="RESPONSE_1"/>`, "", "qti-item-body", "asks for nothing"},
		{"a key that is no option", "single", "ChoiceB ", "ChoiceD ", "qti-correct-response/qti-value", `"ChoiceD" is no option`},
		{"no key", "single", "<qti-correct-response><qti-value> ChoiceB </qti-value></qti-correct-response>", "", "qti-response-declaration", "what is right"},
		{"words written freely", "number", `base-type="float"`, `base-type="string"`, "qti-response-declaration", "freely"},
		{"order of a choice", "single", `cardinality="single" base-type="id`, `cardinality="ordered" base-type="id`, "qti-response-declaration", "cannot be kept"},
		{"response of another name", "several", `response-identifier="ANSWER"`, `response-identifier="RESPONSE"`, "qti-choice-interaction", "names no response"},
		{"a picture", "single", "A bowline", `<img src="http://example.org/x.png" alt="x"/>`, "p/img", "cannot be kept"},
		{"a raised figure", "number", "loose end", "10<sup>2</sup>", "p/sup", "raised figures"},
		{"an option twice", "several", `identifier="B"`, `identifier="A"`, "qti-simple-choice[2]", "given twice"},
		{"too few options", "several", `<qti-simple-choice identifier="B">Two</qti-simple-choice>`, "", "qti-choice-interaction", "options: must be between 3 and 10"},
		{"a tolerance on one side", "number", "5.0 5.0", "5.0 0", "qti-equal", "either side"},
		{"no number", "number", ">40<", ">0x28<", "qti-value", "no number"},
		{"a template", "single", `<qti-item-body>`, `<qti-template-declaration identifier="T"/><qti-item-body>`, "qti-template-declaration", "the same for everybody"},
		{"a stem too short", "several", "Which two of these knots hold when wet?", "Which?", "qti-item-body", "stem: must have"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			good := elsewhere[tt.item]
			if !strings.Contains(good, tt.old) {
				t.Fatalf("no %q to replace", tt.old)
			}
			data := pack(t, file{"imsmanifest.xml", manifest("items/bad.xml", "good.xml")}, file{"items/bad.xml", strings.Replace(good, tt.old, tt.new, 1)},
				file{"good.xml", strings.Replace(elsewhere["single"], "Knot_01", "Good", 1)})
			got, err := qti.Import("p.zip", data)
			var faults qti.Faults
			if !errors.As(err, &faults) || len(faults) != 1 || faults[0].File != "p.zip/items/bad.xml" {
				t.Fatalf("faults: %v", err)
			}
			if said := err.Error(); !strings.Contains(said, tt.place+": ") || !strings.Contains(said, tt.says) {
				t.Errorf("want %s: %s in\n%s", tt.place, tt.says, said)
			}
			if len(got.Items) != 1 || got.Items[0].ID != "good" {
				t.Errorf("the good item is lost: %v", got.Items)
			}
		})
	}
}

// TestEveryMistakeAtOnce: a file with several is told of them all.
func TestEveryMistakeAtOnce(t *testing.T) {
	text := strings.NewReplacer("A bowline", "<math/>", "<p>A rope", "<qti-hotspot-interaction/><qti-upload-interaction/><p>A rope", `"ChoiceC"`, `"ChoiceA"`).Replace(elsewhere["single"])
	_, err := qti.Import("x.xml", []byte(text))
	for _, want := range []string{"qti-hotspot-interaction", "qti-upload-interaction", "p/math", "given twice"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not told:\n%v", want, err)
		}
	}
}

// TestManifestMistakes: a package whose manifest is wrong, or twice has an id, says where.
func TestManifestMistakes(t *testing.T) {
	item := file{"a.xml", elsewhere["single"]}
	tests := []struct {
		name  string
		files []file
		says  string
	}{
		{"no manifest", []file{item}, "imsmanifest.xml: is not in the package"},
		{"QTI 2", []file{item, {"imsmanifest.xml", strings.ReplaceAll(manifest("a.xml"), "qti/qtiv3p0/imscp_v1p1", "imscp_v1p1")}}, "no manifest of a QTI 3.0 package"},
		{"no item", []file{item, {"imsmanifest.xml", strings.ReplaceAll(manifest("a.xml"), "imsqti_item_xmlv3p0", "webcontent")}}, "lists no item"},
		{"missing file", []file{item, {"imsmanifest.xml", manifest("b.xml")}}, `manifest/resources/resource: href "b.xml" is not in the package`},
		{"href out of it", []file{item, {"imsmanifest.xml", manifest("../a.xml")}}, "leads out of the package"},
		{"href out of it, encoded", []file{item, {"imsmanifest.xml", manifest("x/%2e%2e/%2e%2e/a.xml")}}, "leads out of the package"},
		{"address", []file{item, {"imsmanifest.xml", manifest("http://example.org/a.xml")}}, "nothing is fetched"},
		{"same file", []file{item, {"imsmanifest.xml", manifest("a.xml", "a.xml")}}, `resource[2]: href "a.xml" is listed before`},
		{"same id", []file{item, {"b.xml", item.text}, {"imsmanifest.xml", manifest("a.xml", "b.xml")}}, `id "knot-01", which p.zip/a.xml has too`},
		{"QTI 2 item", []file{{"a.xml", `<assessmentItem xmlns="http://www.imsglobal.org/xsd/imsqti_v2p1"/>`}, {"imsmanifest.xml", manifest("a.xml")}}, "is no item of QTI 3.0"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := qti.Import("p.zip", pack(t, tt.files...)); err == nil || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("want %q in\n%v", tt.says, err)
			}
		})
	}
}
