package store_test

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/competency"
)

// edition is a draft of version 1.
func edition(id assessment.ScenarioID, author competency.PersonID) assessment.Edition {
	e, err := assessment.NewEdition(assessment.Scenario{
		ID: id, Title: "Title of " + string(id), Author: "Sue", Vignette: "A tuner of organs.", Operation: assessment.Operation{Primary: "mitral"},
		Patient: assessment.Patient{Age: 61, AF: af.History{ContinuousMonths: 5, Ends: af.DoesNotEnd, RhythmControlPursued: true}},
	}, string(author))
	if err != nil {
		panic(err)
	}
	return e
}

// alive is an edition after its approval by dan.
func alive(e assessment.Edition) assessment.Edition {
	e.Status, e.Scenario.Status, e.Reviewer, e.LiveVersion, e.LatestVersion = assessment.Live, assessment.Live, string(dan), e.Version, e.Version
	e.Revision++
	return e
}

// addLive puts a scenario of sue's into a programme's library and makes it live.
func addLive(tx *store.Tx, programme competency.ProgrammeID, id assessment.ScenarioID) error {
	e := edition(id, sue)
	after := alive(e)
	return errors.Join(tx.CreateEdition(programme, e, start), tx.SaveEdition(programme, after, 1, start.Add(time.Hour)),
		tx.AddScenarioVersion(programme, store.ScenarioVersion{Scenario: after.Scenario, Author: sue, ApprovedBy: dan, KeptAt: start.Add(time.Hour)}),
		tx.AddEditionAct(programme, id, store.Done{Kind: "approve", By: dan, At: start, Version: 1}))
}

func TestEdition(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(addLive(tx, north, "own"), tx.CreateEdition(north, edition("fresh", sue), start))
		})
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.EditionByID(north, "own")
			want := store.Edition{Edition: alive(edition("own", sue)), CreatedAt: start, UpdatedAt: start.Add(time.Hour)}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("EditionByID (-want +got):\n%s", diff)
			}
			list, err2 := tx.Editions(north)
			if len(list) != 2 || list[0].ID != "fresh" || list[0].Live.Version != 0 || list[0].Live.Title != "" || list[1].Live.Title != "Title of own" ||
				list[1].Pattern != af.Persistent || list[1].Operation != "mitral" || list[1].Status != assessment.Live || list[1].Author() != string(sue) {
				t.Errorf("Editions = %+v", list)
			}
			acts, err3 := tx.EditionActs(north, "own")
			if len(acts) != 1 || acts[0].Kind != "approve" || acts[0].ByName != "Name of dan" || acts[0].Version != 1 {
				t.Errorf("EditionActs = %+v", acts)
			}
			return errors.Join(err, err2, err3)
		})
		changed := edition("fresh", sue)
		changed.Scenario.Title, changed.Revision = "Another", 2
		save := func() error {
			return tryWrite(s, north, func(tx *store.Tx) error { return tx.SaveEdition(north, changed, 1, start.Add(time.Hour)) })
		}
		if err := save(); err != nil {
			t.Fatal(err)
		}
		wantErr(t, "the same revision again", save(), store.ErrStale)
		wantErr(t, "the same id again", tryWrite(s, north, func(tx *store.Tx) error { return tx.CreateEdition(north, edition("own", dan), start) }), store.ErrDuplicate)
		if err := tryWrite(s, south, func(tx *store.Tx) error { return tx.CreateEdition(south, edition("own", sue), start) }); err != nil {
			t.Errorf("the same id in another programme: %v", err)
		}
	})
}

func TestScenarioVersion(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		first := alive(edition("own", sue))
		second := first.Scenario
		second.Version, second.Title = 2, "Second title"
		starter := assessment.Scenario{ID: "starter", Version: 3, Title: "From the pack", Status: assessment.Live}
		write(t, s, north, func(tx *store.Tx) error {
			retired := edition("gone", sue)
			retired.Status, retired.LatestVersion = assessment.Retired, 1
			kept := store.ScenarioVersion{Scenario: starter, KeptAt: start}
			return errors.Join(addLive(tx, north, "own"), tx.AddScenarioVersion(north, store.ScenarioVersion{Scenario: second, Author: sue, ApprovedBy: dan, KeptAt: start}),
				tx.CreateEdition(north, retired, start), tx.KeepScenarioVersion(north, kept), tx.KeepScenarioVersion(north, kept))
		})
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.ScenarioVersion(north, "own", 1)
			if diff := cmp.Diff(first.Scenario, got.Scenario); diff != "" || got.Author != sue || got.ApprovedBy != dan {
				t.Errorf("ScenarioVersion = %+v\n%s", got, diff)
			}
			list, err2 := tx.ScenarioVersions(north, "own")
			if len(list) != 2 || list[0].Scenario.Title != "Second title" || list[1].Scenario.Version != 1 || list[0].Scenario.Vignette != "" {
				t.Errorf("ScenarioVersions = %+v", list)
			}
			live, err3 := tx.LiveScenarios(north)
			if diff := cmp.Diff(map[assessment.ScenarioID]*assessment.Scenario{"own": &first.Scenario, "gone": nil}, live); diff != "" {
				t.Errorf("LiveScenarios (-want +got):\n%s", diff)
			}
			one, err4 := tx.LiveScenarios(north, "gone")
			if nothing, there := one["gone"]; len(one) != 1 || !there || nothing != nil {
				t.Errorf("LiveScenarios of one = %+v", one)
			}
			return errors.Join(err, err2, err3, err4)
		})
		again := tryWrite(s, north, func(tx *store.Tx) error {
			return tx.AddScenarioVersion(north, store.ScenarioVersion{Scenario: second, Author: sue, ApprovedBy: dan, KeptAt: start})
		})
		wantErr(t, "the same version again", again, store.ErrDuplicate)
		answered := plan(north, "p1", ann, "starter", 1, start)
		answered.ScenarioVersion = 3
		write(t, s, north, func(tx *store.Tx) error {
			return errors.Join(tx.SavePlan(answered), tx.SavePlan(plan(north, "p2", ann, "starter", 2, start)))
		})
		read(t, s, func(tx *store.Tx) error {
			list, _, err := tx.Plans(north, store.PlanFilter{}, store.Page{})
			if len(list) != 2 || list[0].ScenarioTitle != "" || list[1].ScenarioTitle != "From the pack" {
				t.Errorf("Plans = %+v", list)
			}
			return err
		})
	})
}
