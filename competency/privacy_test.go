package competency

import (
	"strings"
	"testing"
)

func TestPrivacyScreenFinds(t *testing.T) {
	tests := []struct{ kind, text string }{
		{KindRecordNumber, "MRN 0048213, straightforward"},
		{KindRecordNumber, "hospital number: 48213"},
		{KindRecordNumber, "patient id A-48213"},
		{KindRecordNumber, "ID 48213"},
		{KindRecordNumber, "see 4821377 for images"},
		{KindRecordNumber, "NHS no 943 476 5919"},
		{KindPhone, "943 476 5919"},
		{KindRecordNumber, "SSN 078-05-1120"},
		{KindRecordNumber, "clip serial no. 77A1234"},
		{KindDate, "operated 2026-03-14"},
		{KindDate, "14/3/26 first attempt"},
		{KindDate, "14.03.2026"},
		{KindDate, "03-14-2026"},
		{KindDate, "echo on 14 March"},
		{KindDate, "echo on March 14th, 2026"},
		{KindDate, "since march 2024"},
		{KindDate, "the 2nd of May"},
		{KindName, "Mr Smith did well"},
		{KindName, "Mrs. Ola Nordmann"},
		{KindName, "discussed with Dr Garcia"},
		{KindName, "discussed with dr garcia"},
		{KindName, "Prof. O'Neill scrubbed"},
		{KindName, "patient John Smith came back"},
		{KindName, "name: smith"},
		{KindName, "initials J.S."},
		{KindPhone, "call +44 20 7946 0123"},
		{KindPhone, "(555) 555-0142"},
		{KindPhone, "555-555-0142"},
		{KindPhone, "bleep 4821"},
		{KindPhone, "020 7946 0123"},
		{KindEmail, "jane.doe@example.org"},
		{KindAddress, "lives at 12 Long Mill Road"},
		{KindAddress, "SW1A 1AA"},
		{KindAddress, "Springfield, IL 62704"},
		{KindAddress, "P.O. Box 12"},
		{KindAge, "a 92-year-old with AF"},
		{KindAge, "91 yo"},
		{KindAge, "aged 95"},
		{KindAge, "93 years of age"},
		{KindWeb, "https://example.org/p/1"},
		{KindWeb, "10.0.0.12"},
	}
	for _, test := range tests {
		found := PrivacyScreen(test.text)
		if len(found) != 1 || found[0].Kind != test.kind || found[0].Reason == "" || !strings.Contains(test.text, found[0].Excerpt) {
			t.Errorf("PrivacyScreen(%q) = %v, want one %s", test.text, found, test.kind)
		}
	}
}

// TestPrivacyScreenLeavesClinicalProse holds notes of the kind surgeons write; a false alarm here would teach people to write nothing.
func TestPrivacyScreenLeavesClinicalProse(t *testing.T) {
	for _, text := range []string{
		"", "LA 48 mm", "2 applications at 60 s", "P2 flail", "3 months", "LA 48 mm, 2 applications at 60 s each, P2 flail, AF for 3 months",
		"Severe MR, moderate TR; EF 45 %. MR Severe before, none after.",
		"Cryo -60 C for 120 s at the annular end, 3 x 2 min.",
		"Roof line reached only after a third application; exit block 3/4 veins, then 4/4.",
		"Gave the patient 1000 ml, pressure 120/80, ACT 480-520, CPB 112 min, clamp 84 min.",
		"Rhythm at 6 and 12 months: sinus. Holter 24 h. May need a pacemaker; 2 may be enough.",
		"Bachmann bundle spared. Marshall ligament divided. Waterston groove developed.",
		"78-year-old, CHA2DS2-VASc 4, weight 92 kg, age 71",
		"Age 95 days at sign-off. Followed up for 24 months. 89 years old.",
		"The professor advised a second pass; the Dr was at call. Miss the phrenic nerve: stay 1 cm posterior.",
		"RSPV 4.2 ms, threshold 0.5-1.5 V, 10.5 mA; wavelength 70 mm (250 ms x 0.28 m/s)",
		"Case 12 of the month; line 2 redone; step 3/5, LIPV 300-1000 ms",
		"Clamp 2+2+2 bites. ID of the veins easy. V1 0.2 mV. Size 40 clip. Ratio 1.25.3",
		"Tricuspid ring 32. Mitral ring 34. 5-0 suture x 4, 4-0 x 2. 150 J x 3.",
		"Patient Stable. Sinus at day 5. Bleeding 250 ml/h, reopened at 6 h.",
		"cell saver 500 ml; LAA 2 cm stump; occluder 40 mm; TOE 0 flow",
	} {
		if found := PrivacyScreen(text); len(found) > 0 {
			t.Errorf("PrivacyScreen(%q) = %v, want nothing", text, found)
		}
	}
}

func TestPrivacyScreenOrder(t *testing.T) {
	found := PrivacyScreen("Mr Smith, 14 March, 92 yo")
	if len(found) != 3 || found[0].Kind != KindName || found[1].Kind != KindDate || found[2].Kind != KindAge {
		t.Errorf("PrivacyScreen finds %v, want a name, a date and an age in this order", found)
	}
}

func FuzzPrivacyScreen(f *testing.F) {
	for _, seed := range []string{"LA 48 mm", "Mr Smith, 14/3/26", "MRN 0048213", "call +44 20 7946 0123", "a 92-year-old", "\xff\xfe 12 Road"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, finding := range PrivacyScreen(text) {
			if finding.Excerpt == "" || !strings.Contains(text, finding.Excerpt) || finding.Reason == "" || finding.Kind == "" {
				t.Errorf("PrivacyScreen(%q) gives %+v", text, finding)
			}
		}
	})
}
