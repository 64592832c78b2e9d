package main

import (
	"fmt"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// serveDemoSat serves the demo after ten more trainees have sat the programme's own test, with 1, 2 and so on to 10 of its ten questions right.
func serveDemoSat(t *testing.T) string {
	t.Helper()
	return serveDemoAfter(t, func(s *store.Store, programme competency.ProgrammeID) {
		sv, now := serviceOver(t, s, wallClock), wallClock()
		for n := 1; n <= 10; n++ {
			id := competency.PersonID(fmt.Sprintf("sitter-%02d", n))
			err := s.Write(t.Context(), store.Act{Programme: programme, Name: "test.prepare", At: now}, func(tx *store.Tx) error {
				if err := tx.CreatePerson(store.Person{ID: id, Email: string(id) + "@example.org", Name: fmt.Sprint("Sitter ", n), CreatedAt: now}); err != nil {
					return err
				}
				if err := tx.AddMembership(store.Membership{Programme: programme, Person: id, Role: "trainee", From: competency.DayOf(now)}); err != nil {
					return err
				}
				return tx.Audit("person", string(id), nil, nil)
			})
			if err == nil {
				err = sat(t, s, sv, programme, service.Actor{Person: id}, n)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
	})
}

// sat has somebody sit the first test of the programme's own, with so many of its questions right.
func sat(t *testing.T, s *store.Store, sv *service.Service, programme competency.ProgrammeID, who service.Actor, right int) error {
	offers, err := sv.QuizOffers(t.Context(), who, programme)
	if err != nil {
		return err
	}
	own := slices.IndexFunc(offers.Tests, func(o service.QuizOffer) bool { return o.Test != "" })
	view, err := sv.StartQuiz(t.Context(), who, programme, service.QuizStart{Mode: question.Test, Test: offers.Tests[own].Test})
	if err != nil {
		return err
	}
	var changes []question.Change
	err = s.Read(t.Context(), func(tx *store.Tx) error {
		quiz, err := tx.QuizByID(programme, view.ID)
		for i, it := range quiz.Items {
			changes = append(changes, question.Change{Place: i + 1, MS: 20_000, Given: quiz.Placed(i + 1).Give(it.Example(i < right))})
		}
		return err
	})
	if err == nil {
		view, err = sv.SaveQuiz(t.Context(), who, programme, view.ID, view.Revision, changes)
	}
	if err == nil {
		_, err = sv.SubmitQuiz(t.Context(), who, programme, view.ID, view.Revision)
	}
	return err
}

// TestHofsteeInBrowser: the director calls a panel by Hofstee's method, two judges say what is bearable, one after a slip that is named, and the
// mark that meets their limits with the scores is adopted.
func TestHofsteeInBrowser(t *testing.T) {
	browser := openBrowser(t)
	base := serveDemoSat(t)
	amara := newVisitor(t, browser, base, 1280)
	signIn(amara, "amara")
	amara.see("Cohort")
	amara.visit("/tests")
	amara.press("Before the first supervised lines")
	amara.see("7 of 14 people passed: 50 %")
	amara.press("Call a panel")
	amara.choose("Method", "Hofstee: what marks and failing shares are bearable")
	amara.press("Mei Castellano")
	amara.press("Petra Osei")
	amara.press("Call the panel")
	amara.see("Hofstee, version 1 of the test. Round 1 is open.")
	amara.audit("a panel by Hofstee, its director")
	for _, judge := range []struct {
		who                              string
		width                            int64
		least, highest, few, many, saved string
	}{{"mei", 390, "40", "70", "10", "60", "Saved: 40 to 70 %, 10 to 60 % failing."}, {"petra", 1280, "50", "80", "20", "60", "Saved: 50 to 80 %, 20 to 60 % failing."}} {
		v := newVisitor(t, browser, base, judge.width)
		signIn(v, judge.who)
		v.press("A panel waits for the marks you find bearable.")
		v.see("What you find bearable")
		v.fill("Least acceptable mark", "90")
		v.fill("Highest acceptable mark", judge.highest)
		v.press("Save")
		v.see("Must be above the least mark")
		v.audit("limits the wrong way round")
		v.fill("Least acceptable mark", judge.least)
		v.fill("Least acceptable share failing", judge.few)
		v.fill("Highest acceptable share failing", judge.many)
		v.press("Save")
		v.see(judge.saved)
		v.audit("limits of a judge")
	}
	amara.do(chromedp.Reload())
	amara.see("1 of 1")
	if eval[bool](amara, `document.body.textContent.includes("40 to 70 %")`) {
		t.Error("the director sees limits while the round is open")
	}
	amara.press("Close round 1")
	amara.see("What the judges found bearable")
	// By hand: mean limits are 45 to 75 and 15 to 60. Below 60 lie 5 of 14, below 61 7 of 14; the line falls from 37.5 to 36 between: they meet at 60.1.
	amara.see("60.1 %")
	amara.see("7 of 14 people are below it, where the judges' line meets the scores at 37 % failing; the method has no standard error")
	amara.audit("a panel by Hofstee that is over")
	amara.press("Adopt the mark")
	amara.fill("Why it is adopted", "Both can bear it.")
	amara.press("Adopt the mark")
	amara.see("It was adopted.")
	amara.press("The test")
	amara.see("set by a panel of 2 (Hofstee)")
}
