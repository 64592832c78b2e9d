package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/assessment"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/policies"
)

// quizAnswer is an attempt with its ETag.
type quizAnswer struct {
	ETag string `header:"ETag" doc:"For If-Match of the next save."`
	Body service.QuizView
}

// quizGiven answers with an attempt.
func quizGiven(view service.QuizView, err error) (*quizAnswer, error) {
	if err != nil {
		return nil, err
	}
	return &quizAnswer{ETag: etag(view.Revision), Body: view}, nil
}

// quizMade is a new attempt with its ETag and address.
type quizMade struct {
	ETag     string `header:"ETag"`
	Location string `header:"Location"`
	Body     service.QuizView
}

// quizReplies are replies to be kept.
type quizReplies struct {
	Replies []question.Change `json:"replies" required:"true" maxItems:"200" doc:"Places that are not named stay as they are."`
}

func (s *server) registerQuizzes() {
	type here struct{ InProgramme }
	type start struct {
		InProgramme
		Creating
		Body service.QuizStart
	}
	type many struct {
		InProgramme
		Paged
		Trainee competency.PersonID      `query:"trainee" maxLength:"64"`
		Mode    question.Mode            `query:"mode" enum:"practice,test,daily"`
		Status  assessment.SittingStatus `query:"status" enum:"open,submitted,ended"`
	}
	type one struct {
		InProgramme
		Quiz competency.QuizID `path:"quiz" maxLength:"64"`
	}
	type save struct {
		InProgramme
		Changing
		Quiz competency.QuizID `path:"quiz" maxLength:"64"`
		Body quizReplies
	}
	type submit struct {
		InProgramme
		Changing
		Quiz competency.QuizID `path:"quiz" maxLength:"64"`
	}
	type whose struct {
		InProgramme
		Trainee competency.PersonID `path:"trainee" maxLength:"64"`
	}
	const tag = "Questions"
	register(s, operation{
		id: "quiz-offers", method: http.MethodGet, path: base + "/quiz-offers", tag: tag, object: policies.Quiz, action: policies.Create,
		summary: "Sets of questions that can be started", details: "The daily set follows from the caller's own earlier answers and holds for the calendar day in UTC.",
	}, func(ctx context.Context, in *here) (*answer[service.QuizOffers], error) {
		return given(s.Service.QuizOffers(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "start-quiz", method: http.MethodPost, path: base + "/quizzes", tag: tag, object: policies.Quiz, action: policies.Create,
		summary: "Start a set of questions",
		details: "One of each mode is open at a time. A test runs out by the server's clock, practice after a day, the daily set at midnight UTC: what was saved by then counts.",
		status:  http.StatusCreated,
	}, func(ctx context.Context, in *start) (*quizMade, error) {
		in.Body.IdempotencyKey = in.Key
		view, err := s.Service.StartQuiz(ctx, actor(ctx), in.Programme, in.Body)
		if err != nil {
			return nil, err
		}
		return &quizMade{ETag: etag(view.Revision), Location: at(in.Programme, "/quizzes/"+string(view.ID)), Body: view}, nil
	})
	register(s, operation{
		id: "quizzes", method: http.MethodGet, path: base + "/quizzes", tag: tag, object: policies.Quiz, action: policies.List,
		summary: "Attempts at questions, newest first", details: "A trainee's own; those of trainees a faculty member supervises; all for director and committee.",
	}, func(ctx context.Context, in *many) (*listed[service.QuizSummary], error) {
		filter := service.QuizFilter{Trainee: in.Trainee, Mode: in.Mode, Status: in.Status}
		return page(s.Service.Quizzes(ctx, actor(ctx), in.Programme, filter, in.page()))
	})
	register(s, operation{
		id: "quiz", method: http.MethodGet, path: base + "/quizzes/{quiz}", tag: tag, object: policies.Quiz, action: policies.Read,
		summary: "One attempt with its questions",
		details: "To go on with it on whatever device, or to see how it ended. Marks, keys and feedback come once a test is closed; in practice and in the daily set with each answer.",
	}, func(ctx context.Context, in *one) (*quizAnswer, error) {
		return quizGiven(s.Service.QuizByID(ctx, actor(ctx), in.Programme, in.Quiz))
	})
	register(s, operation{
		id: "save-quiz", method: http.MethodPut, path: base + "/quizzes/{quiz}/replies", tag: tag, object: policies.Quiz, action: policies.Edit,
		summary: "Save replies of an open attempt", details: "A save made in time counts when it arrives up to ten seconds late. In practice and in the daily set an answer is final, as its feedback follows.",
	}, func(ctx context.Context, in *save) (*quizAnswer, error) {
		revision, err := in.revision(ctx)
		if err != nil {
			return nil, err
		}
		return quizGiven(s.Service.SaveQuiz(ctx, actor(ctx), in.Programme, in.Quiz, revision, in.Body.Replies))
	})
	register(s, operation{
		id: "submit-quiz", method: http.MethodPost, path: base + "/quizzes/{quiz}/submit", tag: tag, object: policies.Quiz, action: policies.Edit,
		summary: "Submit an attempt", details: "It is marked at once with what is saved, and never changes.",
	}, func(ctx context.Context, in *submit) (*quizAnswer, error) {
		revision, err := in.revision(ctx)
		if err != nil {
			return nil, err
		}
		return quizGiven(s.Service.SubmitQuiz(ctx, actor(ctx), in.Programme, in.Quiz, revision))
	})
	register(s, operation{
		id: "knowledge", method: http.MethodGet, path: base + "/trainees/{trainee}/knowledge", tag: tag, object: policies.Quiz, action: policies.Read,
		summary: "What a trainee has shown to know, by topic", details: "The share of questions right with its Wilson interval; each question counts once, by its last answer.",
	}, func(ctx context.Context, in *whose) (*answer[service.Knowledge], error) {
		return given(s.Service.KnowledgeOf(ctx, actor(ctx), in.Programme, in.Trainee))
	})
	register(s, operation{
		id: "cohort-knowledge", method: http.MethodGet, path: base + "/cohort-knowledge", tag: tag, object: policies.Quiz, action: policies.List,
		summary: "What today's trainees have shown to know, by topic and year", details: "A faculty member finds the trainees they supervise, a trainee themselves alone.",
	}, func(ctx context.Context, in *here) (*answer[service.CohortKnowledge], error) {
		return given(s.Service.CohortKnowledgeOf(ctx, actor(ctx), in.Programme))
	})
}
