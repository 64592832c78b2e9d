package competency

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// anyStandard draws standards that the table allows, from the lines of the example and more.
func anyStandard(t *rapid.T) Standard {
	pool := append(ExampleStandard().Requirements,
		Requirement{ID: "second", Kind: KindRecency, AtLeast: 2, WithinDays: 90},
		Requirement{ID: "third", Kind: KindCompleteness, Share: 0.9, Last: 20, Filter: Filter{Operation: []string{"mitral", "coronary"}, PeriodDays: 700}})
	s := Standard{
		ID: rapid.SampledFrom([]string{"own", "example"}).Draw(t, "id"), Title: rapid.SampledFrom([]string{"Our own", "It's: \"ours\" # not yours", "Example standard, to be replaced by the programme's own"}).Draw(t, "title"),
		Version: rapid.IntRange(1, 9).Draw(t, "version"), Example: rapid.Bool().Draw(t, "example"), Note: rapid.SampledFrom([]string{"", "Short.", strings.Repeat("A long note. ", 30) + "End."}).Draw(t, "note"),
	}
	for _, i := range rapid.SliceOfNDistinct(rapid.IntRange(0, len(pool)-1), 1, len(pool), rapid.ID[int]).Draw(t, "lines") {
		r := pool[i]
		if r.AtLeast > 0 && rapid.Bool().Draw(t, "other number") {
			r.AtLeast = rapid.IntRange(1, 30).Draw(t, "at least")
		}
		if rapid.Bool().Draw(t, "renamed") {
			r.ID += "-b"
		}
		s.Requirements = append(s.Requirements, r)
	}
	return s
}

// TestRewriteSaysTheSame: whatever the earlier text, the new one says the standard, and writing it again changes nothing.
func TestRewriteSaysTheSame(t *testing.T) {
	flow := "{id: a, title: All in one, version: 1, requirements: [{id: one, kind: count, at_least: 3}]}\n"
	inline := "id: a # own\ntitle: A standard\nversion: 1\nrequirements: # two\n- {id: one, kind: count, at_least: 3} # why three\n# the second\n-   id: two\n    kind: recency\n    within_days: 9 # days\n\n    at_least: 1\n# the end\n"
	rapid.Check(t, func(t *rapid.T) {
		before := []byte(rapid.SampledFrom([]string{string(ExampleStandardYAML()), flow, inline, "", "id: [", "title: x\n"}).Draw(t, "before"))
		wanted := anyStandard(t)
		text := RewriteStandard(before, wanted)
		again, _, read := ReadStandard(text)
		if !read || !sameStandard(again, wanted) {
			t.Fatalf("says something else:\n%s", text)
		}
		if twice := RewriteStandard(text, wanted); string(twice) != string(text) {
			t.Fatalf("not the same twice:\n%s\n%s", text, twice)
		}
	})
}

// TestRewriteKeepsComments: a text rewritten with what it says is itself, and a change touches its own lines only.
func TestRewriteKeepsComments(t *testing.T) {
	before := string(ExampleStandardYAML())
	s := ExampleStandard()
	if got := string(RewriteStandard([]byte(before), s)); got != before {
		t.Errorf("rewritten without a change:\n%s", got)
	}
	s.Version, s.Requirements[2].Share = 2, 0.75
	s.Requirements = slices.Delete(s.Requirements, 3, 4)
	got := string(RewriteStandard([]byte(before), s))
	want := strings.Replace(strings.Replace(before, "version: 1", "version: 2", 1), "share: 0.8", "share: 0.75", 1)
	from, to := strings.Index(want, "  - id: plans"), strings.Index(want, "  - id: recent-cases")
	if want = want[:from] + want[to:]; got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	inline := "id: own # ours\ntitle: A standard\nversion: 1\nrequirements:\n  # three, by vote\n  - id: one\n    kind: count\n    at_least: 3 # voted\n  - {id: two, kind: count, at_least: 4}\n"
	s, _, _ = ReadStandard([]byte(inline))
	s.ID, s.Requirements[0].AtLeast, s.Requirements[1].AtLeast = "theirs", 5, 6
	want = "id: theirs # ours\ntitle: A standard\nversion: 1\nrequirements:\n  # three, by vote\n  - id: one\n    kind: count\n    at_least: 5 # voted\n  - id: two\n    kind: count\n    at_least: 6\n"
	if got := string(RewriteStandard([]byte(inline), s)); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestDifferences(t *testing.T) {
	before, after := ExampleStandard(), ExampleStandard()
	if changes := after.Differences(before); len(changes) != 0 {
		t.Errorf("the same differs: %+v", changes)
	}
	after.Requirements = slices.Delete(after.Requirements, 0, 1)
	after.Requirements[0].AtLeast = 5
	after.Requirements = append(after.Requirements, Requirement{ID: "new", Kind: KindCount, AtLeast: 2})
	var got []string
	for _, c := range after.Differences(before) {
		got = append(got, c.Change+" "+c.Requirement)
		if (c.Before == "") != (c.Change == LineAdded) || (c.After == "") != (c.Change == LineGone) {
			t.Errorf("words of %+v", c)
		}
	}
	if want := []string{"changed paroxysmal-cases", "added new", "gone biatrial-cases"}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestScreenStandard(t *testing.T) {
	if faults := ScreenStandard(ExampleStandardYAML()); len(faults.List) != 0 {
		t.Errorf("the example: %v", faults)
	}
	text := "id: a\ntitle: For MRN 4432187\nversion: 1\nrequirements:\n  # after Dr Oakwood asked\n  - {id: b, kind: count, at_least: 3}\n"
	faults := ScreenStandard([]byte(text))
	if len(faults.List) != 2 || faults.List[0].Field != "title" || faults.List[0].Line != 2 || faults.List[1].Line != 5 {
		t.Errorf("found %v", faults)
	}
}

// TestReadStandard: faults of meaning leave the lines to be shown, those of form do not.
func TestReadStandard(t *testing.T) {
	s, faults, read := ReadStandard([]byte(head + "  - {id: b, kind: count}\n"))
	if !read || len(s.Requirements) != 1 || len(faults.List) != 1 || faults.List[0].Line != 5 {
		t.Errorf("%+v %v %v", s, faults, read)
	}
	if _, faults, read := ReadStandard([]byte(head + "  - {id: b, kind: count, at_least: many}\n")); read || len(faults.List) != 1 {
		t.Errorf("%v %v", faults, read)
	}
}
