package api

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/migrations"
)

func (w *world) cohort(query string) (cohort service.Cohort) {
	w.Helper()
	w.as("amara").do("GET", in("/cohort"+query), nil).want(200).into(&cohort)
	return cohort
}

// TestCohortFilters: by year of training and by the site of the rotation on the day; the headline and the choices stay whole.
func TestCohortFilters(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.rotate("jonas", "ines")
		all := w.cohort("")
		if all.Of != 2 || len(all.Trainees) != 2 || !slices.Equal(all.Sites, []string{"Main site"}) || !slices.Equal(all.Years, []int{1}) || all.Before != all.On.Add(-90) {
			t.Fatalf("%+v", all)
		}
		for query, want := range map[string]string{"?site=Main%20site": "[Ines]", "?site=Elsewhere": "[]", "?year=1": "[Ines Kofi]", "?year=2": "[]", "?year=1&site=Main%20site": "[Ines]"} {
			got := w.cohort(query)
			names := []string{}
			for _, row := range got.Trainees {
				names = append(names, row.Name)
			}
			slices.Sort(names)
			if fmt.Sprint(names) != want || got.Of != 2 || !slices.Equal(got.Sites, all.Sites) || cmp.Diff(got.Headline, all.Headline) != "" {
				t.Errorf("%s: %v of %d, sites %v", query, names, got.Of, got.Sites)
			}
		}
		w.as("amara").do("GET", in("/cohort?period=800"), nil).want(422)
		w.as("amara").do("GET", in("/cohort?on=2099-01-01"), nil).want(422)
	})
}

// TestCohortTrend: a case signed within the period makes its lines rise, and the same on an earlier day are level.
func TestCohortTrend(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	w.signedCase()
	line := func(query string) service.CohortLine {
		for _, row := range w.cohort(query).Trainees {
			if row.ID == "ines" {
				return row.Lines[0]
			}
		}
		t.Fatal("ines is missing")
		return service.CohortLine{}
	}
	if got := line(""); got.Trend != service.Rising || got.Was != competency.NotEnoughData || got.State != competency.Short || got.Value != 1 {
		t.Errorf("%+v", got)
	}
	today := w.cohort("").On
	w.clock.advance(120 * 24 * time.Hour)
	w.clients = map[string]*client{} // nobody stays signed in so long
	if got := line(""); got.Trend != service.Level || got.Was != competency.Short {
		t.Errorf("a quarter later: %+v", got)
	}
	if got := line("?on=" + string(today)); got.Trend != service.Rising {
		t.Errorf("looking back: %+v", got)
	}
}

// forgetful is the same service in another process.
func (w *world) forgetful() *service.Service {
	w.Helper()
	acts, err := service.New(service.Deps{
		Store: w.store, Authorizer: w.server.Authorizer, Model: atrium.Default(), Policy: assessment.DefaultPolicy(), Scenarios: scenarios(), Clock: w.clock.Now, NewID: w.server.NewID,
	})
	w.must(err)
	return acts
}

// TestCohortIsFresh: whatever is written in between, a process that remembers answers as one that never saw the programme.
func TestCohortIsFresh(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		seen := cmpopts.IgnoreUnexported(service.CohortTrainee{})
		check := func(after string) {
			t.Helper()
			for _, query := range []string{"", "?on=2026-05-31", "?period=30"} {
				remembered := w.cohort(query)
				if again := w.cohort(query); cmp.Diff(remembered, again, seen) != "" {
					t.Errorf("after %s, %s: asked twice, told another thing", after, query)
				}
				kept := w.server.Service
				w.server.Service = w.forgetful()
				fresh := w.cohort(query)
				w.server.Service = kept
				if diff := cmp.Diff(fresh, remembered, seen); diff != "" {
					t.Errorf("after %s, %s (-fresh +remembered):\n%s", after, query, diff)
				}
			}
		}
		second := strings.Replace(string(competency.ExampleStandardYAML()), "\nversion: 1\n", "\nversion: 2\n", 1)
		check("nothing")
		path, tag := w.submitted(biatrial())
		check("a submission")
		tag = w.as("mei").do("POST", path+"/sign-off", statement(biatrial()), "If-Match", tag).want(200).etag()
		check("a signature")
		tag = w.as("ines").do("POST", path+"/amendment", validBodies()["amend-case"], "If-Match", tag).want(200).etag()
		check("an amendment begun")
		w.as("ines").do("POST", path+"/restoration", validBodies()["restore-case"], "If-Match", tag).want(200)
		check("an amendment given up")
		w.as("ines").do("POST", in("/plans"), validBodies()["submit-plan"]).want(201)
		check("a plan")
		w.as("amara").do("POST", in("/standards"), map[string]any{"yaml": second, "in_force_from": "2026-06-01"}).want(201)
		check("a standard")
		w.as("amara").do("POST", in("/trainees/ines/standard-moves"), map[string]any{"version": 2, "reason": "Asked for it."}).want(201)
		check("a move")
		w.rotate("jonas", "ines")
		check("a rotation")
	})
}

// BenchmarkCohort is the director's page with 200 trainees of 300 signed cases each: as a process that has seen it since the last write
// answers, and as one that has not; then the same beside another programme as large.
func BenchmarkCohort(b *testing.B) {
	for _, dialect := range []migrations.Dialect{migrations.SQLite, migrations.PostgreSQL} {
		w := newWorld(b, storetest.Open(b, dialect))
		for _, beside := range []string{"", "/beside another"} {
			programme := north
			if beside != "" {
				programme = south
			}
			w.crowd(b, programme, 200, 300)
			w.cohort("")
			b.Run(string(dialect)+"/warm"+beside, func(b *testing.B) { w.loop(b, "amara", in("/cohort")) })
			b.Run(string(dialect)+"/after a write"+beside, func(b *testing.B) {
				for b.Loop() {
					b.StopTimer()
					w.touched()
					b.StartTimer()
					w.as("amara").do("GET", in("/cohort"), nil).want(200)
				}
			})
		}
	}
}

// crowd adds trainees with signed cases to a programme.
func (w *world) crowd(b *testing.B, programme competency.ProgrammeID, trainees, cases int) {
	b.Helper()
	record := biatrial()
	if programme == south {
		record.Supervisor = "stranger"
	}
	for n := range trainees {
		w.write(programme, func(tx *store.Tx) error {
			trainee := competency.PersonID(fmt.Sprintf("%s-trainee-%03d", programme, n))
			err := errors.Join(tx.CreatePerson(store.Person{ID: trainee, Email: string(trainee) + "@example.org", Name: string(trainee), CreatedAt: w.clock.Now()}),
				tx.AddMembership(store.Membership{Programme: programme, Person: trainee, Role: "trainee", From: joined}))
			for i := range cases {
				at := w.clock.Now().Add(-time.Duration(i) * 36 * time.Hour)
				record.OperatedOn = string(competency.DayOf(at))
				err = errors.Join(err, signedIn(tx, programme, fmt.Sprintf("%s-%d", trainee, i), trainee, record, at))
			}
			return errors.Join(err, tx.Audit("person", string(trainee), nil, nil))
		})
	}
}

// signedIn adds a case that went from draft to signature.
func signedIn(tx *store.Tx, programme competency.ProgrammeID, id string, trainee competency.PersonID, record competency.Record, at time.Time) error {
	c := competency.Case{ID: competency.CaseID(id), Programme: programme, Trainee: trainee, Status: competency.CaseDraft, Record: record, CreatedAt: at, UpdatedAt: at, Revision: 1}
	err := tx.CreateCase(c)
	c.Version, c.Revision, c.Status, c.SubmittedAt, c.ContentHash = 1, 2, competency.CaseSubmitted, at, competency.ContentHash(record)
	c.Computed = &competency.Computed{
		Pattern: "persistent", PatternRule: "rule", Scope: "biatrial", LinesComplete: true, BlockTested: true, Role: competency.RolePrimary, RoleReason: "both", Policy: "target", PolicyVersion: 1, Model: "1",
	}
	err = errors.Join(err, tx.SaveCase(c, 1), tx.AddCaseVersion(c))
	c.Status, c.Revision, c.SignedVersion = competency.CaseSignedOff, 3, 1
	return errors.Join(err, tx.SaveCase(c, 2), tx.AddSignOff(programme, competency.SignOff{
		ID: competency.SignOffID("s-" + id), Case: c.ID, CaseVersion: 1, ContentHash: c.ContentHash, Assessor: record.Supervisor, AssessorName: "Mei", Meaning: "meaning",
		Statement: competency.Statement{Steps: record.Steps, HelpGiven: 4, SupervisionNext: 4, ComplicationsAgreed: true, Keep: "Calm hands", Change: "Test block"},
		Role:      competency.RolePrimary, RoleReason: "both", RoleClaimed: competency.RolePrimary, SignedAt: at.Add(time.Hour), ProvedAt: at.Add(time.Hour),
	}))
}
