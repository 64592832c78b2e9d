package api

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/uuid"
	"pgregory.net/rapid"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/competency"
	"isthmus/policies"
)

// rememberer computes every lesion set once: the walk grades the same few over and over.
type rememberer struct {
	*atrium.Model
	seen map[string]atrium.Result
}

// Conduct gives the model's result.
func (r *rememberer) Conduct(set atrium.LesionSet) (atrium.Result, error) {
	key, err := json.Marshal(set)
	if err != nil {
		return atrium.Result{}, err
	}
	if result, known := r.seen[string(key)]; known {
		return result, nil
	}
	result, err := r.Model.Conduct(set)
	r.seen[string(key)] = result
	return result, err
}

// libraryWalk is a random walk through the life of one scenario, and what must hold of it.
type libraryWalk struct {
	*rapid.T
	acts  *service.Service
	id    assessment.ScenarioID
	view  service.EditionView
	wrote []competency.PersonID // in the version that is worked on
	kept  map[int]assessment.Scenario
}

// TestLibraryMachine lets three people do what they like with a scenario, own or starter. Nobody's approval of what they wrote in is ever
// taken, what went live never changes, and trainees see what is live and nothing else.
func TestLibraryMachine(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		allow, err := policies.New()
		w.must(err)
		acts, err := service.New(service.Deps{
			Store: db, Authorizer: allow, Model: &rememberer{atrium.Default(), map[string]atrium.Result{}}, Policy: assessment.DefaultPolicy(),
			Scenarios: pack.Scenarios(), Clock: w.clock.Now, NewID: func() string { return uuid.Must(uuid.NewV7()).String() },
		})
		w.must(err)
		n := 0
		rapid.Check(t, func(rt *rapid.T) {
			n++
			walk := &libraryWalk{T: rt, acts: acts, id: assessment.ScenarioID(fmt.Sprintf("walk-%d", n)), kept: map[int]assessment.Scenario{}}
			walk.begin(t)
			for range rapid.IntRange(1, 12).Draw(rt, "acts") {
				walk.step(t)
			}
		})
	})
}

// as is somebody acting.
func as(who competency.PersonID) service.Actor { return service.Actor{Person: who, RequestID: "walk"} }

// begin creates the scenario.
func (w *libraryWalk) begin(t *testing.T) {
	var err error
	text := short(w.id)
	w.view, err = w.acts.CreateEdition(t.Context(), as("mei"), north, service.EditionCreation{EditionText: service.EditionText{Scenario: &text}})
	if err != nil {
		w.Fatal(err)
	}
	w.wrote = []competency.PersonID{"mei"}
}

// step does one act of somebody, now and then at an old revision, and looks at what came of it.
func (w *libraryWalk) step(t *testing.T) {
	by := rapid.SampledFrom([]competency.PersonID{"mei", "leila", "amara"}).Draw(w.T, "by")
	act := rapid.SampledFrom([]string{"edit", "submit", "submit", "return", "approve", "approve", "approve", "retire", "revise"}).Draw(w.T, "act")
	revision, before := w.view.Head.Revision, w.view
	if rapid.IntRange(0, 9).Draw(w.T, "old") == 0 {
		revision--
	}
	view, err := w.do(t, as(by), act, revision)
	switch {
	case revision != before.Head.Revision && !errors.Is(err, service.ErrStale):
		w.Fatalf("%s at an old revision: %v", act, err)
	case err != nil:
		if view, err = w.acts.EditionByID(t.Context(), as(by), north, w.id); err != nil {
			w.Fatal(err)
		}
		if slices.Contains(before.Head.May, act) && by == "mei" && revision == before.Head.Revision && act != "approve" {
			w.Fatalf("%s was offered and refused", act)
		}
		if view.Head.Revision != before.Head.Revision || view.Head.Status != before.Head.Status {
			w.Fatalf("%s was refused, yet %s became %s", act, before.Head.Status, view.Head.Status)
		}
		w.view = view
		return
	}
	w.view = view
	switch act {
	case "revise":
		if _, live := w.kept[before.Head.Version]; live {
			w.wrote = nil
		}
		w.wrote = append(w.wrote, by)
	case "edit":
		w.wrote = append(w.wrote, by)
	case "approve":
		if slices.Contains(w.wrote, by) {
			w.Fatalf("%s approved what %v wrote", by, w.wrote)
		}
		w.kept[view.Head.Version] = view.Scenario
	}
	w.look(t)
}

// do does one act.
func (w *libraryWalk) do(t *testing.T, by service.Actor, act string, revision int) (service.EditionView, error) {
	ctx := t.Context()
	switch act {
	case "edit":
		text := w.view.Scenario
		text.Title = "Told " + rapid.StringMatching("[a-z]{1,8}").Draw(w.T, "title")
		return w.acts.EditEdition(ctx, by, north, w.id, revision, service.EditionText{Scenario: &text})
	case "submit":
		return w.acts.SubmitEdition(ctx, by, north, w.id, revision)
	case "return":
		return w.acts.ReturnEdition(ctx, by, north, w.id, revision, "Say it otherwise.")
	case "approve":
		return w.acts.ApproveEdition(ctx, by, north, w.id, revision)
	case "retire":
		return w.acts.RetireEdition(ctx, by, north, w.id, revision, "Told otherwise now.")
	}
	return w.acts.ReviseEdition(ctx, by, north, w.id, revision)
}

// look compares what the library and a trainee see with what must be there.
func (w *libraryWalk) look(t *testing.T) {
	for version, want := range w.kept {
		got, err := w.acts.EditionVersion(t.Context(), as("amara"), north, w.id, version)
		if diff := cmp.Diff(want, got.Scenario); err != nil || diff != "" {
			w.Fatalf("version %d changed: %v\n%s", version, err, diff)
		}
	}
	if slices.Contains(w.view.Head.Authors, w.view.Head.Reviewer) {
		w.Fatalf("an author is the reviewer: %+v", w.view.Head)
	}
	shown, err := w.acts.ScenarioByID(t.Context(), as("ines"), north, w.id)
	want, live := w.kept[w.view.Head.LiveVersion]
	switch {
	case !live && !errors.Is(err, service.ErrNotFound):
		w.Fatalf("a trainee sees what is not live: %v", err)
	case live && (err != nil || shown.Scenario.Title != want.Title || shown.Scenario.Version != want.Version || shown.Scenario.Expert != nil || shown.Scenario.Flawed != nil):
		w.Fatalf("a trainee sees %+v, %v", shown.Scenario, err)
	}
}
