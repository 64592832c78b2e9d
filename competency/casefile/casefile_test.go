package casefile_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/casefile"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

var people = map[string]competency.PersonID{"mei@example.org": "p-mei", "ines@example.org": "p-ines"}

func reading(m casefile.Mapping) casefile.Reading {
	settings := competency.Defaults()
	settings.Sites = []string{"North", "South"}
	return casefile.Reading{
		Mapping: m, Settings: settings, Today: "2026-06-01", Self: "p-ines",
		Person: func(email string) (competency.PersonID, bool) { id, known := people[email]; return id, known },
	}
}

// drawRecord draws a complete record: named and drawn lesions, and a note that tries to be a formula.
func drawRecord(t *rapid.T) competency.Record {
	pick := func(label string, list []competency.Choice) string { return rapid.SampledFrom(list).Draw(t, label).ID }
	r := competency.Record{
		Supervisor: "p-mei", Site: rapid.SampledFrom([]string{"North", "South"}).Draw(t, "site"),
		OperatedOn:     fmt.Sprintf("2026-0%d-1%d", rapid.IntRange(1, 5).Draw(t, "month"), rapid.IntRange(0, 9).Draw(t, "day")),
		AF:             af.History{ContinuousMonths: float64(rapid.IntRange(1, 60).Draw(t, "months")), Ends: af.DoesNotEnd, RhythmControlPursued: true},
		LeftAtriumBand: pick("band", competency.LeftAtriumBands), Operation: pick("operation", competency.Operations), Approach: pick("approach", competency.Approaches),
		Urgency: pick("urgency", competency.Urgencies), OnBypass: true, LeftAtriumOpened: rapid.Bool().Draw(t, "opened"),
		Events: []string{}, Note: rapid.SampledFrom([]string{"", "=1+1", "-cmd", "'quoted", "two bites; \"slow\", wide\nsecond line", "+ line", "@x"}).Draw(t, "note"),
	}
	catalogue := atrium.Catalogue()
	for i := range rapid.IntRange(0, 5).Draw(t, "lesions") {
		lesion := atrium.Lesion{Name: catalogue[i].ID}
		if rapid.Bool().Draw(t, "drawn") {
			x := rapid.Float64Range(-0.5, 0.5).Draw(t, "x")
			lesion = atrium.Lesion{Chamber: atrium.LeftAtrium, Path: []atrium.Vec{{x, 0.2, 0.9}, {x / 3, -0.2, 0.7}}}
		}
		lesion.Energy = rapid.SampledFrom([]atrium.Energy{atrium.BipolarRF, atrium.Cryo, atrium.Incision}).Draw(t, "energy")
		lesion.Applications = rapid.IntRange(0, 4).Draw(t, "applications")
		lesion.Block = rapid.SampledFrom([]atrium.BlockTest{"", atrium.ExitBlock, atrium.NotTested}).Draw(t, "block")
		r.Lesions = append(r.Lesions, lesion)
	}
	r.Appendage.State = atrium.AppendageKept
	if rapid.Bool().Draw(t, "excised") {
		r.Appendage = competency.AppendageDelivered{State: atrium.AppendageExcised, Method: "excision-and-suture", Result: "closed"}
	}
	if rapid.Bool().Draw(t, "event") {
		r.Events = []string{"pacemaker", "stroke"}
	}
	for _, id := range competency.StepsOf(r.Lesions, r.Appendage) {
		r.Steps = append(r.Steps, competency.Step{Step: id, PerformedBy: competency.Performer(pick("by", competency.Performers))})
	}
	return r
}

// TestRoundTrip holds that a log written in either format is read back as it was, formulas and all.
func TestRoundTrip(t *testing.T) {
	for _, format := range []casefile.Format{casefile.CSV, casefile.XLSX} {
		t.Run(string(format), func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				var log []casefile.Listed
				for range rapid.IntRange(1, 4).Draw(t, "cases") {
					log = append(log, casefile.Listed{Trainee: "ines@example.org", Supervisor: "mei@example.org", Record: drawRecord(t), Status: competency.CaseDraft})
				}
				data, err := casefile.Write(format, log)
				if err != nil {
					t.Fatal(err)
				}
				sheet, err := casefile.Read(data)
				if err != nil {
					t.Fatal(err)
				}
				entries, err := sheet.Records(reading(casefile.Guess(sheet.Header)))
				if err != nil {
					t.Fatal(err)
				}
				for i, entry := range entries {
					want := log[i].Record
					if want.Steps == nil {
						want.Steps = []competency.Step{}
					}
					if !reflect.DeepEqual(entry.Record, want) || entry.Trainee != "p-ines" {
						t.Fatalf("case %d comes back as\n%+v, want\n%+v", i, entry.Record, want)
					}
				}
			})
		})
	}
}

func TestFaultsNameTheCell(t *testing.T) {
	csv := "operated_on;site;supervisor;operation;approach;urgency;on_bypass;left_atrium_opened;left_atrium_band;af_continuous_months;af_ends;rhythm_control_pursued;lesions;appendage_state;events;note\n" +
		"2026-03-14;West;who@example.org;mitral;sternotomy;elective;yes;perhaps;45-49;minus;does-not-end;yes;roof-line, fire, by trainee;kept;none;Mr Halloran\n" +
		"2026-03-14;North;mei@example.org;mitral;sternotomy;elective;yes;no;45-49;6;does-not-end;yes;roof-line, cryo, x1;kept;none;\n"
	sheet, err := casefile.Read([]byte(csv))
	if err != nil {
		t.Fatal(err)
	}
	_, err = sheet.Records(reading(casefile.Guess(sheet.Header)))
	var faults casefile.Faults
	if !errors.As(err, &faults) {
		t.Fatalf("%v", err)
	}
	got := map[string]bool{}
	for _, fault := range faults {
		got[fault.Cell] = true
		if fault.Message == "" {
			t.Errorf("%+v says nothing", fault)
		}
	}
	for _, cell := range []string{"B2", "C2", "H2", "J2", "M2", "P2", "M3"} {
		if !got[cell] {
			t.Errorf("no fault names %s: %v", cell, faults)
		}
	}
	if got["B3"] || got["P3"] {
		t.Errorf("what is right is blamed: %v", faults)
	}
}

func TestRefusedFiles(t *testing.T) {
	merged := excelize.NewFile()
	_ = merged.SetCellValue("Sheet1", "A1", "site")
	_ = merged.MergeCell("Sheet1", "A2", "B3")
	book, _ := merged.WriteToBuffer()
	var bomb bytes.Buffer
	z := zip.NewWriter(&bomb)
	for _, name := range []string{"[Content_Types].xml", "xl/workbook.xml", "xl/worksheets/sheet1.xml"} {
		w, _ := z.Create(name)
		_, _ = w.Write(bytes.Repeat([]byte(" "), 80<<20))
	}
	_ = z.Close()
	if bomb.Len() > 1<<20 {
		t.Fatalf("the bomb is %d bytes", bomb.Len())
	}
	var faults casefile.Faults
	for name, test := range map[string]struct {
		data []byte
		want error
	}{
		"empty":      {nil, casefile.ErrEmpty},
		"blank":      {[]byte("\n\n , ,\n"), casefile.ErrEmpty},
		"large":      {bytes.Repeat([]byte("a"), 100<<20), casefile.ErrTooLarge},
		"utf-16":     {[]byte("\xff\xfes\x00i\x00t\x00e\x00"), casefile.ErrEncoding},
		"latin-1":    {[]byte("site,note\nNorth,caf\xe9\n"), casefile.ErrEncoding},
		"old":        {[]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), casefile.ErrNotTable},
		"broken zip": {[]byte("PK\x03\x04 nothing"), casefile.ErrNotTable},
		"zip bomb":   {bomb.Bytes(), casefile.ErrUnpacked},
		"rows":       {[]byte("site\n" + strings.Repeat("North\n", casefile.MaxRows+1)), casefile.ErrRows},
		"columns":    {[]byte(strings.Repeat("a,", 300) + "\n"), casefile.ErrWide},
	} {
		if _, err := casefile.Read(test.data); !errors.Is(err, test.want) {
			t.Errorf("%s: %v, want %v", name, err, test.want)
		}
	}
	for name, data := range map[string][]byte{"merged": book.Bytes(), "quoting": []byte("site,note\nNorth,\"a\" b\"\n"), "long": []byte("site\n" + strings.Repeat("x", 30_000) + "\n")} {
		if _, err := casefile.Read(data); !errors.As(err, &faults) || faults[0].Cell == "" {
			t.Errorf("%s: %v, want faults with a cell", name, err)
		}
	}
	sheet, err := casefile.Read([]byte("Site,Who\nNorth,x\n"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := sheet.Records(reading(casefile.Mapping{"site": "Place", "colour": "Who"})); !errors.As(err, &faults) || len(faults) != 2 {
		t.Errorf("a wrong mapping gives %v", err)
	}
}

func TestTemplate(t *testing.T) {
	for _, format := range []casefile.Format{casefile.CSV, casefile.XLSX} {
		data, err := casefile.Template(format)
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := casefile.Read(data)
		if err != nil || len(sheet.Header) != len(casefile.Fields()) || len(sheet.Rows) != 0 || len(casefile.Guess(sheet.Header)) != len(sheet.Header) {
			t.Errorf("%s: %+v, %v", format, sheet, err)
		}
	}
}

func FuzzRead(f *testing.F) {
	template, _ := casefile.Template(casefile.XLSX)
	for _, seed := range [][]byte{template, []byte("site,note\nNorth,x\n"), []byte("site;lesions\nNorth;drawn left-atrium line (0 0 1) (0.1 0 1), cryo, x2, by trainee\n"), []byte("\xff\xfe")} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		sheet, err := casefile.Read(data)
		if err != nil {
			return
		}
		entries, err := sheet.Records(reading(casefile.Guess(sheet.Header)))
		if err == nil && len(entries) != len(sheet.Rows) {
			t.Errorf("%d rows give %d cases", len(sheet.Rows), len(entries))
		}
	})
}
