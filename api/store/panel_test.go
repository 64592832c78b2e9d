package store_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/competency/panel"
)

// ownTest is a draft of dan's.
func ownTest(id question.TestID) question.TestEdition {
	e, err := question.NewTest(id, question.TestPlan{Blueprint: question.Blueprint{Title: "Entry", Rows: []question.Row{{Topic: "lines", Items: 5}}}, Minutes: 10}, string(dan))
	if err != nil {
		panic(err)
	}
	return e
}

func keptTest(id question.TestID) store.TestVersion {
	return store.TestVersion{Test: id, Version: 1, Plan: ownTest(id).Plan, PublishedBy: dan, PublishedAt: start}
}

// judged is an open panel about version 1 of t1.
func judged(id panel.ID) store.Panel {
	p, err := panel.New(panel.Panel{ID: id, Test: "t1", Version: 1, Method: panel.Angoff, Items: []string{"a/1"}, Judges: []competency.PersonID{dan, sue}})
	if err != nil {
		panic(err)
	}
	return store.Panel{Panel: p, Paper: []question.Item{asked("a").Item}, CreatedBy: dan, CreatedAt: start}
}

func sheet(judge competency.PersonID, round int) panel.Sheet {
	return panel.Sheet{Judge: judge, Round: round, Ratings: map[string]float64{"a/1": 60}}
}

func adopted(test question.TestID) store.TestCut {
	se := 2.5
	return store.TestCut{Test: test, Version: 1, Panel: "p1", Cut: question.Cut{Percent: 62, From: question.FromAngoff, Panel: "p1", Judges: 2, SE: &se}, Reason: "Agreed.", AdoptedBy: dan, AdoptedAt: start}
}

// addJudged adds a test with a closed panel and its adopted mark.
func addJudged(tx *store.Tx, programme competency.ProgrammeID) error {
	closed := judged("p1")
	closed.Status, closed.Revision = panel.Closed, 2
	return errors.Join(tx.CreateTest(programme, ownTest("t1"), start), tx.KeepTestVersion(programme, keptTest("t1")), tx.CreatePanel(programme, judged("p1")),
		tx.SavePanelSheet(programme, "p1", sheet(sue, 1), start), tx.SavePanelSheet(programme, "p1", sheet(sue, 1), start.Add(time.Minute)), tx.ClosePanelSheets(programme, "p1", 1),
		tx.SavePanel(programme, closed, 1), tx.AddTestCut(programme, adopted("t1")))
}

func TestPanels(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			live := ownTest("t1")
			live.Status, live.LiveVersion, live.LatestVersion, live.Revision = assessment.Live, 1, 1, 2
			return errors.Join(addJudged(tx, north), tx.SaveTest(north, live, 1, start.Add(time.Hour)))
		})
		closed := judged("p1")
		closed.Status, closed.Revision = panel.Closed, 2
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.PanelByID(north, "p1")
			if diff := cmp.Diff(closed, got); diff != "" {
				t.Errorf("PanelByID (-want +got):\n%s", diff)
			}
			sheets, err2 := tx.PanelSheets(north, "p1")
			if diff := cmp.Diff([]panel.Sheet{sheet(sue, 1)}, sheets); diff != "" {
				t.Errorf("PanelSheets (-want +got):\n%s", diff)
			}
			cuts, err3 := tx.TestCuts(north, "t1")
			if diff := cmp.Diff([]store.TestCut{adopted("t1")}, cuts); diff != "" {
				t.Errorf("TestCuts (-want +got):\n%s", diff)
			}
			versions, err4 := tx.TestVersions(north, "t1")
			if diff := cmp.Diff([]store.TestVersion{keptTest("t1")}, versions); diff != "" {
				t.Errorf("TestVersions (-want +got):\n%s", diff)
			}
			one, err5 := tx.TestByID(north, "t1")
			if one.LiveVersion != 1 || one.Plan.Minutes != 10 || !one.UpdatedAt.Equal(start.Add(time.Hour)) {
				t.Errorf("TestByID = %+v", one)
			}
			return errors.Join(err, err2, err3, err4, err5)
		})
		for name, try := range map[string]func(tx *store.Tx) error{
			"a closed sheet":  func(tx *store.Tx) error { return tx.SavePanelSheet(north, "p1", sheet(sue, 1), start) },
			"a closed panel":  func(tx *store.Tx) error { return tx.SavePanel(north, judged("p1"), 2) },
			"a kept version":  func(tx *store.Tx) error { return tx.KeepTestVersion(north, keptTest("t1")) },
			"a stale test":    func(tx *store.Tx) error { return tx.SaveTest(north, ownTest("t1"), 1, start) },
			"a panel of none": func(tx *store.Tx) error { p := judged("p9"); p.Version = 7; return tx.CreatePanel(north, p) },
		} {
			if err := tryWrite(s, north, try); err == nil {
				t.Errorf("%s was changed", name)
			}
		}
	})
}

// TestTermsOfQuiz keeps which test an attempt is at and where its cut comes from.
func TestTermsOfQuiz(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		se := 1.5
		cut := question.Cut{Percent: 61, From: question.FromAngoff, Panel: "p1", Judges: 3, SE: &se, Drawn: true}
		a, err := question.BeginTest(question.Starter(), question.TestRef{ID: "t1", Version: 1}, ownTest("t1").Plan, 5, start, func([]question.Item) question.Cut { return cut })
		if err != nil {
			t.Fatal(err)
		}
		write(t, s, north, func(tx *store.Tx) error {
			return tx.CreateQuiz(store.Quiz{ID: competency.QuizID("q" + strings.Repeat("1", 3)), Programme: north, Trainee: ann, Attempt: a})
		})
		read(t, s, func(tx *store.Tx) error {
			got, err := tx.QuizByID(north, "q111")
			if diff := cmp.Diff(question.Terms{Test: question.TestRef{ID: "t1", Version: 1}, CutFrom: cut}, got.Terms); diff != "" || got.Cut != 61 || !got.DueAt.Equal(start.Add(10*time.Minute)) {
				t.Errorf("terms (-want +got):\n%s%+v", diff, got.Attempt)
			}
			return err
		})
	})
}
