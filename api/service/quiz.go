package service

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"slices"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/policies"
)

// QuizStart asks for a set of questions. Topic is required for practice, and makes a test one on that topic; the daily
// set has none. Test names one of the programme's own. The
// key, when given, makes a resend harmless.
type QuizStart struct {
	Mode           question.Mode   `json:"mode" required:"true" enum:"practice,test,daily"`
	Topic          question.Topic  `json:"topic,omitempty" maxLength:"100"`
	Test           question.TestID `json:"test,omitempty" maxLength:"64" doc:"One of the programme's own tests, as offered."`
	IdempotencyKey string          `json:"-"`
}

// QuizOffer is a set of questions that can be started.
type QuizOffer struct {
	Mode     question.Mode     `json:"mode"`
	Topic    question.Topic    `json:"topic,omitempty"` // absent: all topics
	Title    string            `json:"title"`
	Items    int               `json:"items"`
	Minutes  int               `json:"minutes,omitempty"`  // absent: until the day after
	Test     question.TestID   `json:"test,omitempty"`     // one of the programme's own
	Negative bool              `json:"negative,omitempty"` // wrong answers cost points
	Cut      float64           `json:"cut,omitempty"`      // per cent that pass
	CutFrom  *question.Cut     `json:"cut_from,omitempty"` // of one of the programme's own; absent: an example that no panel has set
	Open     competency.QuizID `json:"open,omitempty"`     // an attempt of this mode is open: another cannot be started
	Done     competency.QuizID `json:"done,omitempty"`     // today's daily set, when it is closed
}

// QuizOffers is what can be started today. The daily set is for the calendar day in UTC.
type QuizOffers struct {
	Daily    QuizOffer   `json:"daily"`
	Practice []QuizOffer `json:"practice"`
	Tests    []QuizOffer `json:"tests"`
	Caution  string      `json:"caution"`
}

// practiceTime is how long practice stays open: what lies about longer is closed with what was answered. Common practice, no source.
const practiceTime = 24 * time.Hour

// QuizOffers says what the actor can start.
func (s *Service) QuizOffers(ctx context.Context, actor Actor, programme competency.ProgrammeID) (QuizOffers, error) {
	var offers QuizOffers
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Quiz, policies.Create, policies.Own); err != nil {
			return err
		}
		own, err := h.tx.QuizzesOf(programme, actor.Person)
		if err != nil {
			return err
		}
		bank, err := h.bank()
		if err != nil {
			return err
		}
		open := map[question.Mode]competency.QuizID{}
		for _, q := range own {
			if q.Status == assessment.SittingOpen {
				open[q.Mode] = q.ID
			}
		}
		offers = QuizOffers{Practice: []QuizOffer{}, Tests: []QuizOffer{}, Caution: atrium.Caution}
		offers.Daily = QuizOffer{Mode: question.DailySet, Title: "Daily set", Items: len(h.dailyOf(bank, own, 0)), Open: open[question.DailySet]}
		if q, done := h.todays(own); done {
			offers.Daily.Items = len(q.Replies)
			if q.Status != assessment.SittingOpen {
				offers.Daily.Done = q.ID
			}
		}
		offers.Tests = append(offers.Tests, testOffer("", question.Mixed(bank), open[question.Test]))
		tests, err := h.offeredTests(bank, open[question.Test])
		if err != nil {
			return err
		}
		offers.Tests = append(tests, offers.Tests...)
		for _, topic := range bank.Topics() {
			b, _ := question.OnTopic(bank, topic)
			offers.Practice = append(offers.Practice, QuizOffer{
				Mode: question.Practice, Topic: topic, Title: b.Title, Items: b.Items(), Open: open[question.Practice],
			})
			offers.Tests = append(offers.Tests, testOffer(topic, b, open[question.Test]))
		}
		return nil
	})
	return offers, err
}

func testOffer(topic question.Topic, b question.Blueprint, open competency.QuizID) QuizOffer {
	return QuizOffer{
		Mode: question.Test, Topic: topic, Title: b.Title, Items: b.Items(), Minutes: int(question.TimeFor(b).Minutes()), Cut: question.ExampleCut, Open: open,
	}
}

// StartQuiz draws a form and opens an attempt of the actor's at it. The error is strict.Faults about the topic, ErrDuplicate while one of
// its mode is open or when today's daily set was begun before, ErrTestOpen while a test on a scenario is open, as feedback tells what
// lesions do, ErrKeyReused or ErrForbidden.
func (s *Service) StartQuiz(ctx context.Context, actor Actor, programme competency.ProgrammeID, in QuizStart) (QuizView, error) {
	o, err := onceFor(in.IdempotencyKey, "quiz.start", programme, in)
	if err != nil {
		return QuizView{}, err
	}
	sum := sha256.Sum256([]byte(s.deps.NewID()))
	seed := int64(binary.BigEndian.Uint64(sum[:8])) // of an id that is used for nothing else: nobody learns it
	var view QuizView
	check := func(h *scene) error { return h.may(policies.Quiz, policies.Create, policies.Own) }
	load := func(h *scene, id string) (err error) {
		view, err = h.quizByID(competency.QuizID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		return s.write(ctx, actor, programme, "quiz.start", func(h *scene) error {
			if err := check(h); err != nil {
				return err
			}
			quiz, err := h.newQuiz(competency.QuizID(s.deps.NewID()), in, seed)
			if err != nil {
				return err
			}
			if err := o.remember(h, string(quiz.ID)); err != nil {
				return err
			}
			view, err = h.quizByID(quiz.ID)
			return err
		})
	})
	return view, err
}

// newQuiz makes, saves and audits an open attempt of the actor's.
func (h *scene) newQuiz(id competency.QuizID, in QuizStart, seed int64) (store.Quiz, error) {
	if err := h.noOpenTest(); err != nil {
		return store.Quiz{}, err
	}
	quiz := store.Quiz{ID: id, Programme: h.programme.ID, Trainee: h.actor.Person}
	bank, err := h.bank()
	if err != nil {
		return quiz, err
	}
	if quiz.Attempt, err = h.begin(bank, in, seed); err != nil {
		return quiz, err
	}
	if err := h.tx.CreateQuiz(quiz); err != nil {
		return quiz, err
	}
	return quiz, h.tx.Audit("quiz", string(id), nil, quiz)
}

// begin opens what a start asks for.
func (h *scene) begin(bank question.Bank, in QuizStart, seed int64) (question.Attempt, error) {
	if in.Test != "" {
		return h.beginOwnTest(bank, in, seed)
	}
	b, due, err := h.blueprintFor(bank, in, seed)
	if err != nil {
		return question.Attempt{}, err
	}
	return question.Begin(bank, in.Mode, b, seed, h.now, due)
}

// blueprintFor is what a start asks for, and until when it is open.
func (h *scene) blueprintFor(bank question.Bank, in QuizStart, seed int64) (question.Blueprint, time.Time, error) {
	switch {
	case in.Mode == question.DailySet && in.Topic != "":
		return question.Blueprint{}, time.Time{}, fault("topic", "the daily set has none")
	case in.Mode == question.DailySet:
		own, err := h.tx.QuizzesOf(h.programme.ID, h.actor.Person)
		if err != nil {
			return question.Blueprint{}, time.Time{}, err
		}
		if _, begun := h.todays(own); begun {
			return question.Blueprint{}, time.Time{}, ErrDuplicate
		}
		refs := h.dailyOf(bank, own, seed)
		if len(refs) == 0 {
			return question.Blueprint{}, time.Time{}, fault("mode", "nothing is due today")
		}
		return question.Blueprint{Title: "Daily set", Fixed: refs}, dayAfter(h.now), nil
	case in.Mode == question.Test && in.Topic == "":
		b := question.Mixed(bank)
		return b, h.now.Add(question.TimeFor(b)), nil
	}
	b, found := question.OnTopic(bank, in.Topic)
	if !found {
		return b, time.Time{}, fault("topic", "there are no questions on it")
	}
	if in.Mode == question.Test {
		return b, h.now.Add(question.TimeFor(b)), nil
	}
	return b, h.now.Add(practiceTime), nil
}

// dayAfter is the midnight, UTC, that ends a moment's day.
func dayAfter(now time.Time) time.Time { return now.UTC().Truncate(24 * time.Hour).Add(24 * time.Hour) }

// todays finds the daily set begun today.
func (h *scene) todays(own []store.Quiz) (store.Quiz, bool) {
	i := slices.IndexFunc(own, func(q store.Quiz) bool {
		return q.Mode == question.DailySet && question.DayOf(q.StartedAt) == question.DayOf(h.now)
	})
	if i < 0 {
		return store.Quiz{}, false
	}
	return own[i], true
}

// dailyOf is the daily set that follows from somebody's closed attempts, of any mode, by the answers given before today.
func (h *scene) dailyOf(bank question.Bank, own []store.Quiz, seed int64) []question.Ref {
	var seen []question.Seen
	for _, q := range own {
		for _, o := range q.Outcomes {
			if o.Answered {
				seen = append(seen, question.Seen{Item: o.Item, On: question.DayOf(o.At), Right: o.Right})
			}
		}
	}
	return question.Daily(bank, seen, question.DayOf(h.now), seed)
}

// QuizFilter narrows a list of attempts; empty fields do not.
type QuizFilter struct {
	Trainee competency.PersonID
	Mode    question.Mode
	Status  assessment.SittingStatus
}

// Quizzes lists attempts, newest first: a trainee's own, those of trainees a faculty member supervises, or all for director and committee.
func (s *Service) Quizzes(ctx context.Context, actor Actor, programme competency.ProgrammeID, filter QuizFilter, page store.Page) (List[QuizSummary], error) {
	list := List[QuizSummary]{Items: []QuizSummary{}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		narrow := store.QuizFilter{Trainee: filter.Trainee, Mode: filter.Mode, Status: filter.Status}
		var err error
		if narrow.Trainees, err = h.traineesInReach(policies.Quiz); err != nil {
			return err
		}
		rows, next, err := h.tx.Quizzes(programme, narrow, page)
		if err != nil {
			return err
		}
		list.Items, list.Next = make([]QuizSummary, len(rows)), next
		for i, row := range rows {
			list.Items[i] = h.summaryOfQuiz(row)
		}
		return nil
	})
	return list, err
}
