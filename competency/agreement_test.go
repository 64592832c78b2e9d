package competency

import (
	"math"
	"reflect"
	"slices"
	"testing"
	"time"

	"isthmus/assessment/atrium"

	"pgregory.net/rapid"
)

func lesions(names ...atrium.LesionID) []atrium.Lesion {
	list := make([]atrium.Lesion, len(names))
	for i, name := range names {
		list[i] = atrium.Lesion{Name: name}
	}
	return list
}

func TestAccounts(t *testing.T) {
	record := Record{
		Lesions: lesions(atrium.RoofLine, atrium.FloorLine, atrium.IntercavalLine),
		Steps:   []Step{{"roof-line", ByTrainee}, {"floor-line", BySupervisor}, {"intercaval-line", ByTrainee}},
	}
	statement := Statement{Steps: []Step{{"floor-line", ByTraineeWithHelp}, {"roof-line", BySupervisor}, {"intercaval-line", ByTrainee}}}
	want := []StepAccount{
		{"roof-line", ByTrainee, BySupervisor, false, 2}, {"floor-line", BySupervisor, ByTraineeWithHelp, false, -1}, {"intercaval-line", ByTrainee, ByTrainee, true, 0},
	}
	if got := Accounts(record, statement); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// TestAgreementOf takes the published figure as its example: 53 of 83 roles stand (Academic Surgical Congress 2017, abstract 37.05). Its
// 95 % Wilson interval was computed with base R: prop.test(53, 83, correct = FALSE).
func TestAgreementOf(t *testing.T) {
	var cases []Accounted
	for i := range 83 {
		c := Accounted{Case: CaseID(rune('a' + i%26)), SignedAt: time.Date(2026, time.Month(1+i/20), 2, 0, 0, 0, 0, time.UTC), RoleClaimed: RolePrimary, RoleSeen: RolePrimary, EventsAgreed: true}
		c.Steps = []StepAccount{{Step: "roof-line", Agreed: true}, {Step: "floor-line", Agreed: true}}
		if i < 30 {
			c.RoleSeen, c.EventsAgreed = RoleAssistant, i > 2
			c.Steps[0] = StepAccount{Step: "roof-line", Claimed: 1}
		}
		cases = append(cases, c)
	}
	a := AgreementOf(cases)
	if a.Roles.Hits != 53 || a.Roles.N != 83 || len(a.Roles.CaseList) != 30 || a.ClaimedMore.Hits != 30 || a.ClaimedLess.Hits != 0 {
		t.Errorf("%+v", a)
	}
	if a.Events.N != 83 || a.Events.Hits != 80 || len(a.Events.CaseList) != 3 {
		t.Errorf("events %+v", a.Events)
	}
	if len(a.Differing) != 30 || len(a.Differing[0].Steps) != 1 || a.Differing[0].Steps[0].Step != "roof-line" || a.Differing[0].SignedAt.Before(a.Differing[29].SignedAt) {
		t.Errorf("what differs: %+v", a.Differing)
	}
	if math.Abs(*a.Roles.Low-0.5312) > 5e-4 || math.Abs(*a.Roles.High-0.7336) > 5e-4 {
		t.Errorf("%.4f to %.4f", *a.Roles.Low, *a.Roles.High)
	}
	if len(a.Periods) != 2 || a.Periods[0].Quarter != "2026-Q1" || a.Periods[0].Cases+a.Periods[1].Cases != 83 {
		t.Errorf("%+v", a.Periods)
	}
	if none := AgreementOf(nil); none.Steps.Share != nil || none.Cases != 0 {
		t.Errorf("nothing signed gives %+v", none)
	}
}

// TestAgreementOrder holds that the order in which cases come makes no difference to the counts.
func TestAgreementOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var cases []Accounted
		for i := range rapid.IntRange(0, 12).Draw(t, "n") {
			c := Accounted{Case: CaseID(rune('a' + i)), SignedAt: time.Date(2025, time.Month(rapid.IntRange(1, 24).Draw(t, "month")), 1, 0, 0, 0, 0, time.UTC)}
			for range rapid.IntRange(0, 4).Draw(t, "steps") {
				claimed := rapid.IntRange(-2, 2).Draw(t, "claimed")
				c.Steps = append(c.Steps, StepAccount{Agreed: claimed == 0, Claimed: claimed})
			}
			c.EventsAgreed = rapid.Bool().Draw(t, "events")
			cases = append(cases, c)
		}
		a := AgreementOf(cases)
		b := AgreementOf(rapid.Permutation(cases).Draw(t, "order"))
		if a.Steps.Hits != b.Steps.Hits || a.Steps.N != b.Steps.N || len(a.Periods) != len(b.Periods) || a.Steps.N != a.Steps.Hits+a.ClaimedMore.Hits+a.ClaimedLess.Hits {
			t.Fatalf("%+v, then %+v", a, b)
		}
		behind := func(is func(StepAccount) bool) (n int) {
			for _, c := range a.Differing {
				if slices.ContainsFunc(c.Steps, is) {
					n++
				}
			}
			return n
		}
		for _, share := range []struct {
			name string
			list []CaseID
			want int
		}{
			{"steps", a.Steps.CaseList, behind(func(s StepAccount) bool { return !s.Agreed })},
			{"more", a.ClaimedMore.CaseList, behind(func(s StepAccount) bool { return s.Claimed > 0 })},
			{"less", a.ClaimedLess.CaseList, behind(func(s StepAccount) bool { return s.Claimed < 0 })},
		} {
			if len(share.list) != share.want {
				t.Fatalf("%s: %d cases listed, %d differ", share.name, len(share.list), share.want)
			}
		}
	})
}

func TestOverlaps(t *testing.T) {
	one := Case{ID: "1", Record: Record{Steps: []Step{{"roof-line", ByTrainee}, {"floor-line", ByTrainee}}}}
	two := Case{ID: "2", Record: Record{Steps: []Step{{"roof-line", ByTrainee}, {"floor-line", ByTraineeWithHelp}}}}
	want := []Overlap{{"roof-line", []CaseID{"1", "2"}}}
	if got := Overlaps([]Case{two, one}); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
	if got := Overlaps([]Case{one}); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}
