package api

import (
	"bytes"
	"encoding/base64"
	"net/http"
	"slices"
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/assessment/question/sheet"
)

// asks is a question as it is sent.
type asks struct {
	Item question.Item `json:"item"`
}

// stairs is a question of a programme's own, on a topic that has no other.
func stairs(id question.ItemID) question.Item {
	return question.Item{
		ID: id, Version: 1, Topic: "stairs", Status: assessment.Draft, Kind: question.SingleBest, Difficulty: question.Easy, Author: "Mei",
		Stem: "Which staircase turns once round on its way from one floor to the next (" + string(id) + ")?",
		Options: []question.Option{
			{ID: "spiral", Text: "One of 360 degrees", Feedback: "It turns once."}, {ID: "half", Text: "One of 180 degrees", Feedback: "It turns half round."},
			{ID: "straight", Text: "One without a turn", Feedback: "It does not turn."},
		},
		Key: []string{"spiral"}, Rationale: "A full turn has 360 degrees.", Source: "common practice, no source",
	}
}

// asking does something to a question of the bank at the revision last seen.
func (w *world) asking(who string, id question.ItemID, what string, body any, view *service.BankQuestion) *reply {
	w.Helper()
	method, path := "POST", in("/questions/"+string(id)+"/"+what)
	if what == "edit" {
		method, path = "PUT", in("/questions/"+string(id))
	}
	got := w.as(who).do(method, path, body, "If-Match", etag(view.Head.Revision))
	if got.status == http.StatusOK {
		*view = service.BankQuestion{}
		got.into(view)
		if got.etag() != etag(view.Head.Revision) {
			w.Errorf("%s: ETag %s of revision %d", got.request, got.etag(), view.Head.Revision)
		}
	}
	return got
}

// offered says whether a topic can be practised, and on how many questions.
func (w *world) offered(who string, topic question.Topic) int {
	w.Helper()
	var offers service.QuizOffers
	w.as(who).do("GET", in("/quiz-offers"), nil).want(200).into(&offers)
	i := slices.IndexFunc(offers.Practice, func(o service.QuizOffer) bool { return o.Topic == topic })
	if i < 0 {
		return 0
	}
	return offers.Practice[i].Items
}

// TestQuestionStory takes a question from draft to its second version and out of use. Attempts stay with what they were asked.
func TestQuestionStory(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		it := stairs("which-stairs")
		unfinished := it
		unfinished.Options, unfinished.Key = unfinished.Options[:2], nil
		var view service.BankQuestion
		w.as("mei").do("POST", in("/questions"), asks{unfinished}).want(201).into(&view)
		if h := view.Head; h.Status != assessment.Draft || h.Version != 1 || h.LiveVersion != 0 || h.Author != "mei" || h.AuthorName != "Mei" || h.Source != service.SourceOwn ||
			!slices.Equal(h.May, []string{"edit", "submit", "retire"}) || view.Shown != nil || len(view.Faults) != 2 {
			t.Errorf("draft %+v, faults %v", view.Head, view.Faults)
		}
		w.as("mei").do("POST", in("/questions"), asks{unfinished}).want(409)
		if p := w.asking("mei", it.ID, "submit", nil, &view).want(422).problem(); len(p.Errors) != 2 || !strings.HasPrefix(p.Errors[0].Location, "body.item.") {
			t.Errorf("submitted unfinished: %+v", p)
		}
		w.asking("mei", it.ID, "edit", asks{it}, &view).want(200)
		if view.Shown == nil || len(view.Shown.Choices) != 3 || len(view.Faults) != 0 {
			t.Errorf("finished %+v", view)
		}
		stale := view
		stale.Head.Revision--
		w.asking("mei", it.ID, "edit", asks{it}, &stale).want(412)
		w.asking("mei", it.ID, "submit", nil, &view).want(200)
		w.asking("mei", it.ID, "edit", asks{it}, &view).want(409)
		w.asking("mei", it.ID, "approve", nil, &view).want(403)
		w.asking("leila", it.ID, "return", `{"reason":"Say how many turns."}`, &view).want(200)
		if last := view.Acts[len(view.Acts)-1]; last.Kind != "return" || last.Reason != "Say how many turns." || last.ByName != "Leila" || view.Head.Reviewer != "leila" {
			t.Errorf("returned: %+v", view)
		}
		w.asking("mei", it.ID, "submit", nil, &view).want(200)
		if n := w.offered("ines", "stairs"); n != 0 {
			t.Errorf("%d questions are asked before the review", n)
		}
		w.asking("leila", it.ID, "approve", nil, &view).want(200)
		if n := w.offered("ines", "stairs"); n != 1 || view.Head.LiveVersion != 1 || view.Head.Reviewer != "leila" {
			t.Errorf("%d questions on stairs after %+v", n, view.Head)
		}
		w.wantAttemptsStay(view)
	})
}

// wantAttemptsStay begins an attempt at the first version, revises and retires the question, and looks for changes.
func (w *world) wantAttemptsStay(view service.BankQuestion) {
	w.Helper()
	id := view.Head.ID
	quiz, _ := w.quizzed("ines", "practice", "stairs")
	asked := quiz.Places[0].Question.Stem
	w.asking("leila", id, "revise", nil, &view).want(200)
	second := view.Item
	second.Stem = "Of these staircases, which one makes a whole turn between floors?"
	w.asking("leila", id, "edit", asks{second}, &view).want(200)
	if n := w.offered("kofi", "stairs"); n != 1 || view.Head.Status != assessment.Draft || view.Head.LiveVersion != 1 {
		w.Errorf("while it is revised %d are asked: %+v", n, view.Head)
	}
	w.asking("leila", id, "submit", nil, &view).want(200)
	w.asking("mei", id, "approve", nil, &view).want(200) // mei wrote in the first version, not in this one
	other, _ := w.quizzed("kofi", "practice", "stairs")
	if got := other.Places[0].Question.Stem; got != second.Stem {
		w.Errorf("asked now: %q", got)
	}
	var versions service.List[service.QuestionVersion]
	w.as("leila").do("GET", in("/questions/"+string(id)+"/versions"), nil).want(200).into(&versions)
	if v := versions.Items; len(v) != 2 || v[0].Version != 2 || v[0].Status != assessment.Live || v[0].ReviewerName != "Mei" || v[1].Status != assessment.Superseded || v[1].Item.Stem != asked {
		w.Errorf("versions %+v", v)
	}
	w.asking("amara", id, "retire", `{"reason":"Nobody builds such stairs."}`, &view).want(200)
	if n := w.offered("kofi", "stairs"); n != 0 {
		w.Errorf("%d retired questions are asked", n)
	}
	var again service.QuizView
	w.as("ines").do("GET", in("/quizzes/"+string(quiz.ID)), nil).want(200).into(&again)
	if got := again.Places[0].Question.Stem; got != asked {
		w.Errorf("an attempt changed: %q, was %q", got, asked)
	}
}

// TestStarterQuestionIsTouched: the programme's own version of a starter question counts there, and nowhere else.
func TestStarterQuestionIsTouched(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		it := question.Starter().Items()[0]
		var before, view service.BankQuestion
		w.as("mei").do("GET", in("/questions/"+string(it.ID)), nil).want(200).into(&before)
		if before.Head.Source != service.SourceStarter || before.Head.Revision != 0 || len(before.Faults) != 0 || before.Head.AuthorName != it.Author {
			t.Errorf("untouched %+v, faults %v", before.Head, before.Faults)
		}
		view = before
		w.asking("mei", it.ID, "retire", `{"reason":"We teach it otherwise."}`, &view).want(200)
		if view.Head.Source != service.SourceOwn || view.Head.LiveVersion != 0 {
			t.Errorf("retired %+v", view.Head)
		}
		var list service.List[service.QuestionHead]
		w.as("mei").do("GET", in("/questions?limit=200"), nil).want(200).into(&list)
		if len(list.Items) != len(question.Starter().Items()) {
			t.Errorf("%d questions in the bank", len(list.Items))
		}
		var versions service.List[service.QuestionVersion]
		w.as("mei").do("GET", in("/questions/"+string(it.ID)+"/versions"), nil).want(200).into(&versions)
		if v := versions.Items; len(v) != 1 || v[0].Version != it.Version || v[0].Status != assessment.Retired {
			t.Errorf("versions %+v", v)
		}
	})
}

// TestQuestionCheck warns of twins, and says where a patient may be named.
func TestQuestionCheck(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	it := stairs("which-stairs")
	var view service.BankQuestion
	w.as("mei").do("POST", in("/questions"), asks{it}).want(201).into(&view)
	var check service.QuestionCheck
	w.as("leila").do("POST", in("/question-check"), asks{stairs("which-stair")}).want(200).into(&check)
	if len(check.Twins) != 1 || check.Twins[0].Item != it.ID || check.Twins[0].Stem != it.Stem || check.Twins[0].Alike <= question.AlikeEnough || check.Shown == nil || len(check.Faults) != 0 {
		t.Errorf("check %+v", check)
	}
	named := stairs("other")
	named.Stem = "Which stairs did the patient born 12.03.1951 fall down?"
	w.as("leila").do("POST", in("/question-check"), asks{named}).want(200).into(&check)
	if len(check.Faults) != 1 || check.Faults[0].Field != "stem" {
		t.Errorf("a date of birth: %+v", check.Faults)
	}
	w.as("leila").do("POST", in("/questions"), asks{named}).want(422)
	w.as("ines").do("POST", in("/question-check"), asks{it}).want(403)
}

// TestStarterPassesTheScreen: no question that comes with the program looks as if it named a patient, and each is sound.
func TestStarterPassesTheScreen(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	var check service.QuestionCheck
	for _, it := range question.Starter().Items() {
		if w.as("mei").do("POST", in("/question-check"), asks{it}).want(200).into(&check); len(check.Faults) > 0 {
			t.Errorf("%s: %v", it.ID, check.Faults)
		}
	}
}

// questionFile is a table of questions as it is sent.
func questionFile(t *testing.T, revise bool, items ...question.Item) map[string]any {
	t.Helper()
	table, err := sheet.Write(items)
	if err != nil {
		t.Fatal(err)
	}
	return map[string]any{"file": base64.StdEncoding.EncodeToString(table.Data), "name": "ours.csv", "revise": revise}
}

// TestQuestionImport takes a table in: all of it or nothing, and nothing as live, whatever it says.
func TestQuestionImport(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		live := stairs("claims-to-be-live")
		live.Status = assessment.Live
		revised := question.Starter().Items()[slices.IndexFunc(question.Starter().Items(), func(it question.Item) bool { return it.Kind == question.SingleBest })]
		revised.Stem += " Say why."
		var check service.QuestionImportCheck
		w.as("mei").do("POST", in("/question-import-check"), questionFile(t, false, live, revised)).want(200).into(&check)
		if check.Format != "CSV" || check.New != 1 || check.Refused != 1 || len(check.Rows) != 2 || check.Rows[0].Becomes != service.BecomesNew || check.Rows[1].Why == "" {
			t.Errorf("check %+v", check)
		}
		before := w.state()
		w.unchanged(before, w.as("mei").do("POST", in("/question-imports"), questionFile(t, false, live, revised)).want(422).request)
		w.as("mei").do("POST", in("/question-imports"), questionFile(t, true, live, revised)).want(200).into(&check)
		var view service.BankQuestion
		w.as("leila").do("GET", in("/questions/claims-to-be-live"), nil).want(200).into(&view)
		if view.Head.Status != assessment.Draft || view.Head.LiveVersion != 0 || view.Head.Author != "mei" || view.Acts[0].Kind != "import" {
			t.Errorf("imported %+v", view.Head)
		}
		w.as("leila").do("GET", in("/questions/"+string(revised.ID)), nil).want(200).into(&view)
		if view.Head.Status != assessment.Draft || view.Head.LiveVersion != 1 || view.Head.Version != 2 || view.Item.Stem != revised.Stem {
			t.Errorf("revised %+v", view.Head)
		}
		w.as("mei").do("POST", in("/question-import-check"), questionFile(t, true, live, revised)).want(200).into(&check)
		if check.Same != 2 {
			t.Errorf("the same file again: %+v", check)
		}
		twin := stairs("much-like-it") // of a question the bank has, and of one that only the file has
		other := twin
		other.ID = "much-like-that"
		w.as("mei").do("POST", in("/question-import-check"), questionFile(t, false, twin, other)).want(200).into(&check)
		if twins := check.Rows[0].Twins; len(twins) != 2 || twins[0].Item != other.ID || !twins[0].InFile || twins[0].Stem != other.Stem || twins[1].Item != live.ID || twins[1].InFile {
			t.Errorf("twins %+v", twins)
		}
		broken := strings.Replace("id,topic,author,kind,stem,rationale,source\nx,stairs,Mei,single-best,Which?,Because.,common practice\n", "Which?", "?", 1)
		body := map[string]any{"file": base64.StdEncoding.EncodeToString([]byte(broken)), "name": "broken.csv"}
		w.as("mei").do("POST", in("/question-import-check"), body).want(200).into(&check)
		if len(check.Faults) == 0 || check.Faults[0].File != "broken.csv" || check.Faults[0].Line != 2 {
			t.Errorf("faults %+v", check.Faults)
		}
		unsafe := `<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]><x>&a;</x>`
		body = map[string]any{"file": base64.StdEncoding.EncodeToString([]byte(unsafe)), "name": "unsafe.xml"}
		w.as("mei").do("POST", in("/question-import-check"), body).want(200).into(&check)
		if len(check.Faults) != 1 || len(check.Rows) != 0 {
			t.Errorf("unsafe: %+v", check)
		}
		w.as("mei").do("POST", in("/question-imports"), body).want(422)
		w.as("ines").do("POST", in("/question-import-check"), body).want(403)
	})
}

// TestQuestionsFile: what is taken out comes in again word for word.
func TestQuestionsFile(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	for format, kind := range map[string]string{"qti": "application/zip", "csv": "text/csv; charset=utf-8"} {
		got := w.as("mei").do("GET", in("/questions-file?format="+format), nil).want(200)
		if got.header.Get("Content-Type") != kind || !bytes.Contains([]byte(got.header.Get("Content-Disposition")), []byte("questions.")) {
			t.Errorf("%s: %v", format, got.header)
		}
		var check service.QuestionImportCheck
		body := map[string]any{"file": base64.StdEncoding.EncodeToString(got.body), "name": "again"}
		w.as("leila").do("POST", in("/question-import-check"), body).want(200).into(&check)
		maps := 0
		for _, it := range question.Starter().Items() {
			if it.Kind == question.OnMap {
				maps++
			}
		}
		if len(check.Faults) != 0 || check.Same != len(question.Starter().Items())-maps || check.Refused != 0 {
			t.Errorf("%s: %d same, %d new, %d refused, faults %v", format, check.Same, check.New, check.Refused, check.Faults)
		}
	}
	w.as("ines").do("GET", in("/questions-file?format=csv"), nil).want(403)
}
