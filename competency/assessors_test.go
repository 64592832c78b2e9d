package competency

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"isthmus/assessment/atrium"
	"isthmus/competency/rating"
)

// signedBy is a signature so many days after submission; version 1 unless said otherwise.
func signedBy(assessor PersonID, n int, trainee PersonID, days float64, help int) Signed {
	at := Day("2026-01-01").Add(n).Start()
	record := Record{Lesions: []atrium.Lesion{{Name: atrium.RoofLine}}, Steps: []Step{{string(atrium.RoofLine), ByTrainee}, {StepAppendage, BySupervisor}}}
	record.Appendage.State = atrium.AppendageExcised
	s := Signed{
		Case: CaseID(fmt.Sprintf("%s-%03d", assessor, n)), Version: 1, Trainee: trainee, Assessor: assessor, SubmittedAt: at,
		SignedAt: at.Add(time.Duration(days * 24 * float64(time.Hour))), Record: record, Statement: Statement{Steps: record.Steps, HelpGiven: help, SupervisionNext: 3, Keep: "calm", Change: "slower"},
	}
	s.LateRecall = days > 14
	return s
}

// TestAssessors counts two assessors by hand: waits, returns, comments, late recall, steps; a withdrawn case and what came later are left out.
func TestAssessors(t *testing.T) {
	var signed []Signed
	for i, days := range []float64{9, 1, 20, 8, 16, 10} {
		signed = append(signed, signedBy("tomasz", i, "ines", days, 3))
	}
	for i := range 3 {
		signed = append(signed, signedBy("leila", i, "kofi", 2, 4), signedBy("mei", i, "kofi", 4, 4))
	}
	signed[1].Statement.Change = " "
	signed[2].Statement.Steps = []Step{{string(atrium.RoofLine), BySupervisor}, {StepAppendage, BySupervisor}}
	gone, later := signedBy("tomasz", 7, "ines", 40, 3), signedBy("tomasz", 300, "ines", 1, 3)
	gone.Withdrawn = true
	returned := []Returned{{"tomasz-000", "tomasz", Day("2026-01-02").Start(), false}, {"x", "noor", Day("2026-01-02").Start(), false}, {"y", "tomasz", Day("2026-01-02").Start(), true}}
	views := AssessorsOf(append(signed, gone, later), returned, ScaleHelpGiven, 14, "2026-03-01")
	var ids []string
	for _, v := range views {
		ids = append(ids, string(v.Assessor))
	}
	if !slices.Equal(ids, []string{"leila", "mei", "noor", "tomasz"}) {
		t.Fatalf("assessors %v", ids)
	}
	v := views[3]
	// of six values the interval of the median goes from the smallest to the largest: 1 - 2/64 = 96.9 %
	if v.N != 6 || v.Delay.Median != 9.5 || v.Delay.Bounds.Low != 1 || v.Delay.Bounds.High != 20 || v.Delay.Refused != "" {
		t.Errorf("delay %+v", v.Delay)
	}
	if v.Returned.Hits != 1 || v.Returned.N != 7 || v.Commented.Hits != 5 || v.Commented.N != 6 || v.Late.Hits != 2 || !slices.Equal(v.Commented.CaseList, []CaseID{"tomasz-001"}) {
		t.Errorf("returned %+v, commented %+v, late %+v", v.Returned, v.Commented, v.Late)
	}
	if v.Steps.Hits != 11 || v.Steps.N != 12 || !slices.Equal(v.Steps.CaseList, []CaseID{"tomasz-002"}) {
		t.Errorf("steps %+v", v.Steps)
	}
	says := strings.Join(v.Says, " ")
	for _, want := range []string{"longer than 9.5 days", "about as long as with the others (3.0 days)", "What helps", "2 of 6 were signed more than 14 days"} {
		if !strings.Contains(says, want) {
			t.Errorf("%q is not in %q", want, says)
		}
	}
	if views[0].Delay.Bounds != nil || views[0].Delay.Refused == "" || len(views[0].Says) != 0 {
		t.Errorf("three signatures: %+v", views[0])
	}
	if v.Severity.Withheld == "" || v.Severity.Interval != nil || views[2].Severity.Withheld == "" || views[2].N != 0 || views[2].Returned.Hits != 1 {
		t.Errorf("severity %+v, %+v", v.Severity, views[2])
	}
}

// TestAmendedCaseCountsOnce: both signatures on an amended case have a wait, but it is one case of steps told alike.
func TestAmendedCaseCountsOnce(t *testing.T) {
	first := signedBy("mei", 1, "ines", 2, 4)
	second := first
	second.Version, second.SubmittedAt, second.SignedAt = 2, first.SignedAt.Add(24*time.Hour), first.SignedAt.Add(96*time.Hour)
	v := AssessorsOf([]Signed{first, second}, nil, ScaleHelpGiven, 14, "2026-03-01")[0]
	if v.N != 2 || v.Delay.Median != 2.5 || v.Steps.N != 2 || v.Severity.N != 1 {
		t.Errorf("%+v", v)
	}
}

// TestOneOtherIsNotShown: compared with a single colleague the others' median would be that colleague's.
func TestOneOtherIsNotShown(t *testing.T) {
	var signed []Signed
	for i := range 8 {
		signed = append(signed, signedBy("mei", i, "ines", 1, 4), signedBy("leila", i, "ines", 9, 4))
	}
	for _, v := range AssessorsOf(signed, nil, ScaleHelpGiven, 14, "2026-03-01") {
		if says := strings.Join(v.Says, " "); strings.Contains(says, "others") {
			t.Errorf("%s: %s", v.Assessor, says)
		}
	}
}

// TestDStudy: phi by the formula for balanced means, and the fewest cases by trying each number; without enough ratings only the reason.
func TestDStudy(t *testing.T) {
	k := RatingComponents{Ratings: 100, Trainees: 10, Assessors: 6, Pairs: 50, Trainee: 0.5, Least: 0.2, Most: 1.4, Assessor: 0.2, Pair: 0.1, Residual: 0.8}
	d := ProjectRatings(k)
	phi := func(n, a float64) float64 { return k.Trainee / (k.Trainee + k.Assessor/a + k.Pair/a + k.Residual/n) }
	if len(d.Means) != 20 {
		t.Fatalf("%d means", len(d.Means))
	}
	for _, m := range d.Means {
		if m.Cases%m.Assessors == 0 && m.Phi != rounded(phi(float64(m.Cases), float64(m.Assessors))) {
			t.Errorf("%+v, want %v", m, phi(float64(m.Cases), float64(m.Assessors)))
		}
		if m.Low > m.Phi || m.High < m.Phi || m.Cases < m.Assessors {
			t.Errorf("%+v", m)
		}
	}
	// The error must be at most 0.5 (1/0.7 - 1) = 0.214. One assessor leaves 0.3 at least, so never; two take 13 cases, 7 and 6: 0.3 x 85/169 +
	// 0.8/13 = 0.212; three 8: 0.3 x 22/64 + 0.1 = 0.203; four 7: 0.3 x 13/49 + 0.8/7 = 0.194; five 6: 0.3 x 8/36 + 0.8/6 = 0.200.
	if want := []int{0, 13, 8, 7, 6}; !slices.Equal(d.Fewest[0].Cases, want) || d.Fewest[0].Says != "Phi 0.7: 6 signed-off cases from 5 assessors." {
		t.Errorf("phi 0.7: %+v, want %v", d.Fewest[0], want)
	}
	if d.Fewest[1].Cases[2] != 33 || d.Fewest[1].Cases[3] != 16 { // at most 0.125: 0.1 + 0.8/33, 0.075 + 0.8/16
		t.Errorf("phi 0.8: %+v", d.Fewest[1])
	}
	if few := k; d.Note != "" {
		t.Errorf("of six assessors: %s", d.Note)
	} else if few.Assessors = 3; ProjectRatings(few).Note == "" {
		t.Error("of three assessors there is no note")
	}
	k.Assessor, k.Pair = 2, 0
	if f := ProjectRatings(k).Fewest[1]; f.Says != "Phi 0.8: not within 100 cases from up to 5 assessors." {
		t.Errorf("%+v", f)
	}
	if d = ProjectRatings(RatingComponents{Refused: "too few"}); len(d.Means) != 0 || len(d.Fewest) != 0 || d.Refused != "too few" {
		t.Errorf("%+v", d)
	}
}

// TestSeverityTold: five assessors over six trainees, one two levels below the rest: told with an interval on the severe side, and in words.
func TestSeverityTold(t *testing.T) {
	var signed []Signed
	for a := range 5 {
		for n := range 12 {
			level := 4 - n%2
			if a == 0 {
				level -= 2
			}
			signed = append(signed, signedBy(PersonID(rune('a'+a)), n, PersonID(rune('p'+n%6)), 1, level))
		}
	}
	views := AssessorsOf(signed, nil, ScaleHelpGiven, 14, "2026-03-01")
	if s := views[0].Severity; s.Interval == nil || s.Interval.Low <= 0 || s.N != 12 || s.Trainees != 6 || s.Value < 1 {
		t.Errorf("severity %+v", s)
	}
	if !strings.Contains(strings.Join(views[0].Says, " "), "lower than the average") {
		t.Errorf("says %q", views[0].Says)
	}
	if views[1].Severity.Withheld != "" && views[1].Severity.Withheld != rating.WithheldAlike {
		t.Errorf("%+v", views[1].Severity)
	}
}
