package api

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// quizzed starts a set of questions of a person's.
func (w *world) quizzed(who, mode, topic string) (service.QuizView, *reply) {
	w.Helper()
	var view service.QuizView
	got := w.as(who).do("POST", in("/quizzes"), map[string]string{"mode": mode, "topic": topic}).want(201).into(&view)
	return view, got
}

// rightly are right replies to the places of an attempt, read past the API, where the keys are.
func (w *world) rightly(id competency.QuizID, places int) []question.Change {
	w.Helper()
	var changes []question.Change
	w.must(w.store.Read(w.Context(), func(tx *store.Tx) error {
		q, err := tx.QuizByID(north, id)
		for i := range min(places, len(q.Items)) {
			change := question.Change{Place: i + 1, MS: 1000 * (i + 1), Given: q.Placed(i + 1).Give(q.Items[i].Example(true))}
			changes = append(changes, change)
		}
		return err
	}))
	return changes
}

// tellsNoKey fails when an answer holds what a question must not tell before its time: in words, or in ids of items and options.
func (w *world) tellsNoKey(got *reply, id competency.QuizID) {
	w.Helper()
	for _, field := range []string{"told", "key", "rationale", "source", "feedback", "seed", "order", "tolerance", "item", "blueprint", "fixed", "paper", "by_topic"} {
		if strings.Contains(string(got.body), `"`+field+`":`) {
			w.Errorf("%s tells %q", got.request, field)
		}
	}
	w.must(w.store.Read(w.Context(), func(tx *store.Tx) error {
		q, err := tx.QuizByID(north, id)
		for _, it := range q.Items {
			for _, secret := range []string{string(it.ID), it.Rationale, it.Source} {
				if text, _ := json.Marshal(secret); len(secret) > 12 && strings.Contains(string(got.body), strings.Trim(string(text), `"`)) && !strings.Contains(it.Stem, secret) {
					w.Errorf("%s tells %q", got.request, secret)
				}
			}
		}
		return err
	}))
}

// TestQuizStory: a test from its start to its result, gone on with on another device; nothing tells a key before.
func TestQuizStory(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		begun := w.clock.Now()
		view, made := w.quizzed("ines", "test", "lines")
		if len(view.Places) != 8 || !view.DueAt.Equal(begun.Add(12*time.Minute)) || view.Cut != 70 || view.Caution == "" {
			t.Fatalf("started %+v", view)
		}
		w.tellsNoKey(made, view.ID)
		path, tag := made.header.Get("Location"), made.etag()
		right := w.rightly(view.ID, 6)
		w.as("ines").do("PUT", path+"/replies", map[string]any{"replies": right[:4]}).want(428)
		saved := w.as("ines").do("PUT", path+"/replies", map[string]any{"replies": right[:4]}, "If-Match", tag).want(200)
		w.tellsNoKey(saved, view.ID)
		if again := w.as("ines").do("PUT", path+"/replies", map[string]any{"replies": right[:4]}, "If-Match", tag).want(200); again.etag() != saved.etag() {
			t.Errorf("the same save again: %s, want %s", again.etag(), saved.etag())
		}
		w.as("ines").do("PUT", path+"/replies", map[string]any{"replies": right[4:5]}, "If-Match", tag).want(412)
		w.as("ines").do("POST", path+"/submit", nil, "If-Match", tag).want(412)
		other := &client{w: w, cookies: map[string]string{}, token: w.tokenOf("ines")}
		resumed := other.do("GET", path, nil).want(200).into(&view)
		if view.Replied != 4 || !view.Places[3].Replied || view.Places[4].Replied || view.Places[3].MS != 4000 {
			t.Errorf("resumed %+v", view.QuizSummary)
		}
		w.tellsNoKey(resumed, view.ID)
		tag = other.do("PUT", path+"/replies", map[string]any{"replies": right[4:]}, "If-Match", resumed.etag()).want(200).etag()
		if p := w.as("ines").do("POST", in("/quizzes"), `{"mode":"test"}`).want(409).problem(); p.Type != "/problems/already-there" && p.Status != 409 {
			t.Errorf("a second open test: %s", p.Type)
		}
		w.as("ines").do("POST", path+"/submit", nil, "If-Match", tag).want(200).into(&view)
		if view.Result == nil || view.Result.Right != 6 || view.Result.Percent != 75 || view.Places[0].Told == nil || view.Places[0].Told.Rationale == "" ||
			len(view.ByTopic) != 1 || !view.ByTopic[0].Passed || !view.ClosedAt.Equal(w.clock.Now()) {
			t.Errorf("submitted %+v %+v", view.QuizSummary, view.ByTopic)
		}
		if p := w.as("ines").do("PUT", path+"/replies", map[string]any{"replies": right}, "If-Match", tag).want(409).problem(); p.Type != "/problems/test-over" {
			t.Errorf("a save after submission: %s", p.Type)
		}
		var known service.Knowledge
		w.as("amara").do("GET", in("/trainees/ines/knowledge"), nil).want(200).into(&known)
		if len(known.Topics) != 1 || known.Topics[0].N != 6 || known.Topics[0].Right != 6 || known.Topics[0].Low < 0.6 || known.Topics[0].High != 1 || known.Caution == "" {
			t.Errorf("knows %+v", known)
		}
	})
}

// TestQuizTimeUp: what was saved before the end is marked as of the end by whoever looks next.
func TestQuizTimeUp(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		view, made := w.quizzed("ines", "test", "")
		path, right := made.header.Get("Location"), w.rightly(view.ID, 20)
		tag := w.as("ines").do("PUT", path+"/replies", map[string]any{"replies": right[:3]}, "If-Match", made.etag()).want(200).etag()
		w.clock.advance(30*time.Minute + assessment.SittingGrace)
		tag = w.as("ines").do("PUT", path+"/replies", map[string]any{"replies": right[:6]}, "If-Match", tag).want(200).etag() // was on its way at the end
		w.clock.advance(time.Microsecond)
		for _, got := range []*reply{
			w.as("ines").do("PUT", path+"/replies", map[string]any{"replies": right}, "If-Match", tag), w.as("ines").do("POST", path+"/submit", nil, "If-Match", tag),
		} {
			if p := got.want(409).problem(); p.Type != "/problems/test-over" {
				t.Errorf("%s: %+v", got.request, p)
			}
		}
		var list service.List[service.QuizSummary]
		w.as("ruth").do("GET", in("/quizzes?trainee=ines"), nil).want(200).into(&list)
		if len(list.Items) != 1 || list.Items[0].Status != assessment.SittingEnded || list.Items[0].Result.Right != 6 || !list.Items[0].ClosedAt.Equal(view.DueAt) {
			t.Errorf("ended %+v", list.Items)
		}
	})
}

// TestQuizPractice: feedback comes with each answer, which is final; the daily set is one a day and follows from what was answered.
func TestQuizPractice(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		view, made := w.quizzed("ines", "practice", "energy")
		w.tellsNoKey(made, view.ID)
		path, right := made.header.Get("Location"), w.rightly(view.ID, 2)
		saved := w.as("ines").do("PUT", path+"/replies", map[string]any{"replies": right[:1]}, "If-Match", made.etag()).want(200).into(&view)
		if view.Places[0].Told == nil || !view.Places[0].Told.Right || view.Places[1].Told != nil {
			t.Errorf("told %+v, %+v", view.Places[0].Told, view.Places[1].Told)
		}
		w.as("ines").do("PUT", path+"/replies", `{"replies":[{"place":1,"given":{},"ms":0}]}`, "If-Match", saved.etag()).want(422)
		w.as("ines").do("POST", path+"/submit", nil, "If-Match", saved.etag()).want(200).into(&view)
		for _, topic := range view.ByTopic {
			if topic.Judged {
				t.Errorf("practice judges %+v", topic)
			}
		}
		daily, _ := w.quizzed("ines", "daily", "")
		if len(daily.Places) != question.DailyNew {
			t.Errorf("the first daily set has %d questions: what was answered today counts from tomorrow", len(daily.Places))
		}
		var offers service.QuizOffers
		w.as("ines").do("GET", in("/quiz-offers"), nil).want(200).into(&offers)
		if offers.Daily.Open != daily.ID || len(offers.Practice) != 10 || len(offers.Tests) != 11 || offers.Caution == "" {
			t.Errorf("offers %+v", offers)
		}
		w.as("ines").do("POST", in("/quizzes"), `{"mode":"daily"}`).want(409)
		w.clock.advance(24 * time.Hour)
		w.clients = map[string]*client{}
		next, _ := w.quizzed("ines", "daily", "")
		if len(next.Places) != question.DailyNew+1 || next.Places[0].Question.Stem != view.Places[0].Question.Stem {
			t.Errorf("the next day's set has %d questions and begins with %q", len(next.Places), next.Places[0].Question.Stem)
		}
	})
}

// TestQuizRefusals: who may not, and nothing of it leaves a trace. An open attempt's questions are its trainee's alone.
func TestQuizRefusals(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		_, made := w.quizzed("ines", "test", "lines")
		path, tag := made.header.Get("Location"), made.etag()
		for _, who := range []string{"mei", "amara", "jonas", "ruth"} {
			w.as(who).do("POST", in("/quizzes"), `{"mode":"daily"}`).want(403)
		}
		before := w.state()
		for _, who := range []string{"kofi", "mei", "jonas"} { // mei supervises nobody yet
			w.as(who).do("GET", path, nil).want(403)
			w.as(who).do("GET", in("/trainees/ines/knowledge"), nil).want(403)
		}
		for _, who := range []string{"kofi", "mei", "jonas", "amara"} {
			w.as(who).do("PUT", path+"/replies", `{"replies":[]}`, "If-Match", tag).want(403)
			w.as(who).do("POST", path+"/submit", nil, "If-Match", tag).want(403)
		}
		for _, body := range []string{`{"mode":"practice"}`, `{"mode":"practice","topic":"gardening"}`, `{"mode":"daily","topic":"lines"}`, `{"mode":"exam"}`} {
			w.as("kofi").do("POST", in("/quizzes"), body).want(422)
		}
		w.as("ines").do("PUT", path+"/replies", `{"replies":[{"place":9,"given":{},"ms":0}]}`, "If-Match", tag).want(422)
		w.unchanged(before, "a refusal")
		if body := string(w.as("amara").do("GET", path, nil).want(200).body); strings.Contains(body, `"places"`) {
			t.Errorf("an open attempt shows its questions to the director: %s", body)
		}
		w.as("ines").do("POST", path+"/submit", nil, "If-Match", tag).want(200)
		w.as("mei").do("GET", path, nil).want(403)
		w.submitted(biatrial()) // now mei supervises ines
		w.as("mei").do("GET", path, nil).want(200)
	})
}

// asksQuizzes puts a standard in force that asks for one test at its cut, on lines or energy.
func (w *world) asksQuizzes() {
	w.Helper()
	yaml := "id: quizzes\ntitle: Quizzes\nversion: 2\nrequirements:\n  - {id: asked, kind: quiz, topics: [lines, energy], at_least: 1, attempt: last}\n"
	w.write(north, func(tx *store.Tx) error {
		standard := store.Standard{Programme: north, Version: 2, InForceFrom: joined, YAML: yaml, CreatedBy: "amara", CreatedAt: w.clock.Now()}
		if err := tx.AddStandard(standard); err != nil {
			return err
		}
		return tx.Audit("standard", "2", nil, standard)
	})
}

// TestQuizEvidence: a test on a topic meets the requirement that asks for it, at its cut, and only where a standard asks.
func TestQuizEvidence(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.asksQuizzes()
		for _, c := range []struct {
			right int
			met   bool
		}{{5, false}, {6, true}} {
			view, made := w.quizzed("ines", "test", "lines")
			saved := w.as("ines").do("PUT", made.header.Get("Location")+"/replies", map[string]any{"replies": w.rightly(view.ID, c.right)}, "If-Match", made.etag()).want(200)
			w.as("ines").do("POST", made.header.Get("Location")+"/submit", nil, "If-Match", saved.etag()).want(200).into(&view)
			asked := requirement(t, w.standingOf("ines", "ines"), "asked")
			if met := asked.State == competency.Met; met != c.met || asked.Used[0] != string(view.ID) || asked.UsedKind != "quiz" {
				t.Errorf("with %d of 8 right: %+v, result %+v", c.right, asked, view.ByTopic)
			}
			w.clock.advance(time.Minute)
		}
	})
}

// TestCohortKnowledge: the topics of the cohort are the trainees' own pages added up; each sees whom they may.
func TestCohortKnowledge(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.asksQuizzes()
		for who, right := range map[string]int{"ines": 6, "kofi": 3} {
			view, made := w.quizzed(who, "test", "lines")
			replies := map[string]any{"replies": w.rightly(view.ID, right)}
			saved := w.as(who).do("PUT", made.header.Get("Location")+"/replies", replies, "If-Match", made.etag()).want(200)
			w.as(who).do("POST", made.header.Get("Location")+"/submit", nil, "If-Match", saved.etag()).want(200)
		}
		var cohort service.CohortKnowledge
		w.as("amara").do("GET", in("/cohort-knowledge"), nil).want(200).into(&cohort)
		if len(cohort.Topics) != 1 || len(cohort.Trainees) < 2 {
			t.Fatalf("%+v", cohort)
		}
		n, right, years := 0, 0, 0
		for _, row := range cohort.Trainees {
			var own service.Knowledge
			w.as("amara").do("GET", in("/trainees/"+string(row.ID)+"/knowledge"), nil).want(200).into(&own)
			if len(own.Topics) != len(row.Topics) {
				t.Errorf("%s: %+v, own page %+v", row.ID, row.Topics, own.Topics)
			}
			for i, topic := range own.Topics {
				n, right = n+topic.N, right+topic.Right
				if row.Topics[i] != topic {
					t.Errorf("%s: %+v, own page %+v", row.ID, row.Topics[i], topic)
				}
			}
		}
		lines := cohort.Topics[0]
		for _, year := range lines.Years {
			years += year.N
		}
		if lines.All.N != n || lines.All.Right != right || right != 9 || years != n || lines.All.Trainees != 2 || lines.Tested != 2 || lines.Passed != 1 ||
			lines.All.Share != float64(right)/float64(n) || !(lines.All.Low < lines.All.Share && lines.All.Share <= lines.All.High) {
			t.Errorf("lines %+v, added up %d of %d", lines, right, n)
		}
		if len(cohort.Required) != 1 || len(cohort.Charts) != 1 {
			t.Fatalf("required %+v, charts %+v", cohort.Required, cohort.Charts)
		}
		met := []competency.PersonID(nil)
		for _, row := range cohort.Trainees {
			if requirement(t, w.standingOf("amara", string(row.ID)), "asked").State == competency.Met {
				met = append(met, row.ID)
			}
		}
		if asked := cohort.Required[0]; !slices.Equal(met, []competency.PersonID{"ines"}) || asked.Met != 1 || asked.Judged != len(cohort.Trainees) || slices.Contains(asked.Lacking, "ines") || !slices.Contains(asked.Lacking, "kofi") ||
			len(asked.Lacking) != asked.Judged-1 || !slices.Equal(asked.Topics, []string{"lines", "energy"}) {
			t.Errorf("required %+v, by the standings met by %v", asked, met)
		}
		if drawn := cohort.Charts[0]; drawn.Check() != nil || drawn.N != n {
			t.Errorf("chart %+v: %v", drawn, drawn.Check())
		}
		w.as("ines").do("GET", in("/cohort-knowledge"), nil).want(200).into(&cohort)
		if len(cohort.Required) != 1 || cohort.Required[0].Judged != 1 || cohort.Required[0].Met != 1 {
			t.Errorf("a trainee sees required %+v", cohort.Required)
		}
		if len(cohort.Trainees) != 1 || cohort.Trainees[0].ID != "ines" || cohort.Topics[0].All.Right != 6 {
			t.Errorf("a trainee sees %+v", cohort)
		}
		w.as("leila").do("GET", in("/cohort-knowledge"), nil).want(200).into(&cohort)
		if len(cohort.Trainees) != 0 || len(cohort.Topics) != 0 {
			t.Errorf("faculty who supervises nobody sees %+v", cohort)
		}
		w.as("jonas").do("GET", in("/cohort-knowledge"), nil).want(403)
	})
}
