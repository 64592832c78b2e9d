package assessment_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment"
	"isthmus/assessment/strict"
)

// sound is a check that found nothing, faulty one that did.
var sound, faulty = assessment.Check{}, assessment.Check{Faults: strict.Faults{List: []strict.Fault{{Field: "title", Message: "must have a title"}}}}

// firstStarter is a starter scenario.
func firstStarter(t testing.TB) assessment.Scenario {
	t.Helper()
	s, err := assessment.DecodeScenario("s.yaml", []byte(starter(t, "01-persistent-mitral-repair.yaml")))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// begun is ann's draft of a starter scenario told again.
func begun(t testing.TB) assessment.Edition {
	t.Helper()
	s := firstStarter(t)
	s.ID, s.Version, s.Status = "told-again", 7, assessment.Live
	e, err := assessment.NewEdition(s, "ann")
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// act is one act on an edition.
type act struct {
	name string
	do   func(assessment.Edition) (assessment.Edition, error)
}

var (
	editByAnn    = act{"edit by ann", func(e assessment.Edition) (assessment.Edition, error) { return e.Edit(e.Scenario, "ann") }}
	editByBen    = act{"edit by ben", func(e assessment.Edition) (assessment.Edition, error) { return e.Edit(e.Scenario, "ben") }}
	submit       = act{"submit", func(e assessment.Edition) (assessment.Edition, error) { return e.Submit(sound) }}
	submitFaulty = act{"submit with faults", func(e assessment.Edition) (assessment.Edition, error) { return e.Submit(faulty) }}
	returnByBen  = act{"return by ben", func(e assessment.Edition) (assessment.Edition, error) { return e.Return("ben", "The title tells.") }}
	takeBack     = act{"take back", func(e assessment.Edition) (assessment.Edition, error) { return e.Return("ann", "Not yet ready.") }}
	returnMute   = act{"return without a reason", func(e assessment.Edition) (assessment.Edition, error) { return e.Return("ben", " ") }}
	approveByBen = act{"approve by ben", func(e assessment.Edition) (assessment.Edition, error) { return e.Approve("ben", sound) }}
	approveByAnn = act{"approve by ann", func(e assessment.Edition) (assessment.Edition, error) { return e.Approve("ann", sound) }}
	approveAlone = act{"approve by nobody", func(e assessment.Edition) (assessment.Edition, error) { return e.Approve("", sound) }}
	approveBad   = act{"approve with faults", func(e assessment.Edition) (assessment.Edition, error) { return e.Approve("ben", faulty) }}
	retire       = act{"retire", func(e assessment.Edition) (assessment.Edition, error) {
		return e.Retire("Nobody operates so any more.")
	}}
	retireMute  = act{"retire without a reason", func(e assessment.Edition) (assessment.Edition, error) { return e.Retire("") }}
	reviseByBen = act{"revise by ben", func(e assessment.Edition) (assessment.Edition, error) { return e.Revise("ben") }}
	renamed     = act{"another id", func(e assessment.Edition) (assessment.Edition, error) {
		e.Scenario.ID = "another"
		return e.Edit(e.Scenario, "ann")
	}}
)

// TestEditionLife tries every act in every state.
func TestEditionLife(t *testing.T) {
	var none error
	invalid := strict.Faults{}
	for _, tt := range []struct {
		before []act
		act    act
		want   error // none; invalid for any strict.Faults
		state  string
	}{
		{nil, editByAnn, none, "1 draft live 0 by [ann] reviewed by "},
		{nil, editByBen, none, "1 draft live 0 by [ann ben] reviewed by "},
		{nil, renamed, assessment.ErrAnotherScenario, ""},
		{nil, submit, none, "1 in-review live 0 by [ann] reviewed by "},
		{nil, submitFaulty, invalid, ""},
		{nil, returnByBen, assessment.ErrNotInReview, ""},
		{nil, approveByBen, assessment.ErrNotInReview, ""},
		{nil, retire, none, "1 retired live 0 by [ann] reviewed by "},
		{nil, retireMute, assessment.ErrReasonMissing, ""},
		{nil, reviseByBen, assessment.ErrNotRevisable, ""},
		{[]act{submit}, editByAnn, assessment.ErrNotDraft, ""},
		{[]act{submit}, submit, assessment.ErrNotDraft, ""},
		{[]act{submit}, returnByBen, none, "1 draft live 0 by [ann] reviewed by ben"},
		{[]act{submit}, takeBack, none, "1 draft live 0 by [ann] reviewed by "},
		{[]act{submit}, returnMute, assessment.ErrReasonMissing, ""},
		{[]act{submit}, approveByBen, none, "1 live live 1 by [ann] reviewed by ben"},
		{[]act{submit}, approveByAnn, assessment.ErrOwnEdition, ""},
		{[]act{submit}, approveAlone, assessment.ErrOwnEdition, ""},
		{[]act{submit}, approveBad, invalid, ""},
		{[]act{submit}, reviseByBen, assessment.ErrNotRevisable, ""},
		{[]act{submit}, retire, none, "1 retired live 0 by [ann] reviewed by "},
		{[]act{editByBen, submit}, approveByBen, assessment.ErrOwnEdition, ""},
		{[]act{submit, returnByBen}, editByBen, none, "1 draft live 0 by [ann ben] reviewed by "},
		{[]act{submit, approveByBen}, editByAnn, assessment.ErrNotDraft, ""},
		{[]act{submit, approveByBen}, submit, assessment.ErrNotDraft, ""},
		{[]act{submit, approveByBen}, returnByBen, assessment.ErrNotInReview, ""},
		{[]act{submit, approveByBen}, retire, none, "1 retired live 0 by [ann] reviewed by ben"},
		{[]act{submit, approveByBen}, reviseByBen, none, "2 draft live 1 by [ben] reviewed by "},
		{[]act{submit, approveByBen, reviseByBen, submit}, approveByBen, assessment.ErrOwnEdition, ""},
		{[]act{submit, approveByBen, reviseByBen, submit}, approveByAnn, none, "2 live live 2 by [ben] reviewed by ann"},
		{[]act{submit, approveByBen, reviseByBen}, retire, none, "2 retired live 0 by [ben] reviewed by "},
		{[]act{submit, approveByBen, retire}, reviseByBen, none, "2 draft live 0 by [ben] reviewed by "},
		{[]act{submit, approveByBen, retire}, retire, assessment.ErrRetired, ""},
		{[]act{submit, approveByBen, retire}, editByAnn, assessment.ErrNotDraft, ""},
		{[]act{retire}, reviseByBen, none, "1 draft live 0 by [ann ben] reviewed by "},
	} {
		e, path := begun(t), ""
		for _, before := range tt.before {
			var err error
			if e, err = before.do(e); err != nil {
				t.Fatalf("%s: %v", before.name, err)
			}
			path += before.name + ", "
		}
		after, err := tt.act.do(e)
		var faults strict.Faults
		right := errors.Is(err, tt.want)
		if _, any := tt.want.(strict.Faults); any {
			right = errors.As(err, &faults)
		}
		if !right {
			t.Errorf("%s%s: error %v, want %v", path, tt.act.name, err, tt.want)
			continue
		}
		if err != nil {
			if diff := cmp.Diff(e, after); diff != "" && tt.act.name != renamed.name {
				t.Errorf("%s%s: refused, yet changed:\n%s", path, tt.act.name, diff)
			}
			continue
		}
		if got := state(after); got != tt.state || after.Revision != e.Revision+1 {
			t.Errorf("%s%s: %s at revision %d, want %s", path, tt.act.name, got, after.Revision, tt.state)
		}
	}
}

// state is an edition in a line.
func state(e assessment.Edition) string {
	return fmt.Sprintf("%d %s live %d by %v reviewed by %s", e.Version, e.Status, e.LiveVersion, e.Authors, e.Reviewer)
}

func TestNewEditionRefuses(t *testing.T) {
	right := firstStarter(t)
	for name, wrong := range map[string]func(*assessment.Scenario){
		"id":       func(s *assessment.Scenario) { s.ID = "Told Again" },
		"title":    func(s *assessment.Scenario) { s.Title = strings.Repeat("a", 121) },
		"vignette": func(s *assessment.Scenario) { s.Vignette = strings.Repeat("a", 4001) },
		"flawed":   func(s *assessment.Scenario) { s.Flawed = make([]assessment.FlawedAnswer, 21) },
		"expert":   func(s *assessment.Scenario) { s.Expert = make([]assessment.Answer, 6) },
		"notes":    func(s *assessment.Scenario) { s.Notes = make([]assessment.Note, 21) },
	} {
		s := right
		wrong(&s)
		_, err := assessment.NewEdition(s, "ann")
		var faults strict.Faults
		if !errors.As(err, &faults) || faults.List[0].Field != name {
			t.Errorf("%s: error %v", name, err)
		}
	}
	if e, err := assessment.NewEdition(assessment.Scenario{ID: "bare"}, "ann"); err != nil || e.Scenario.Version != 1 || e.Scenario.Status != assessment.Draft {
		t.Errorf("an unfinished draft: %+v, %v", e.Scenario, err)
	}
}

// TestEditionMachine walks at random through the life of an edition, with three people who do whatever they like. Nobody ever approves a
// version they wrote in, versions only rise, what went live is only ever replaced by a later version, and a refusal changes nothing.
func TestEditionMachine(t *testing.T) {
	first := begun(t)
	rapid.Check(t, func(t *rapid.T) {
		e, wrote, kept := first, []string{"ann"}, map[int]string{}
		for range rapid.IntRange(1, 60).Draw(t, "acts") {
			by := rapid.SampledFrom([]string{"ann", "ben", "cara"}).Draw(t, "by")
			check := rapid.SampledFrom([]assessment.Check{sound, sound, faulty}).Draw(t, "check")
			before := e
			var err error
			act := rapid.SampledFrom([]string{"edit", "submit", "return", "approve", "approve", "retire", "revise"}).Draw(t, "act")
			switch act {
			case "edit":
				s := e.Scenario
				s.Title = rapid.StringMatching("[a-z]{1,8}").Draw(t, "title")
				e, err = e.Edit(s, by)
			case "submit":
				e, err = e.Submit(check)
			case "return":
				e, err = e.Return(by, "Say it otherwise.")
			case "approve":
				e, err = e.Approve(by, check)
			case "retire":
				e, err = e.Retire("Told otherwise now.")
			case "revise":
				e, err = e.Revise(by)
			}
			if err != nil {
				if diff := cmp.Diff(before, e); diff != "" {
					t.Fatalf("%s refused with %v, yet:\n%s", act, err, diff)
				}
				continue
			}
			switch act {
			case "revise":
				if before.Version == before.LatestVersion { // a new text begins
					wrote = nil
				}
				fallthrough
			case "edit":
				wrote = append(wrote, by)
			case "approve":
				if slices.Contains(wrote, by) || check.Err() != nil {
					t.Fatalf("%s approved what %v wrote; mistakes: %v", by, wrote, check.Err())
				}
				if _, was := kept[e.Version]; was {
					t.Fatalf("version %d went live twice", e.Version)
				}
				kept[e.Version] = e.Scenario.Title
			}
			wantConsistent(t, e, before, act, kept)
		}
	})
}

// wantConsistent fails when an edition after an act contradicts itself or what went before.
func wantConsistent(t *rapid.T, e, before assessment.Edition, act string, kept map[int]string) {
	if slices.Contains(e.Authors, e.Reviewer) {
		t.Fatalf("an author is the reviewer after %s: %s", act, state(e))
	}
	if e.Revision != before.Revision+1 || e.Version < before.Version || e.LatestVersion < before.LatestVersion || len(e.Authors) == 0 {
		t.Fatalf("%s led from %s to %s", act, state(before), state(e))
	}
	if e.LiveVersion != before.LiveVersion && act != "approve" && act != "retire" {
		t.Fatalf("%s changed what is live: %s, then %s", act, state(before), state(e))
	}
	if _, live := kept[e.LiveVersion]; e.LiveVersion != 0 && !live {
		t.Fatalf("version %d is live and was never approved", e.LiveVersion)
	}
	if e.Status == assessment.Live && (e.LiveVersion != e.Version || e.Scenario.Title != kept[e.Version]) {
		t.Fatalf("a live text changed: %s", state(e))
	}
	if e.Scenario.Version != e.Version || e.Scenario.Status != e.Status || e.Scenario.ID != e.ID {
		t.Fatalf("the scenario says version %d, %s", e.Scenario.Version, e.Scenario.Status)
	}
	for version := range kept {
		want := assessment.Superseded
		switch {
		case version == e.LiveVersion:
			want = assessment.Live
		case version == e.LatestVersion:
			want = assessment.Retired
		}
		if got := e.StatusOf(version); got != want {
			t.Fatalf("version %d is %s, want %s: %s", version, got, want, state(e))
		}
	}
}
