package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/assessment/question"
	"isthmus/policies"
)

type (
	// OneQuestion is what every operation on a question of the bank takes.
	OneQuestion struct {
		InProgramme
		Item question.ItemID `path:"question" maxLength:"80" doc:"Id of the question."`
	}

	// OneQuestionChange is what every change of a question of the bank takes.
	OneQuestionChange struct {
		OneQuestion
		Changing
	}

	questionText struct {
		Item question.Item `json:"item" required:"true" doc:"What it says of version and status is passed over."`
	}
	questionEditing struct {
		OneQuestionChange
		Body questionText
	}
	questionReasoned struct {
		OneQuestionChange
		Body reasonBody
	}
)

// questionAnswer is a question of the bank with its ETag.
type questionAnswer struct {
	ETag string `header:"ETag" doc:"For If-Match of the next change."`
	Body service.BankQuestion
}

func questionGiven(view service.BankQuestion, err error) (*questionAnswer, error) {
	if err != nil {
		return nil, err
	}
	return &questionAnswer{ETag: etag(view.Head.Revision), Body: view}, nil
}

// questionMade is a new question of the bank with its ETag and address.
type questionMade struct {
	ETag     string `header:"ETag"`
	Location string `header:"Location"`
	Body     service.BankQuestion
}

const questionTag = "Question bank"

func (s *server) registerQuestions() {
	type creation struct {
		InProgramme
		Creating
		Body questionText
	}
	type checking struct {
		InProgramme
		Body questionText
	}
	type many struct {
		InProgramme
		Paged
	}
	register(s, operation{
		id: "questions", method: http.MethodGet, path: base + "/questions", tag: questionTag, object: policies.Question, action: policies.List,
		summary: "Every question of the programme's bank, drafts included", details: "Faculty and director only, like all of the bank: it holds the answers.",
	}, func(ctx context.Context, in *many) (*listed[service.QuestionHead], error) {
		return page(s.Service.Questions(ctx, actor(ctx), in.Programme, in.page()))
	})
	register(s, operation{
		id: "create-question", method: http.MethodPost, path: base + "/questions", tag: questionTag, object: policies.Question, action: policies.Create,
		summary: "Begin a question", status: http.StatusCreated,
		details: "It becomes the draft of version 1 and may be unfinished. Free text is screened for identifiers of patients before it is saved.",
	}, func(ctx context.Context, in *creation) (*questionMade, error) {
		view, err := s.Service.CreateQuestion(ctx, actor(ctx), in.Programme, service.QuestionCreation{Item: in.Body.Item, IdempotencyKey: in.Key})
		if err != nil {
			return nil, err
		}
		return &questionMade{ETag: etag(view.Head.Revision), Location: at(in.Programme, "/questions/"+string(view.Head.ID)), Body: view}, nil
	})
	register(s, operation{
		id: "check-question", method: http.MethodPost, path: base + "/question-check", tag: questionTag, object: policies.Question, action: policies.Preview,
		summary: "What is wrong with a question, how a trainee would see it, and which questions are much like it", details: "Its key and the wrong answers it foresees are marked too. Nothing is kept.",
	}, func(ctx context.Context, in *checking) (*answer[service.QuestionCheck], error) {
		return given(s.Service.CheckQuestion(ctx, actor(ctx), in.Programme, in.Body.Item))
	})
	register(s, operation{
		id: "question", method: http.MethodGet, path: base + "/questions/{question}", tag: questionTag, object: policies.Question, action: policies.Read,
		summary: "One question of the bank with its answer, its mistakes and its history",
	}, func(ctx context.Context, in *OneQuestion) (*questionAnswer, error) {
		return questionGiven(s.Service.QuestionByID(ctx, actor(ctx), in.Programme, in.Item))
	})
	register(s, operation{
		id: "question-versions", method: http.MethodGet, path: base + "/questions/{question}/versions", tag: questionTag, object: policies.Question, action: policies.Read,
		summary: "The versions of a question that were asked, newest first", details: "An attempt keeps its questions as they were, whatever becomes of them here.",
	}, func(ctx context.Context, in *OneQuestion) (*listed[service.QuestionVersion], error) {
		return page(s.Service.QuestionVersions(ctx, actor(ctx), in.Programme, in.Item))
	})
	s.registerQuestionActs()
	s.registerQuestionFiles()
	s.registerItemAnalysis()
}

// registerItemAnalysis is how the questions work.
func (s *server) registerItemAnalysis() {
	type query struct {
		InProgramme
		Topic question.Topic `query:"topic" maxLength:"100" doc:"Only questions on it."`
		Test  string         `query:"test" maxLength:"200" doc:"Only answers in this test, as tests of the answer names it."`
	}
	register(s, operation{
		id: "item-analysis", method: http.MethodGet, path: base + "/item-analysis", tag: questionTag, object: policies.Question, action: policies.Read,
		summary: "How the questions of tests work, by everybody's first answers",
		details: "Difficulty, discrimination, options chosen, consistency, the Rasch scale with fit, versions, sites, and flags with their reasons. What too few answered is withheld, and says how many it takes.",
	}, func(ctx context.Context, in *query) (*answer[service.ItemAnalysis], error) {
		return given(s.Service.ItemAnalysisOf(ctx, actor(ctx), in.Programme, service.ItemQuery{Topic: in.Topic, Test: in.Test}))
	})
}

// movedQuestion makes a change at the revision that If-Match names, and answers with the question after it.
func movedQuestion(ctx context.Context, in OneQuestionChange, move func(revision int) (service.BankQuestion, error)) (*questionAnswer, error) {
	revision, err := in.revision(ctx)
	if err != nil {
		return nil, err
	}
	return questionGiven(move(revision))
}

// registerQuestionActs is what authors and reviewers do with a question.
func (s *server) registerQuestionActs() {
	plain := func(id, act string, action policies.Action, summary, details string, move func(context.Context, *OneQuestionChange, int) (service.BankQuestion, error)) {
		register(s, operation{
			id: id, method: http.MethodPost, path: base + "/questions/{question}/" + act, tag: questionTag, object: policies.Question, action: action, summary: summary, details: details,
		}, func(ctx context.Context, in *OneQuestionChange) (*questionAnswer, error) {
			return movedQuestion(ctx, *in, func(revision int) (service.BankQuestion, error) { return move(ctx, in, revision) })
		})
	}
	reasoned := func(id, act string, action policies.Action, summary, details string, move func(context.Context, *questionReasoned, int) (service.BankQuestion, error)) {
		register(s, operation{
			id: id, method: http.MethodPost, path: base + "/questions/{question}/" + act, tag: questionTag, object: policies.Question, action: action, summary: summary, details: details,
		}, func(ctx context.Context, in *questionReasoned) (*questionAnswer, error) {
			return movedQuestion(ctx, in.OneQuestionChange, func(revision int) (service.BankQuestion, error) { return move(ctx, in, revision) })
		})
	}
	register(s, operation{
		id: "edit-question", method: http.MethodPut, path: base + "/questions/{question}", tag: questionTag, object: policies.Question, action: policies.Edit,
		summary: "Replace the text of a draft", details: "It may be unfinished. Whoever changes it is one of its authors from then on, and cannot approve it.",
	}, func(ctx context.Context, in *questionEditing) (*questionAnswer, error) {
		return movedQuestion(ctx, in.OneQuestionChange, func(revision int) (service.BankQuestion, error) {
			return s.Service.EditQuestion(ctx, actor(ctx), in.Programme, in.Item, revision, in.Body.Item)
		})
	})
	plain("submit-question", "submit", policies.Submit, "Hand a draft to review", "It must be without mistakes, and its key and the wrong answers it foresees must be marked as they should be.",
		func(ctx context.Context, in *OneQuestionChange, revision int) (service.BankQuestion, error) {
			return s.Service.SubmitQuestion(ctx, actor(ctx), in.Programme, in.Item, revision)
		})
	plain("revise-question", "revise", policies.Create, "Begin the next version as a draft", "Of a starter question too: the programme's own version then counts there. What is live goes on being asked meanwhile.",
		func(ctx context.Context, in *OneQuestionChange, revision int) (service.BankQuestion, error) {
			return s.Service.ReviseQuestion(ctx, actor(ctx), in.Programme, in.Item, revision)
		})
	plain("approve-question", "approve", policies.Approve, "Make a question in review live", "Nobody approves what they wrote in. The version never changes afterwards; the one before is superseded and kept.",
		func(ctx context.Context, in *OneQuestionChange, revision int) (service.BankQuestion, error) {
			return s.Service.ApproveQuestion(ctx, actor(ctx), in.Programme, in.Item, revision)
		})
	reasoned("return-question", "return", policies.Return, "Hand a question in review back with the reason", "Its author can take it back the same way.",
		func(ctx context.Context, in *questionReasoned, revision int) (service.BankQuestion, error) {
			return s.Service.ReturnQuestion(ctx, actor(ctx), in.Programme, in.Item, revision, in.Body.Reason, in.Body.Overrides...)
		})
	reasoned("retire-question", "retire", policies.Retire, "Take a question out of use with the reason", "A starter question too, for this programme. Attempts keep what they were asked.",
		func(ctx context.Context, in *questionReasoned, revision int) (service.BankQuestion, error) {
			return s.Service.RetireQuestion(ctx, actor(ctx), in.Programme, in.Item, revision, in.Body.Reason, in.Body.Overrides...)
		})
}

// registerQuestionFiles is what takes questions in and out as files.
func (s *server) registerQuestionFiles() {
	type out struct {
		InProgramme
		Format string `query:"format" default:"qti" enum:"qti,csv" doc:"qti: a QTI 3.0 package; csv: a table in UTF-8."`
	}
	type checking struct {
		InProgramme
		Body service.QuestionImport
	}
	type creation struct {
		InProgramme
		Creating
		Body service.QuestionImport
	}
	register(s, operation{
		id: "questions-file", method: http.MethodGet, path: base + "/questions-file", tag: questionTag, object: policies.Question, action: policies.Export,
		summary: "The live questions as a file, with their answers", details: "Keep it from those who are to be examined. Questions on the atrial map fit neither format and are left out.",
	}, func(ctx context.Context, in *out) (*editionFile, error) {
		file, err := s.Service.QuestionsFile(ctx, actor(ctx), in.Programme, in.Format)
		if err != nil {
			return nil, err
		}
		answer := &editionFile{ContentType: "application/zip", Disposition: `attachment; filename="questions.zip"`, Body: file.Data}
		if in.Format == service.FormatCSV {
			answer.ContentType, answer.Disposition = "text/csv; charset=utf-8", `attachment; filename="questions.csv"`
		}
		return answer, nil
	})
	register(s, operation{
		id: "check-question-import", method: http.MethodPost, path: base + "/question-import-check", tag: questionTag, object: policies.Question, action: policies.Create, most: maxFileBody,
		summary: "What would come of a file of questions", details: "Every mistake with its place, and of every question without one what it would become. Nothing is kept.",
	}, func(ctx context.Context, in *checking) (*answer[service.QuestionImportCheck], error) {
		return given(s.Service.CheckQuestionImport(ctx, actor(ctx), in.Programme, in.Body))
	})
	register(s, operation{
		id: "import-questions", method: http.MethodPost, path: base + "/question-imports", tag: questionTag, object: policies.Question, action: policies.Create, most: maxFileBody,
		summary: "Take a file of questions into the bank, all of them or none",
		details: "Whatever the file says of their state, they come in as drafts of whoever imports them, and another member of faculty reviews them.",
	}, func(ctx context.Context, in *creation) (*answer[service.QuestionImportCheck], error) {
		return given(s.Service.ImportQuestions(ctx, actor(ctx), in.Programme, in.Body, in.Key))
	})
}
