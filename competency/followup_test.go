package competency

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// wholeFollowUp is a follow-up without a fault.
func wholeFollowUp() FollowUp {
	return FollowUp{
		Month: 12, Rhythm: "sinus", Monitoring: "ambulatory", MonitoringHours: 24, Arrhythmia: "none", Antiarrhythmic: "none", Repeat: []string{}, Stroke: "none",
	}
}

func TestFollowUpValidate(t *testing.T) {
	if err := wholeFollowUp().Validate().Err(); err != nil {
		t.Fatal(err)
	}
	for field, change := range map[string]func(f *FollowUp){
		"month":                func(f *FollowUp) { f.Month = 0 },
		"rhythm":               func(f *FollowUp) { f.Rhythm = "" },
		"monitoring":           func(f *FollowUp) { f.Monitoring, f.MonitoringHours = "guess", 0 },
		"monitoring_hours":     func(f *FollowUp) { f.MonitoringHours = 0 },
		"arrhythmia":           func(f *FollowUp) { f.Arrhythmia = "some" },
		"antiarrhythmic":       func(f *FollowUp) { f.Antiarrhythmic = "" },
		"stroke":               func(f *FollowUp) { f.Stroke = "" },
		"pacemaker.reason":     func(f *FollowUp) { f.Pacemaker = &Pacemaker{Band: "later"} },
		"repeat_procedures[1]": func(f *FollowUp) { f.Repeat = []string{"cardioversion", "cardioversion"} },
		"case_key":             func(f *FollowUp) { f.CaseKey = "MRN 3391207" },
		"note":                 func(f *FollowUp) { f.Note = "Mr Halloran is well" },
	} {
		f := wholeFollowUp()
		change(&f)
		list := f.Validate().List
		if len(list) != 1 || list[0].Field != field {
			t.Errorf("%s: %v", field, list)
		}
	}
	if f := wholeFollowUp(); true {
		f.CaseKey = strings.Repeat("0a", 32)
		if err := f.Validate().Err(); err != nil {
			t.Errorf("a keyed hash is refused: %v", err)
		}
	}
	if err := DefaultFollowUpRule().Validate().Err(); err != nil {
		t.Error(err)
	}
	if list := (FollowUpRule{Version: 1, Months: []int{6, 3}, LateAfterDays: 1, EpisodeSeconds: 20}).Validate().List; len(list) != 2 {
		t.Errorf("%v", list)
	}
}

// TestJudge holds the published definition of success: no atrial arrhythmia over 30 s off class I and III drugs after blanking (Calkins
// 2017, from memory; 24 hours of recording: Lee 2010, PMC2967773).
func TestJudge(t *testing.T) {
	rule := DefaultFollowUpRule()
	for _, test := range []struct {
		name   string
		change func(f *FollowUp)
		want   Freedom
	}{
		{"free", func(*FollowUp) {}, FreeOffDrugs},
		{"three months are past the blanking", func(f *FollowUp) { f.Month = 3 }, FreeOffDrugs},
		{"two months are not", func(f *FollowUp) { f.Month, f.Rhythm = 2, "fibrillation" }, NotJudged},
		{"on drugs", func(f *FollowUp) { f.Antiarrhythmic = "class-iii" }, FreeOnDrugs},
		{"a silent episode", func(f *FollowUp) { f.Arrhythmia = "over-30-s" }, Recurred},
		{"flutter on the ECG", func(f *FollowUp) {
			f.Rhythm, f.Monitoring, f.MonitoringHours = "flutter-or-tachycardia", "single-ecg", 0
		}, Recurred},
		{"a single ECG in sinus rhythm", func(f *FollowUp) { f.Monitoring, f.MonitoringHours = "single-ecg", 0 }, NotJudged},
		{"not known", func(f *FollowUp) { f.Arrhythmia = "not-known" }, NotJudged},
	} {
		f := wholeFollowUp()
		test.change(&f)
		if got, why := rule.Judge(f); got != test.want || !strings.Contains(why, "rule 1") {
			t.Errorf("%s: %s (%s), want %s", test.name, got, why, test.want)
		}
	}
	rule.OffAntiarrhythmics = false
	f := wholeFollowUp()
	f.Antiarrhythmic = "class-i"
	if got, _ := rule.Judge(f); got != FreeOffDrugs {
		t.Errorf("a programme that counts success on drugs gets %s", got)
	}
}

func TestSchedule(t *testing.T) {
	rule := DefaultFollowUpRule()
	states := func(list []Due) string {
		words := make([]string, len(list))
		for i, due := range list {
			words[i] = string(due.State)
		}
		return strings.Join(words, " ")
	}
	at := wholeFollowUp()
	at.Month = 3
	died := at
	died.Month, died.Died = 5, true
	for _, test := range []struct {
		name, operated, want string
		today                Day
		done                 []FollowUp
	}{
		{"just operated", "2026-03-14", "later later later later later later later", "2026-03-20", nil},
		{"two weeks before", "2026-03-14", "coming later later later later later later", "2026-06-01", nil},
		{"on the day", "2026-03-14", "due later later later later later later", "2026-06-14", nil},
		{"late", "2026-03-14", "late due later later later later later", "2026-09-20", nil},
		{"done", "2026-03-14", "done due later later later later later", "2026-09-20", []FollowUp{at}},
		{"a month counts from its end", "2026-03", "coming later later later later later later", "2026-06-20", nil},
		{"death ends it", "2026-03-14", "done done", "2027-09-20", []FollowUp{at, died}},
		{"no date", "soon", "", "2026-09-20", nil},
	} {
		if got := states(rule.Schedule(test.operated, test.done, test.today)); got != test.want {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
	}
}

// TestScheduleGrows holds that as days pass nothing that was due is forgotten, and that a follow-up at a scheduled month settles it.
func TestScheduleGrows(t *testing.T) {
	rank := map[DueState]int{DueLater: 0, DueComing: 1, DueNow: 2, DueLate: 3}
	rapid.Check(t, func(t *rapid.T) {
		rule := DefaultFollowUpRule()
		day := Day("2024-01-31").Add(rapid.IntRange(0, 400).Draw(t, "operated"))
		today := day.Add(rapid.IntRange(0, 2000).Draw(t, "after"))
		before, after := rule.Schedule(string(day), nil, today), rule.Schedule(string(day), nil, today.Add(rapid.IntRange(0, 300).Draw(t, "later")))
		if len(before) != len(after) {
			t.Fatalf("%d then %d are asked for", len(before), len(after))
		}
		for i := range before {
			if rank[after[i].State] < rank[before[i].State] {
				t.Fatalf("month %d goes from %s to %s", before[i].Month, before[i].State, after[i].State)
			}
		}
		f := wholeFollowUp()
		f.Month = rapid.SampledFrom([]int{3, 6, 12, 24, 36, 48, 60}).Draw(t, "month")
		for _, due := range rule.Schedule(string(day), []FollowUp{f}, today) {
			if (due.Month == f.Month) != (due.State == DueDone) {
				t.Fatalf("a follow-up at month %d leaves month %d %s", f.Month, due.Month, due.State)
			}
		}
	})
}
