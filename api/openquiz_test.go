package api

import (
	"testing"
	"time"

	"isthmus/api/store/storetest"
)

// TestOpenQuizTestHides: while a test of questions is open, nothing else tells its trainee what is right: no feedback of practice, open or
// over, no new practice, and nothing that shows what the lesions do which a question on the map asks for. Others are told all the same.
func TestOpenQuizTestHides(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	over, made := w.quizzed("ines", "practice", "lines")
	overAt := made.header.Get("Location")
	tag := w.as("ines").do("PUT", overAt+"/replies", map[string]any{"replies": w.rightly(over.ID, 8)}, "If-Match", made.etag()).want(200).etag()
	w.as("ines").do("POST", overAt+"/submit", nil, "If-Match", tag).want(200)
	going, made := w.quizzed("ines", "practice", "lines")
	goingAt, replies := made.header.Get("Location"), w.rightly(going.ID, 2)
	goingTag := w.as("ines").do("PUT", goingAt+"/replies", map[string]any{"replies": replies[:1]}, "If-Match", made.etag()).want(200).etag()
	submit := validBodies()["submit-plan"]
	planAt := w.as("ines").do("POST", in("/plans"), submit).want(201).header.Get("Location")

	begun := w.clock.Now()
	test, made := w.quizzed("ines", "test", "lines")
	asks := []struct {
		method, path string
		body         any
		tag          string
	}{
		{"GET", overAt, nil, ""}, {"GET", goingAt, nil, ""}, {"PUT", goingAt + "/replies", map[string]any{"replies": replies[1:]}, goingTag},
		{"POST", goingAt + "/submit", nil, goingTag}, {"POST", in("/quizzes"), `{"mode":"daily"}`, ""}, {"POST", in("/conduction"), `{"lesions":[]}`, ""},
		{"GET", planAt, nil, ""}, {"POST", in("/plans"), submit, ""},
	}
	for _, ask := range asks {
		got := w.as("ines").do(ask.method, ask.path, ask.body, "If-Match", ask.tag).want(409)
		if p := got.problem(); p.Type != "/problems/test-open" {
			t.Errorf("%s = %s, want test-open", got.request, p.Type)
		}
		w.tellsNoKey(got, test.ID)
	}
	w.as("kofi").do("POST", in("/conduction"), `{"lesions":[]}`).want(200)
	w.as("ines").do("GET", in("/quiz-offers"), nil).want(200)
	w.tellsNoKey(w.as("ines").do("GET", in("/quizzes?trainee=ines&status=open"), nil).want(200), test.ID)

	w.as("ines").do("POST", made.header.Get("Location")+"/submit", nil, "If-Match", made.etag()).want(200) // its own feedback comes with it
	w.as("ines").do("GET", overAt, nil).want(200)
	w.as("ines").do("PUT", goingAt+"/replies", map[string]any{"replies": replies[1:]}, "If-Match", goingTag).want(200)
	w.quizzed("ines", "test", "lines")
	w.as("ines").do("POST", in("/conduction"), `{"lesions":[]}`).want(409)
	w.clock.advance(begun.Add(time.Hour).Sub(w.clock.Now())) // the time of the second is up: it hides nothing any more
	w.as("ines").do("POST", in("/conduction"), `{"lesions":[]}`).want(200)
}
