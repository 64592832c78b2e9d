package api

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

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

// standingWalk is a random walk through what happens to one trainee's evidence, with a ledger of its own kept beside it.
type standingWalk struct {
	*rapid.T
	w       *world
	acts    *service.Service
	trainee competency.PersonID
	cases   []*ledgerCase
	decided map[competency.DecisionID]competency.Standing // as they were when they were recorded
	version int                                           // of the standard the trainee was moved to last
}

// ledgerCase is what the walk knows of a case it had signed: the days of its signatures with the help stated, and whether it was withdrawn.
type ledgerCase struct {
	id        competency.CaseID
	signed    []competency.Day
	help      []int
	withdrawn bool
}

// on is the help given as signed last by a day; 0 when the case counts on no such day.
func (c *ledgerCase) on(day competency.Day) (help int) {
	for i, signed := range c.signed {
		if signed <= day && !c.withdrawn {
			help = c.help[i]
		}
	}
	return help
}

// TestStandingMachine lets cases be signed, withdrawn and amended, the standard change and committees decide, in any order. After each the
// standing served, for today and for a day in the past, is the one computed afresh from what the database gives back, and counts what the
// walk's own ledger counts; what decisions froze stays as it was, and comes out of its evidence again.
func TestStandingMachine(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		allow, err := policies.New()
		w.must(err)
		acts, err := service.New(service.Deps{
			Store: db, Authorizer: allow, Model: &rememberer{atrium.Default(), map[string]atrium.Result{}}, Policy: assessment.DefaultPolicy(),
			Scenarios: pack.Scenarios(), Clock: w.clock.Now, NewID: func() string { return uuid.Must(uuid.NewV7()).String() },
		})
		w.must(err)
		n, versions := 0, 1
		rapid.Check(t, func(rt *rapid.T) {
			n++
			walk := &standingWalk{T: rt, w: w, acts: acts, trainee: competency.PersonID(fmt.Sprintf("walker-%d", n)), decided: map[competency.DecisionID]competency.Standing{}, version: 1}
			w.write(north, func(tx *store.Tx) error {
				if err := tx.CreatePerson(store.Person{ID: walk.trainee, Email: string(walk.trainee) + "@example.org", Name: "Walker", PasswordHash: "x", CreatedAt: w.clock.Now()}); err != nil {
					return err
				}
				if err := tx.AddMembership(store.Membership{Programme: north, Person: walk.trainee, Role: string(policies.Trainee), From: joined}); err != nil {
					return err
				}
				return tx.Audit("person", string(walk.trainee), nil, walk.trainee)
			})
			for range rapid.IntRange(1, 7).Draw(rt, "events") {
				w.clock.advance(time.Duration(rapid.IntRange(0, 40).Draw(rt, "days"))*24*time.Hour + time.Second) // no two signatures are of one instant
				walk.step(t, &versions)
				walk.look(t)
			}
		})
	})
}

func (w *standingWalk) must(err error) {
	w.Helper()
	if err != nil {
		w.Fatal(err)
	}
}

func (w *standingWalk) today() competency.Day { return competency.DayOf(w.w.clock.Now()) }

// signs signs a submitted case with some help.
func (w *standingWalk) signs(t *testing.T, c service.CaseDetail, to *ledgerCase) {
	by := as("mei")
	by.ProvedAt = w.w.clock.Now()
	said := statement(c.Case.Record)
	said.HelpGiven = rapid.IntRange(2, 5).Draw(w.T, "help")
	_, err := w.acts.SignOffCase(t.Context(), by, north, c.Case.ID, c.Case.Revision, said)
	w.must(err)
	to.signed, to.help = append(to.signed, w.today()), append(to.help, said.HelpGiven)
}

// step lets one thing happen.
func (w *standingWalk) step(t *testing.T, versions *int) {
	ctx, own := t.Context(), as(w.trainee)
	standing := slices.DeleteFunc(slices.Clone(w.cases), func(c *ledgerCase) bool { return c.withdrawn })
	event := rapid.SampledFrom([]string{"sign", "sign", "sign", "wait", "withdraw", "amend", "amend", "standard", "decide"}).Draw(w.T, "event")
	if len(standing) == 0 && (event == "withdraw" || event == "amend") {
		event = "sign"
	}
	switch event {
	case "sign", "wait":
		record := biatrial()
		record.OperatedOn = string(w.today().Add(-rapid.IntRange(0, 30).Draw(w.T, "ago")))
		c, err := w.acts.CreateCase(ctx, own, north, service.CaseCreation{Record: record})
		w.must(err)
		c, err = w.acts.SubmitCase(ctx, own, north, c.Case.ID, c.Case.Revision)
		w.must(err)
		if event == "sign" {
			w.cases = append(w.cases, &ledgerCase{id: c.Case.ID})
			w.signs(t, c, w.cases[len(w.cases)-1])
		}
	case "withdraw", "amend":
		one := rapid.SampledFrom(standing).Draw(w.T, "case")
		c, err := w.acts.CaseByID(ctx, own, north, one.id)
		w.must(err)
		if event == "withdraw" {
			_, err = w.acts.WithdrawCase(ctx, as("amara"), north, one.id, c.Case.Revision, "Logged twice.")
			w.must(err)
			one.withdrawn = true
			return
		}
		c, err = w.acts.AmendCase(ctx, own, north, one.id, c.Case.Revision, "The note was wrong.")
		w.must(err)
		record := c.Case.Record
		record.Note += " Amended."
		c, err = w.acts.EditCase(ctx, own, north, one.id, c.Case.Revision, record)
		w.must(err)
		c, err = w.acts.SubmitCase(ctx, own, north, one.id, c.Case.Revision)
		w.must(err)
		w.signs(t, c, one)
	case "standard":
		version := rapid.IntRange(2, 5).Draw(w.T, "version")
		for *versions < version { // the first walk that asks for one makes it
			*versions++
			text := strings.Replace(string(competency.ExampleStandardYAML()), "version: 1", fmt.Sprintf("version: %d", *versions), 1)
			_, err := w.acts.AddStandard(ctx, as("amara"), north, strings.Replace(text, "at_least: 12", fmt.Sprintf("at_least: %d", *versions), 1), w.today())
			w.must(err)
		}
		if version == w.version {
			return // moving to where one is is refused
		}
		_, err := w.acts.MoveTrainee(ctx, as("amara"), north, w.trainee, service.NewStandardMove{Version: version, Reason: "The newer one fits."})
		w.must(err)
		w.version = version
	case "decide":
		w.decide(t)
	}
}

// decide lets a committee meet about the trainee and the director record the outcome.
func (w *standingWalk) decide(t *testing.T) {
	by := as("amara")
	by.ProvedAt = w.w.clock.Now()
	meeting, err := w.acts.CallMeeting(t.Context(), by, north, service.NewMeeting{HeldOn: w.today(), Trainees: []competency.PersonID{w.trainee}, Members: []competency.PersonID{"ruth"}})
	w.must(err)
	verdict := competency.Verdict{Outcome: competency.OutcomeContinue, Reasons: "The thresholds are not reached yet."}
	frozen := meeting.Turns[0].Standing
	d, err := w.acts.Decide(t.Context(), by, north, meeting.ID, w.trainee, service.NewDecision{Verdict: verdict, EvidenceHash: frozen.EvidenceHash})
	w.must(err)
	w.decided[d.ID] = frozen
}

// look compares what is served with what is computed afresh, with the ledger, and with what was frozen.
func (w *standingWalk) look(t *testing.T) {
	for _, day := range []competency.Day{w.today(), w.today().Add(-rapid.IntRange(1, 120).Draw(w.T, "back"))} {
		served, err := w.acts.StandingOf(t.Context(), as("amara"), north, w.trainee, string(day))
		w.must(err)
		if day == w.today() && served.Applied.Version != w.version {
			w.Fatalf("judged by version %d, want %d", served.Applied.Version, w.version)
		}
		w.must(w.w.store.Read(t.Context(), func(tx *store.Tx) error {
			row, err := tx.StandardByVersion(north, served.Applied.Version)
			w.must(err)
			standard, err := competency.DecodeStandard("standard", []byte(row.YAML))
			w.must(err)
			evidence, err := tx.EvidenceFor(north, w.trainee)
			w.must(err)
			if diff := cmp.Diff(competency.Stand(standard, evidence, day), served.Standing); diff != "" {
				w.Fatalf("as of %s what is served is not what is computed afresh (-fresh +served):\n%s", day, diff)
			}
			return nil
		}))
		w.compare(day, served.Standing)
	}
	w.must(w.w.store.Read(t.Context(), func(tx *store.Tx) error {
		decisions, err := tx.Decisions(north, store.DecisionFilter{Trainee: w.trainee})
		w.must(err)
		if len(decisions) != len(w.decided) {
			w.Fatalf("%d decisions, want %d", len(decisions), len(w.decided))
		}
		for _, d := range decisions {
			standard, err := competency.DecodeStandard("standard", []byte(d.Standard))
			w.must(err)
			if diff := cmp.Diff(w.decided[d.ID], d.Standing); diff != "" {
				w.Fatalf("what was frozen changed:\n%s", diff)
			}
			if again := competency.Recompute(d.Standing, standard, d.Evidence); len(again) > 0 {
				w.Fatalf("what was frozen comes out otherwise: %q", again)
			}
		}
		return nil
	}))
}

// compare holds the count and the ratings of a standing to the ledger.
func (w *standingWalk) compare(day competency.Day, standing competency.Standing) {
	var counted []string
	good := 0
	for _, c := range w.cases {
		help := c.on(day)
		if help > 0 {
			counted = append(counted, string(c.id))
		}
		if help >= 4 {
			good++
		}
	}
	slices.Sort(counted)
	count, level := standing.Requirements[0], standing.Requirements[2]
	if used := slices.Sorted(slices.Values(count.Used)); !slices.Equal(used, counted) || int(count.Value) != len(counted) {
		w.Fatalf("as of %s %g cases count (%v), the ledger has %v", day, count.Value, used, counted)
	}
	if level.N == len(counted) && int(level.Value*float64(level.N)+0.5) != good { // fewer when some were told late
		w.Fatalf("as of %s a share of %g of %d is at level 4, the ledger has %d", day, level.Value, level.N, good)
	}
}
