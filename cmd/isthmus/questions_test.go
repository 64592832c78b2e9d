package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"isthmus/assessment/question"
)

// TestQuestionsReturn: the starter bank goes out in each format, is found without mistakes, and goes through the other format unchanged.
func TestQuestionsReturn(t *testing.T) {
	first, second, third := filepath.Join(t.TempDir(), "q.zip"), filepath.Join(t.TempDir(), "q.csv"), filepath.Join(t.TempDir(), "again.zip")
	onMap := 0
	for _, it := range question.Starter().Items() {
		if it.Kind == question.OnMap {
			onMap++
		}
	}
	code, out, errs := command(t, "questions", "export", "--format", "qti", first)
	if code != 0 || out != "" || strings.Count(errs, ": left out: ") != onMap || !strings.Contains(errs, " questions written\n") {
		t.Fatalf("exit %d\n%s%s", code, out, errs)
	}
	for _, args := range [][]string{{"--format", "csv", "--from", first, second}, {"--format", "qti", "--from", second, third}} {
		if code, _, errs := command(t, append([]string{"questions", "export"}, args...)...); code != 0 || strings.Contains(errs, "left out") {
			t.Fatalf("exit %d\n%s", code, errs)
		}
	}
	a, err := os.ReadFile(first)
	if err != nil {
		t.Fatal(err)
	}
	if b, err := os.ReadFile(third); err != nil || string(a) != string(b) {
		t.Errorf("the package is another one after CSV (%v)", err)
	}
	code, out, errs = command(t, "questions", "check", first, second, filepath.Join("..", "..", "assessment", "question", "bank", "03-energy.yaml"))
	if code != 0 || errs != "" || strings.Count(out, "no mistakes\n") != 3 || !strings.Contains(out, ": QTI 3.0, ") || !strings.Contains(out, ": CSV, ") || !strings.Contains(out, ": YAML, ") {
		t.Errorf("exit %d\n%s%s", code, out, errs)
	}
	if code, out, _ := command(t, "questions", "export", "--format", "qti", "-"); code != 0 || out != string(a) {
		t.Errorf("exit %d: standard output has another package", code)
	}
}

// TestQuestionsTemplate: the template passes the check, and what is wrong in it is told by row and column.
func TestQuestionsTemplate(t *testing.T) {
	_, template, _ := command(t, "questions", "template")
	if code, out, _ := commandIn(t, nil, template, "questions", "check", "-"); code != 0 || out != "-: CSV, 4 questions, no mistakes\n" {
		t.Errorf("exit %d\n%s", code, out)
	}
	bad := strings.NewReplacer(",single-best,", ",best,", ",50,0.5,cm,", ",fifty,0.5,cm,").Replace(template)
	file := write(t, "bad.csv", bad)
	code, out, _ := command(t, "questions", "check", file)
	if code != 1 || !strings.Contains(out, file+":2:6: kind: \"best\" is unknown") || !strings.Contains(out, ": number: \"fifty\" is no number") {
		t.Errorf("exit %d\n%s", code, out)
	}
}

// TestQuestionsCheck: every mistake of a file of each format has its place, unsafe XML is refused, and one bad file does not hide another.
func TestQuestionsCheck(t *testing.T) {
	item := write(t, "item.xml", `<?xml version="1.0"?>
<qti-assessment-item xmlns="http://www.imsglobal.org/xsd/imsqtiasi_v3p0" identifier="x" title="x" time-dependent="false">
  <qti-response-declaration identifier="RESPONSE" cardinality="single" base-type="identifier"/>
  <qti-item-body><qti-hotspot-interaction response-identifier="RESPONSE"/><p><img src="a.png" alt=""/></p></qti-item-body>
</qti-assessment-item>`)
	entity := write(t, "entity.xml", "<!DOCTYPE x [<!ENTITY e SYSTEM \"file:///etc/passwd\">]>\n<x>&e;</x>")
	bank := write(t, "bank.yaml", "items:\n  - {id: One}\n")
	code, out, errs := command(t, "questions", "check", item, entity, bank, filepath.Join(t.TempDir(), "missing.zip"))
	if code != 1 || errs != "" {
		t.Errorf("exit %d %s", code, errs)
	}
	for _, want := range []string{
		item + ":4:18: qti-assessment-item/qti-item-body/qti-hotspot-interaction: this interaction is not known",
		"qti-item-body/p/img: cannot be kept",
		entity + ":1:1: has a document type or an entity",
		bank + ":2:6: items[0].id: must be lower-case words",
		"missing.zip",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
}
