package report

import (
	"bytes"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"isthmus/api/chart"
	"isthmus/api/needs"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// sample is a document with everything a report can hold.
func sample() Document {
	line := []chart.Point{{X: 0, Y: 0}, {X: 1, Y: 0.4}, {X: 2, Y: 0.8}, {X: 3, Y: -0.2}, {X: 4, Y: 0.9}, {X: 5, Y: 2.1}}
	dots := []chart.Point{{X: 1, Y: 0.4}, {X: 2, Y: 0.8}, {X: 3, Y: -0.2, Mark: chart.Bad}, {X: 4, Y: 0.9, Mark: chart.BadSignal}, {X: 5, Y: 2.1, Mark: chart.Signal}}
	share := chart.Layer{Shape: chart.Band, Role: chart.Main, Name: "90 % limits of the curve"}
	for i := range 6 {
		x := float64(i)
		share.Points = append(share.Points, chart.Point{X: x, Y: 0.3 + x/10}.Within(0.1+x/10, 0.5+x/10))
	}
	limits := chart.Layer{Shape: chart.Stairs, Role: chart.Third, Name: "biatrial, 95 % limits", Points: []chart.Point{
		chart.Point{Y: 1}.Within(1, 1), chart.Point{X: 6, Y: 0.8}.Within(0.6, 0.95), chart.Point{X: 12, Y: 0.7}.Within(0.45, 0.9), chart.Point{X: 20, Y: 0.7}.Within(0.45, 0.9),
	}}
	steps := chart.Layer{Shape: chart.Step, Role: chart.Third, Name: "biatrial", Points: []chart.Point{{Y: 1}, {X: 6, Y: 0.8}, {X: 12, Y: 0.7}, {X: 20, Y: 0.7}}}
	events := chart.Layer{Shape: chart.Dots, Role: chart.Third, Name: "biatrial", Points: steps.Points[1:3]}
	for month := range 21 {
		steps.AtRisk = append(steps.AtRisk, 41-month)
	}
	table := &Table{Columns: []Column{{"Operated", 2, false}, {"Scope", 3, false}, {"Help given", 1, true}}}
	for range 60 {
		table.Rows = append(table.Rows, []string{"2026-03-14", "biatrial, every line complete and block tested", "4"})
	}
	return Document{
		Title: "Portfolio", Subject: "Inés Ørsted-Šimůnek", Programme: "Harbour Training Programme", On: "2026-03-31", Standard: "Example standard, version 3",
		Caution: "Educational record; not advice on a patient. Independence is decided by people under local policy, by licensed practitioners.",
		Made:    time.Date(2026, 4, 1, 9, 30, 15, 123000, time.UTC),
		Sections: []Section{
			{Title: "Standing", Blocks: []Block{
				{Text: "At least ≥ 5 cases. Ελένη Παππά and Борис set in the other typeface; 你 in none."},
				{Facts: []Fact{{"Overall", "2 of 3 requirements met"}, {"Waiting", "1 case for sign-off"}}},
				{Signature: &Signature{"Mei Aldana", time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC), "I record this outcome for the programme, on the evidence frozen with it."}},
			}},
			{Title: "Curves", Blocks: []Block{
				{Chart: &chart.Chart{
					ID: "a", Title: "Case by case", Says: "Cases in order; a cross is a failure.", N: 5, Of: "cases", X: chart.Axis{Label: "Case", Unit: chart.Count, Max: 10}, Y: chart.Axis{Label: "Score", Min: -0.5, Max: 2.5},
					Layers: []chart.Layer{
						{Shape: chart.Rule, Role: chart.Limit, Name: "Adequate from here", Points: []chart.Point{{Y: 2}}}, {Shape: chart.Rule, Role: chart.Alarm, Name: "Alarm from here", Points: []chart.Point{{Y: 1.9}}},
						{Shape: chart.Line, Role: chart.Main, Name: "Score", Points: line}, {Shape: chart.Dots, Role: chart.Main, Name: "Case", Points: dots},
					}, Notes: []string{"Log likelihood ratio."},
				}},
				{Chart: &chart.Chart{
					ID: "b", Title: "Shares", Says: "Shares of successes.", N: 5, Of: "cases", X: chart.Axis{Label: "Case", Unit: chart.Count, Max: 5}, Y: chart.Axis{Label: "Share", Unit: chart.Share, Max: 1},
					Layers: []chart.Layer{
						share, {Shape: chart.Step, Role: chart.Second, Name: "fails in 20 %", Points: []chart.Point{{X: 0, Y: 0}, {X: 2, Y: 0.5}, {X: 5, Y: 0.6}}},
						{Shape: chart.Upright, Role: chart.Expect, Name: "case 4", Points: []chart.Point{{X: 4}}},
					},
				}},
			}},
			{Title: "Outcomes", Blocks: []Block{{Chart: &chart.Chart{
				ID: "c", Title: "Free from arrhythmia", Says: "Free at month 12: 70 % after biatrial.", N: 41, Of: "operations",
				X: chart.Axis{Label: "Months after the operation", Unit: chart.Months, Max: 24}, Y: chart.Axis{Label: "Free", Unit: chart.Share, Max: 1}, Layers: []chart.Layer{limits, steps, events},
			}}}},
			{Title: "Cases", NewPage: true, Blocks: []Block{{Table: table}, {Heading: "None", Text: ""}, {Table: &Table{Empty: "Nothing was left out."}}, {Text: "Counted up to the day.", Quiet: true}}},
		},
	}
}

// textOf reads a PDF's text page by page with Poppler, which shares nothing with what wrote it.
func textOf(t *testing.T, pdf []byte) []string {
	t.Helper()
	reader := needs.Tool(t, "pdftotext")
	cmd := exec.Command(reader, "-layout", "-", "-")
	cmd.Stdin = bytes.NewReader(pdf)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
}

func painted(t *testing.T, doc Document) []byte {
	t.Helper()
	_, code, err := doc.Seal("p1")
	if err != nil {
		t.Fatal(err)
	}
	pdf, err := PDF(doc, code)
	if err != nil {
		t.Fatal(err)
	}
	return pdf
}

// TestPDFSays reads the text back, page by page: what must stand on every page does, and the words are those of the golden file.
func TestPDFSays(t *testing.T) {
	doc := sample()
	pdf := painted(t, doc)
	if shots := os.Getenv("ISTHMUS_SHOTS"); shots != "" {
		if err := os.WriteFile(filepath.Join(shots, "report-sample.pdf"), pdf, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	pages := textOf(t, pdf)
	_, code, _ := doc.Seal("p1")
	for i, page := range pages {
		flat := strings.Join(strings.Fields(page), " ")
		for _, must := range []string{doc.Programme, "31 March 2026", doc.Standard, doc.Caution, code, "1 April 2026, 09:30:15 UTC", doc.Subject} {
			if !strings.Contains(flat, must) {
				t.Errorf("page %d lacks %q", i+1, must)
			}
		}
	}
	golden := filepath.Join("testdata", "sample.txt")
	text := strings.Join(pages, "\n----\n")
	if *update {
		if err := os.WriteFile(golden, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if string(want) != text {
		t.Errorf("the text is not that of %s: read the difference after -update\n%s", golden, text)
	}
}

// TestSameBytes holds that painting again gives the same file, and that one letter more gives another code.
func TestSameBytes(t *testing.T) {
	if !bytes.Equal(painted(t, sample()), painted(t, sample())) {
		t.Error("the same document gave two files")
	}
	other := sample()
	other.Sections[0].Blocks[0].Text += "."
	hash, code, _ := sample().Seal("p1")
	if again, _, _ := sample().Seal("p2"); again == hash {
		t.Error("two programmes share a seal")
	}
	if _, changed, _ := other.Seal("p1"); changed == code {
		t.Error("another text has the same code")
	}
}

// TestNothingIsPainted lists what a document may not lack.
func TestNothingIsPainted(t *testing.T) {
	for name, spoil := range map[string]func(*Document){
		"caution": func(d *Document) { d.Caution = "" }, "standard": func(d *Document) { d.Standard = "" }, "programme": func(d *Document) { d.Programme = "" },
		"day": func(d *Document) { d.On = "" }, "made": func(d *Document) { d.Made = time.Time{} }, "title": func(d *Document) { d.Title = "" },
		"cells": func(d *Document) { d.Sections[3].Blocks[0].Table.Rows[7] = []string{"one"} },
		"chart": func(d *Document) { d.Sections[1].Blocks[0].Chart.X.Max = 0 },
	} {
		doc := sample()
		spoil(&doc)
		if _, err := PDF(doc, "x"); err == nil {
			t.Errorf("painted without %s", name)
		}
	}
}

// TestCodeIsReadBack types codes the way people do.
func TestCodeIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		doc := sample()
		doc.Subject = rapid.StringN(1, 30, -1).Draw(t, "subject")
		_, code, err := doc.Seal("p1")
		if err != nil {
			t.Fatal(err)
		}
		typed := code
		if rapid.Bool().Draw(t, "careless") {
			typed = strings.NewReplacer("-", " ", "0", "o", "1", "l").Replace(strings.ToLower(code))
		}
		if read, ok := ReadCode(typed); !ok || read != code {
			t.Fatalf("ReadCode(%q) = %q, %v, want %q", typed, read, ok, code)
		}
	})
	for _, none := range []string{"", "ABC", "00000-00000-00000-0000U", "00000-00000-00000-000000"} {
		if read, ok := ReadCode(none); ok {
			t.Errorf("ReadCode(%q) = %q, want none", none, read)
		}
	}
}

// TestAnythingFits paints whatever people may write: nothing breaks the painter, and no line leaves its column.
func TestAnythingFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[a-zA-Z0-9]{0,400}`), rapid.StringMatching(`([a-z]{1,30} )*`))
		doc := sample()
		doc.Subject, doc.Programme = "x"+text.Draw(t, "subject"), "y"+text.Draw(t, "programme")
		doc.Sections = []Section{{Title: text.Draw(t, "title"), Blocks: []Block{
			{Text: text.Draw(t, "text")}, {Facts: []Fact{{"Name", text.Draw(t, "fact")}}},
			{Table: &Table{Columns: []Column{{"A", 1, false}, {"B", 2, true}}, Rows: [][]string{{text.Draw(t, "a"), text.Draw(t, "b")}}}},
		}}}
		if _, err := PDF(doc, "c"); err != nil {
			t.Fatal(err)
		}
		p, err := paint(doc, "c", 1)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range p.lines(text.Draw(t, "line"), cellStyle, 20) {
			if p.width(line, cellStyle) > 20.01 && len([]rune(line)) > 1 {
				t.Fatalf("%q is %.1f mm wide", line, p.width(line, cellStyle))
			}
		}
	})
}
