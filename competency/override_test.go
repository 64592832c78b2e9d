package competency

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"isthmus/assessment/strict"
)

// TestWhatCanBeKept: only what the screen knows by its form can be right to keep.
func TestWhatCanBeKept(t *testing.T) {
	for text, want := range map[string]bool{
		"In this patient Left Atrium was large": true, // name
		"Dr Maze's lines":                       true,
		"lives at 12 Long Mill Road":            true,  // address
		"leads 1/2/12 paced":                    false, // three bare numbers can be written with commas
		"operated 2026-03-14":                   false,
		"14.03.2026":                            false,
		"echo on 14 March":                      false,
		"since March 2024":                      false,
		"MRN 0048213":                           false,
		"see 4821377 for images":                false,
		"555-555-0142":                          false,
		"jane.doe@example.org":                  false,
		"https://example.org/p/1":               false,
		"aged 95":                               false,
	} {
		found := PrivacyScreen(text)
		if len(found) != 1 || found[0].Keepable != want {
			t.Errorf("PrivacyScreen(%q) = %+v, want one, keepable %v", text, found, want)
			continue
		}
		o := Override{Field: "note", Kind: found[0].Kind, Excerpt: found[0].Excerpt, Reason: "a word of anatomy"}
		if refused := CheckOverrides([]Override{o}).Err() != nil; refused == want {
			t.Errorf("an override of %q: refused is %v", found[0].Excerpt, refused)
		}
		if left := Screen("note", text, o).List; (len(left) == 0) != want {
			t.Errorf("Screen(%q) with an override leaves %v", text, left)
		}
	}
}

// TestOverrideIsOfOneFinding: another field, kind or spelling is another finding.
func TestOverrideIsOfOneFinding(t *testing.T) {
	const text = "In this patient Left Atrium was large, said Dr Maze."
	o := Override{Field: "note", Kind: KindName, Excerpt: "patient Left Atrium", Reason: "names the chamber only"}
	left := Screen("note", text, o).List
	want := strict.Fault{Field: "note", Kind: KindName, Excerpt: "Dr Maze", Keepable: true}
	if len(left) != 1 || !strings.Contains(left[0].Message, "overrides") {
		t.Fatalf("left: %v", left)
	}
	left[0].Message = ""
	if left[0] != want {
		t.Errorf("left: %+v, want %+v", left[0], want)
	}
	for _, other := range []Override{
		{Field: "keep", Kind: o.Kind, Excerpt: o.Excerpt}, {Field: "note", Kind: KindAddress, Excerpt: o.Excerpt}, {Field: "note", Kind: o.Kind, Excerpt: "patient left Atrium"},
	} {
		if n := len(Screen("note", text, other).List); n != 2 {
			t.Errorf("%+v: %d findings are left, want both", other, n)
		}
	}
	if used := Used("note", text, []Override{{Field: "note", Kind: KindName, Excerpt: "Dr Gone"}, o, o}); !slices.Equal(used, []Override{o}) {
		t.Errorf("used: %+v", used)
	}
	if within := Within("record", []Override{{Field: "record.note"}, {Field: "note"}, {Field: "recorder.note"}}); len(within) != 1 || within[0].Field != "note" {
		t.Errorf("within: %+v", within)
	}
}

// TestKeptBefore: what stands in a text by an override on record is not asked for again; anything new is.
func TestKeptBefore(t *testing.T) {
	kept := Kept("note", "patient Left Atrium was large, MRN 0048213", []string{KindName, KindRecordNumber})
	if len(kept) != 1 || kept[0].Excerpt != "patient Left Atrium" {
		t.Fatalf("kept: %+v", kept)
	}
	if left := Screen("note", "patient Left Atrium was large, so Dr Maze came", kept...).List; len(left) != 1 || left[0].Excerpt != "Dr Maze" {
		t.Errorf("left: %v", left)
	}
	if none := Kept("note", "patient Left Atrium was large", []string{KindAddress}); len(none) != 0 {
		t.Errorf("kept without an override of the kind: %+v", none)
	}
}

func TestCheckOverrides(t *testing.T) {
	good := Override{Field: "note", Kind: KindName, Excerpt: "patient Left Atrium", Reason: "names the chamber only"}
	with := func(change func(*Override)) Override { o := good; change(&o); return o }
	for name, test := range map[string]struct {
		override Override
		field    string
	}{
		"good":             {good, ""},
		"no field":         {with(func(o *Override) { o.Field = "" }), "overrides[0]"},
		"no words":         {with(func(o *Override) { o.Excerpt = "" }), "overrides[0]"},
		"unknown kind":     {with(func(o *Override) { o.Kind = "mood" }), "overrides[0].kind"},
		"no reason":        {with(func(o *Override) { o.Reason = "" }), "overrides[0].reason"},
		"two words":        {with(func(o *Override) { o.Reason = "not one" }), "overrides[0].reason"},
		"a long reason":    {with(func(o *Override) { o.Reason = strings.Repeat("word ", 61) }), "overrides[0].reason"},
		"the words again":  {with(func(o *Override) { o.Reason = "PATIENT left atrium is the chamber" }), "overrides[0].reason"},
		"a name in reason": {with(func(o *Override) { o.Reason = "as Dr Garcia told me" }), "overrides[0].reason"},
	} {
		faults := CheckOverrides([]Override{test.override}).List
		if test.field == "" && len(faults) > 0 || test.field != "" && (len(faults) != 1 || faults[0].Field != test.field || faults[0].Keepable) {
			t.Errorf("%s: %+v, want a fault at %q", name, faults, test.field)
		}
	}
	if CheckOverrides(slices.Repeat([]Override{good}, mostOverrides+1)).Err() == nil {
		t.Error("too many overrides pass")
	}
}

// TestKeepThroughLife: every act that takes free text takes an override of what it stops, and nothing passes without.
func TestKeepThroughLife(t *testing.T) {
	const words = "patient Left Atrium"
	says := "Take care: in this " + words + " tissue is thin."
	keep := func(field string) Override {
		return Override{Field: field, Kind: KindName, Excerpt: words, Reason: "names the chamber only"}
	}
	record := sampleRecord()
	record.Note = says
	settings := Defaults()
	made := func(kept ...Override) (Case, error) {
		return NewCase("c", "p", "trainee", record, settings, march20, kept...)
	}
	draft, err := made(keep("note"))
	if err != nil {
		t.Fatal(err)
	}
	waiting, err := Submit(draft, Computed{Role: RolePrimary}, settings, march20, keep("note"))
	if err != nil {
		t.Fatal(err)
	}
	statement := goodStatement(record)
	statement.Keep = says
	for name, act := range map[string]func(...Override) error{
		"create": func(kept ...Override) error { _, err := made(kept...); return err },
		"edit": func(kept ...Override) error {
			_, err := EditDraft(draft, record, settings, march20, kept...)
			return err
		},
		"submit": func(kept ...Override) error {
			_, err := Submit(draft, Computed{}, settings, march20, kept...)
			return err
		},
		"return": func(kept ...Override) error {
			_, err := Return(waiting, record.Supervisor, says, march20, kept...)
			return err
		},
		"withdraw": func(kept ...Override) error { _, err := Withdraw(waiting, says, march20, kept...); return err },
		"sign off": func(kept ...Override) error {
			_, _, err := SignOffCase(waiting, supervisor, statement, settings, march20, kept...)
			return err
		},
	} {
		var faults strict.Faults
		if err := act(); !errors.As(err, &faults) || len(faults.List) != 1 || !faults.List[0].Keepable {
			t.Errorf("%s without an override: %v", name, err)
			continue
		}
		if err := act(keep(faults.List[0].Field)); err != nil {
			t.Errorf("%s with an override: %v", name, err)
		}
	}
}
