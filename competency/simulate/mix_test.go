package simulate

import (
	"fmt"
	"slices"
	"testing"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// TestMixOf counts by hand: two trainees, 30 signed cases in the year, 10 older, one withdrawn. 32 operations in 280 days are 41.7 a year.
func TestMixOf(t *testing.T) {
	const on = competency.Day("2026-06-30")
	var evidence []competency.Evidence
	for trainee := range 2 {
		var e competency.Evidence
		for i := range 20 {
			day := on.Add(-i * 10)
			c := competency.SignedCase{ID: competency.CaseID(fmt.Sprint(i)), OperatedOn: string(day), SignedAt: day.Start(), Pattern: af.Persistent, Scope: atrium.ScopeBiatrial,
				Operation: "mitral", Role: competency.RolePrimary, LinesComplete: i%5 > 0, BlockTested: true, LateRecall: i == 3, Assessor: competency.PersonID(fmt.Sprint(i % (trainee + 2)))}
			if i >= 15 {
				c.OperatedOn = string(on.Add(-400 - i))
			}
			if i%3 == 0 {
				c.Scope, c.Role = atrium.ScopeBox, competency.RoleAssistant
			}
			e.Cases = append(e.Cases, c)
		}
		e.Pending = []competency.PendingCase{{OperatedOn: string(on.Add(-60)), Status: competency.CaseSubmitted}, {OperatedOn: string(on.Add(-5)), Status: competency.CaseSubmitted}, {OperatedOn: string(on.Add(-60)), Status: competency.CaseDraft}}
		evidence = append(evidence, e)
	}
	evidence[0].Cases = append(evidence[0].Cases, competency.SignedCase{OperatedOn: string(on), Withdrawn: true})
	evidence = append(evidence, competency.Evidence{}) // joined yesterday
	mix, n := MixOf(evidence, on)
	if n != 30 || mix.CasesPerYear != 41.7 || mix.Primary != 0.6667 || mix.Incomplete != 0.2 || mix.Late != 0.0667 || mix.Unsigned != 0.0625 || mix.Assessors != 3 {
		t.Errorf("n %d, %+v", n, mix)
	}
	want := []CaseKind{{af.Persistent, atrium.ScopeBiatrial, "mitral", 20}, {af.Persistent, atrium.ScopeBox, "mitral", 10}}
	if !slices.Equal(mix.Kinds, want) {
		t.Errorf("kinds %+v", mix.Kinds)
	}
	for name, m := range map[string]Mix{"counted": mix, "to start from": startingMix()} {
		p := plain(0.2, competency.ExampleStandard().Requirements...)
		p.Mix = m
		if faults := p.Validate(); faults.Err() != nil {
			t.Errorf("%s: %v", name, faults.Err())
		}
	}
	few, n := MixOf(evidence[2:], on)
	if n != 0 || !slices.Equal(few.Kinds, startingMix().Kinds) {
		t.Errorf("from nothing: n %d, %+v", n, few)
	}
}
