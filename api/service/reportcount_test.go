package service

import (
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// TestTellHides counts any cases: no small count is told, kinds of event only beside how many cases had any, and where one list must not
// tell how many cases there are, none tells anything.
func TestTellHides(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const limit = 5
		pick := func(list []competency.Choice, name string) string { return rapid.SampledFrom(list).Draw(t, name).ID }
		records := make([]signedRecord, rapid.IntRange(0, 40).Draw(t, "cases"))
		for i := range records {
			r := &records[i]
			r.Record.Operation = pick(competency.Operations[:3], "operation")
			r.Computed = &competency.Computed{Pattern: af.Pattern(pick(competency.PatternChoices[:2], "pattern")), Scope: atrium.Scope(pick(competency.ScopeChoices, "scope"))}
			r.signed.Role = competency.Role(pick(competency.RoleChoices, "role"))
			if rapid.IntRange(0, 3).Draw(t, "event") == 0 {
				r.Record.Events = []string{pick(competency.Events, "first"), pick(competency.Events, "second")}
			}
		}
		told := tell(records, limit)
		events, kinds := told.lists[len(told.lists)-2], told.lists[len(told.lists)-1]
		for _, list := range told.lists {
			for i, n := range list.counts {
				if word := list.word(i); word != hiddenWord && (n > 0 && n < limit || !told.all) {
					t.Fatalf("%s: %s is told as %s of %s", list.title, list.names[i], word, told.total())
				}
			}
		}
		for i := range kinds.counts {
			if (events.hidden[0] || events.hidden[1]) && !kinds.hidden[i] {
				t.Fatalf("%d had %s, and the cases with any event are hidden", kinds.counts[i], kinds.names[i])
			}
		}
		if len(records) > 0 && len(records) < limit && told.total() != hiddenWord {
			t.Fatalf("%s cases are told", told.total())
		}
	})
}
