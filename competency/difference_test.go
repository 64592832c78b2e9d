package competency

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestBetween(t *testing.T) {
	const requirements = "{id: cases, kind: count, at_least: 6}\n  - {id: recent, kind: recency, at_least: 3, within_days: 30}\n  - {id: old, kind: count, at_least: 1}\n"
	first, err := DecodeStandard("s.yaml", []byte(head+"  - "+requirements))
	if err != nil {
		t.Fatal(err)
	}
	second := first
	second.Version, second.Requirements = 2, []Requirement{first.Requirements[0], first.Requirements[1], {ID: "new", Kind: KindCount, AtLeast: 2}}
	evidence := Evidence{Cases: series(6)} // operated 45, 38, 31, 24, 17 and 10 days before, signed two days later
	d := Between(Stand(first, evidence, judgedOn.Add(-16)), Stand(second, evidence, judgedOn))
	if d.Before.On != string(judgedOn.Add(-16)) || d.After.StandardVersion != 2 || d.Same != 0 || d.Caution == "" {
		t.Errorf("head: %+v", d)
	}
	type row struct{ id, before, after, came, went string }
	rows := make([]row, len(d.Requirements))
	for i, r := range d.Requirements {
		figures := func(f *Figures) string {
			if f == nil {
				return ""
			}
			return string(f.State)
		}
		evidence := func(list []Moved) string {
			var parts []string
			for _, m := range list {
				parts = append(parts, m.ID+" "+m.Kind+": "+m.Reason)
			}
			return strings.Join(parts, "; ")
		}
		rows[i] = row{r.Requirement, figures(r.Before), figures(r.After), evidence(r.Came), evidence(r.Went)}
	}
	late := "signed off after " + string(judgedOn.Add(-16))
	all := "c00-0 case: not asked for; c01-1 case: not asked for; c02-2 case: not asked for; c03-0 case: not asked for; "
	want := []row{
		{"cases", "on-course", "met", "c04-1 case: " + late + "; c05-2 case: " + late, ""},
		{"recent", "met", "met", "c04-1 case: " + late + "; c05-2 case: " + late, "c00-0 case: operated more than 30 days before; c01-1 case: operated more than 30 days before; c02-2 case: operated more than 30 days before"},
		{"new", "", "met", all + "c04-1 case: not asked for; c05-2 case: not asked for", ""},
		{"old", "met", "", "", strings.TrimSuffix(all, "; ")},
	}
	if diff := cmp.Diff(want, rows, cmp.AllowUnexported(row{})); diff != "" {
		t.Error(diff)
	}
}

// TestBetweenMirrors: nothing changed between a standing and itself; the other way round, what came has gone; and what came or went accounts for
// all that differs in what is used.
func TestBetweenMirrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		evidence, standard := randomEvidence(t), ExampleStandard()
		a := Stand(standard, evidence, judgedOn.Add(-rapid.IntRange(0, 500).Draw(t, "days")))
		b := Stand(standard, evidence, judgedOn)
		if d := Between(a, a); len(d.Requirements) != 0 || d.Same != len(standard.Requirements) {
			t.Fatalf("from itself: %+v", d)
		}
		there, back := Between(a, b), Between(b, a)
		for i, r := range there.Requirements {
			other := back.Requirements[i]
			if other.Requirement != r.Requirement || !cmp.Equal(ids(r.Came), ids(other.Went)) || !cmp.Equal(ids(r.Went), ids(other.Came)) || !cmp.Equal(r.Before, other.After) {
				t.Fatalf("%+v\nbut back %+v", r, other)
			}
			before, _ := a.requirement(r.Requirement)
			after, _ := b.requirement(r.Requirement)
			kept := slices.DeleteFunc(slices.Clone(before.Used), func(id string) bool { return slices.Contains(ids(r.Went), id) })
			if !cmp.Equal(sorted(append(kept, ids(r.Came)...)), sorted(after.Used)) {
				t.Fatalf("%+v does not lead from %v to %v", r, before.Used, after.Used)
			}
		}
	})
}

func ids(list []Moved) []string {
	names := make([]string, len(list))
	for i, m := range list {
		names[i] = m.ID
	}
	return names
}

func TestHindsight(t *testing.T) {
	evidence := Evidence{Cases: series(3)}
	if got := Hindsight(evidence, judgedOn); len(got) != 1 || !strings.Contains(got[0], "hash") {
		t.Errorf("nothing to say: %q", got)
	}
	evidence.Cases[0].Withdrawn, evidence.Cases[2].Withdrawn = true, true
	evidence.Pending = []PendingCase{{"j", "2026-06-01", CaseSubmitted}}
	before := strings.Join(Hindsight(evidence, judgedOn.Add(-15)), " ") // the last case was signed later
	if !strings.HasPrefix(before, "1 case signed by then is withdrawn today. It counts on no day") || !strings.Contains(before, "What waits is told as it is today") {
		t.Errorf("got %q", before)
	}
	if after := Hindsight(evidence, judgedOn)[0]; !strings.HasPrefix(after, "2 cases signed by then are withdrawn today. They count") {
		t.Errorf("got %q", after)
	}
}

func TestRecompute(t *testing.T) {
	standard, evidence := ExampleStandard(), readyEvidence()
	frozen := Stand(standard, evidence, judgedOn)
	if got := Recompute(frozen, standard, evidence); len(got) != 0 {
		t.Errorf("the same is different: %q", got)
	}
	for name, c := range map[string]struct {
		tamper func()
		want   string
	}{
		"a state":        {func() { frozen.Requirements[1].State = Short }, `requirements[1].state is "short", computed again "met"`},
		"a word":         {func() { frozen.Overall = "Fine." }, `overall is "Fine.", computed again "Ready for committee review`},
		"evidence gone":  {func() { evidence.Cases = evidence.Cases[1:] }, "evidence_hash is"},
		"evidence used":  {func() { frozen.Requirements[0].Used = frozen.Requirements[0].Used[1:] }, "requirements[0].used is"},
		"a figure added": {func() { frozen.Requirements[0].Interval = &Interval{Level: 0.9} }, `requirements[0].interval is {"high":0,"level":0.9,"low":0,"method":""}, computed again null`},
		"the standard":   {func() { standard.Requirements[0].AtLeast = 40 }, "requirements[0].target is 12, computed again 40"},
	} {
		standard, evidence = ExampleStandard(), readyEvidence()
		frozen = Stand(standard, evidence, judgedOn)
		c.tamper()
		if got := Recompute(frozen, standard, evidence); len(got) == 0 || !strings.Contains(strings.Join(got, "\n"), c.want) {
			t.Errorf("%s: %q", name, got)
		}
	}
}
