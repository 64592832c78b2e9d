package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// asksForQuizzes is a standard with a requirement on questions alone, version 2 of the demo's.
const asksForQuizzes = `id: northmere
title: Knowledge only
version: 2
example: true
requirements:
  - {id: quizzes, kind: quiz, topics: [lines, anatomy], at_least: 2, attempt: best}
`

// keysByStem are the questions of the starter bank and those of the demo's own that a director reads, with their answers, by their stems.
func keysByStem(director *visitor, programme competency.ProgrammeID) map[string]question.Item {
	director.t.Helper()
	var own []question.Item
	text := eval[string](director, fmt.Sprintf(`(async () => { `+asking+`
		const heads = (await ask("GET", "/questions?limit=200")).body.items.filter(one => one.source === "own");
		return JSON.stringify(await Promise.all(heads.map(async one => (await ask("GET", "/questions/" + one.id)).body.item))) })()`, programme))
	if err := json.Unmarshal([]byte(text), &own); err != nil {
		director.t.Fatal(err)
	}
	byStem := map[string]question.Item{}
	for _, it := range append(question.Starter().Items(), own...) {
		byStem[it.Stem] = it
	}
	return byStem
}

// rightly are right replies to the questions of an attempt: whoever sits it gets no key.
func rightly(t *testing.T, quiz service.QuizView, byStem map[string]question.Item) []question.Change {
	t.Helper()
	var replies []question.Change
	for i, place := range quiz.Places {
		it, known := byStem[place.Question.Stem]
		if !known {
			t.Fatalf("%q is in no bank", place.Question.Stem)
		}
		reply := question.Change{Place: i + 1, MS: 1000}
		if it.Number != nil {
			reply.Given.Number = &it.Number.Value
		}
		if it.Map != nil {
			reply.Given.Path = it.Map.Key
			if it.Map.Draw == question.Point {
				reply.Given.Path = it.Map.Key[:1]
			}
		}
		for _, id := range it.Key {
			for _, option := range it.Options {
				for _, choice := range place.Question.Choices {
					if option.ID == id && choice.Text == option.Text {
						reply.Given.Chosen = append(reply.Given.Chosen, choice.Label)
					}
				}
			}
		}
		replies = append(replies, reply)
	}
	return replies
}

// testTaken takes a test on a topic as whoever is signed in, rightly at the first places of it, and gives its id.
func testTaken(v *visitor, programme competency.ProgrammeID, topic string, right int, byStem map[string]question.Item) competency.QuizID {
	v.t.Helper()
	var quiz service.QuizView
	script := fmt.Sprintf(asking, programme)
	started := eval[string](v, fmt.Sprintf(`(async () => { %s return JSON.stringify((await ask("POST", "/quizzes", {mode: "test", topic: %q})).body) })()`, script, topic))
	if err := json.Unmarshal([]byte(started), &quiz); err != nil {
		v.t.Fatal(err)
	}
	replies, err := json.Marshal(rightly(v.t, quiz, byStem)[:right])
	if err != nil {
		v.t.Fatal(err)
	}
	status := eval[string](v, fmt.Sprintf(`(async () => { %s let {tag} = await ask("GET", "/quizzes/%s");
		tag = (await ask("PUT", "/quizzes/%s/replies", {replies: %s}, tag)).tag;
		return (await ask("POST", "/quizzes/%s/submit", null, tag)).body.status })()`, script, quiz.ID, quiz.ID, replies, quiz.ID))
	if status != "submitted" {
		v.t.Fatalf("the test on %s is %s", topic, status)
	}
	return quiz.ID
}

// openAttempt follows the link to an attempt.
func openAttempt(v *visitor, id competency.QuizID) {
	v.t.Helper()
	eval[bool](v, fmt.Sprintf(`(document.querySelector('a[href="/quizzes/%s"]').click(), true)`, id))
}

// TestQuizIsEvidence follows a requirement on questions from the standing through its evidence to the attempts themselves, what was left out
// too, as the trainee and as the director.
func TestQuizIsEvidence(t *testing.T) {
	browser := openBrowser(t)
	base, programme := serveDemo(t)
	director := newVisitor(t, browser, base, 1280)
	signIn(director, "amara")
	director.see("Cohort")
	trainee := eval[string](director, fmt.Sprintf(`(async () => { `+asking+`
		await ask("POST", "/standards", {yaml: %q, in_force_from: new Date().toISOString().slice(0, 10)});
		const noor = (await ask("GET", "/people?role=trainee")).body.items.find(one => one.name.startsWith("Noor"));
		await ask("POST", "/trainees/" + noor.id + "/standard-moves", {version: 2, reason: "She asked to be judged by the newer thresholds."});
		return noor.id })()`, programme, asksForQuizzes))

	keys := keysByStem(director, programme)
	v := newVisitor(t, browser, base, 390)
	signIn(v, "noor")
	v.see("What to do next")
	failed := testTaken(v, programme, "lines", 2, keys)
	v.visit("/standing")
	v.press("Quizzes")
	v.see("0 of 2 topics at or above the cut, among 1 taken")
	v.see("Evidence used (1)")
	passed := testTaken(v, programme, "lines", 8, keys)
	other := testTaken(v, programme, "anatomy", 8, keys)
	beside := testTaken(v, programme, "energy", 8, keys)
	v.visit("/standing")
	v.see("the 1 requirement is met")
	v.press("Quizzes")
	v.see("among 3 taken")
	v.see("Evidence used (2)")
	v.see("Left out (2)")
	v.see("a better quiz on this topic decides")
	v.see("topic energy is not asked for")
	v.see("For education. Not advice on a patient.")
	v.audit("evidence of quizzes taken")
	for _, id := range []competency.QuizID{failed, passed, other, beside} {
		if n := eval[int](v, fmt.Sprintf(`document.querySelectorAll('a[href="/quizzes/%s"]').length`, id)); n != 1 {
			t.Errorf("attempt %s has %d links", id, n)
		}
	}
	openAttempt(v, failed)
	v.see("2 of 8 questions right")
	eval[bool](v, "(history.back(), true)")
	v.see("Evidence used (2)")
	openAttempt(v, passed)
	v.see("8 of 8 questions right")

	director.visit("/trainees/" + trainee + "/standing")
	director.see("the 1 requirement is met")
	director.press("Quizzes")
	director.see("Evidence used (2)")
	director.audit("evidence of quizzes taken, director")
	openAttempt(director, other)
	director.see("8 of 8 questions right")
	director.audit("an attempt, opened from the standing by the director")
	if !strings.HasSuffix(eval[string](director, "location.pathname"), string(other)) {
		t.Error("the director is not at the attempt")
	}
}
