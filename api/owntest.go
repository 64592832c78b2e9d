package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/assessment/question"
	"isthmus/competency/panel"
	"isthmus/policies"
)

type (
	// OneTest is what every operation on a programme's own test takes.
	OneTest struct {
		InProgramme
		Test question.TestID `path:"test" maxLength:"64" doc:"Id of the test."`
	}

	// OneTestChange is what every change of a test takes.
	OneTestChange struct {
		OneTest
		Changing
	}

	// OnePanel is what every operation on a panel takes.
	OnePanel struct {
		InProgramme
		Panel panel.ID `path:"panel" maxLength:"64" doc:"Id of the panel."`
	}

	// OnePanelChange is what every act of whoever leads a panel takes.
	OnePanelChange struct {
		OnePanel
		Changing
	}

	testText struct {
		Plan question.TestPlan `json:"plan" required:"true" doc:"Rows of topics, or a fixed form: one of the two."`
	}
)

// testAnswer is a test with its ETag.
type testAnswer struct {
	ETag string `header:"ETag" doc:"For If-Match of the next change."`
	Body service.TestView
}

// testMade is a new test with its ETag and address.
type testMade struct {
	ETag     string `header:"ETag"`
	Location string `header:"Location"`
	Body     service.TestView
}

// panelAnswer is a panel with its ETag.
type panelAnswer struct {
	ETag string `header:"ETag" doc:"For If-Match of closing, withdrawing and adopting."`
	Body service.PanelView
}

// panelMade is a new panel with its ETag and address.
type panelMade struct {
	ETag     string `header:"ETag"`
	Location string `header:"Location"`
	Body     service.PanelView
}

const testTag = "Tests and passing marks"

// movedTest makes a change at the revision that If-Match names, and answers with the test after it.
func movedTest(ctx context.Context, in OneTestChange, move func(revision int) (service.TestView, error)) (*testAnswer, error) {
	revision, err := in.revision(ctx)
	if err != nil {
		return nil, err
	}
	view, err := move(revision)
	if err != nil {
		return nil, err
	}
	return &testAnswer{ETag: etag(view.Head.Revision), Body: view}, nil
}

// movedPanel is movedTest for a panel.
func movedPanel(ctx context.Context, in OnePanelChange, move func(revision int) (service.PanelView, error)) (*panelAnswer, error) {
	revision, err := in.revision(ctx)
	if err != nil {
		return nil, err
	}
	view, err := move(revision)
	if err != nil {
		return nil, err
	}
	return &panelAnswer{ETag: etag(view.Revision), Body: view}, nil
}

func (s *server) registerTests() {
	type here struct{ InProgramme }
	type creation struct {
		InProgramme
		Creating
		Body testText
	}
	type checking struct {
		InProgramme
		Body testText
	}
	register(s, operation{
		id: "tests", method: http.MethodGet, path: base + "/tests", tag: testTag, object: policies.Test, action: policies.List,
		summary: "The programme's own tests of questions, drafts included", details: "Faculty and director only; trainees find the live ones among what they can start.",
	}, func(ctx context.Context, in *here) (*listed[service.TestHead], error) {
		return page(s.Service.Tests(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "create-test", method: http.MethodPost, path: base + "/tests", tag: testTag, object: policies.Test, action: policies.Create,
		summary: "Begin a test", status: http.StatusCreated, details: "It becomes the draft of version 1 and may be unfinished. Faculty propose tests; the director puts them to use.",
	}, func(ctx context.Context, in *creation) (*testMade, error) {
		view, err := s.Service.CreateTest(ctx, actor(ctx), in.Programme, service.TestCreation{Plan: in.Body.Plan, IdempotencyKey: in.Key})
		if err != nil {
			return nil, err
		}
		return &testMade{ETag: etag(view.Head.Revision), Location: at(in.Programme, "/tests/"+string(view.Head.ID)), Body: view}, nil
	})
	register(s, operation{
		id: "check-test", method: http.MethodPost, path: base + "/test-check", tag: testTag, object: policies.Test, action: policies.Preview,
		summary: "What is wrong with a test, and what the bank has for each of its rows", details: "How many live questions fit each row, how hard they are, and how many one form draws. Nothing is kept.",
	}, func(ctx context.Context, in *checking) (*answer[service.TestCheck], error) {
		return given(s.Service.CheckTest(ctx, actor(ctx), in.Programme, in.Body.Plan))
	})
	register(s, operation{
		id: "test", method: http.MethodGet, path: base + "/tests/{test}", tag: testTag, object: policies.Test, action: policies.Read,
		summary: "One test with its versions, panels and passing marks",
	}, func(ctx context.Context, in *OneTest) (*testAnswer, error) {
		view, err := s.Service.TestByID(ctx, actor(ctx), in.Programme, in.Test)
		if err != nil {
			return nil, err
		}
		return &testAnswer{ETag: etag(view.Head.Revision), Body: view}, nil
	})
	register(s, operation{
		id: "test-results", method: http.MethodGet, path: base + "/tests/{test}/results", tag: testTag, object: policies.Test, action: policies.Review,
		summary: "How trainees did at the version in use", details: "The share of people who passed with its Wilson interval, and the distribution of their scores. Each counts once, with the first attempt.",
	}, func(ctx context.Context, in *OneTest) (*answer[service.TestResults], error) {
		return given(s.Service.TestResultsOf(ctx, actor(ctx), in.Programme, in.Test))
	})
	s.registerTestActs()
	s.registerPanels()
}

// registerTestActs is what is done with a test.
func (s *server) registerTestActs() {
	type editing struct {
		OneTestChange
		Body testText
	}
	type reasoned struct {
		OneTestChange
		Body reasonBody
	}
	register(s, operation{
		id: "edit-test", method: http.MethodPut, path: base + "/tests/{test}", tag: testTag, object: policies.Test, action: policies.Edit,
		summary: "Replace the plan of a draft", details: "It may be unfinished.",
	}, func(ctx context.Context, in *editing) (*testAnswer, error) {
		return movedTest(ctx, in.OneTestChange, func(revision int) (service.TestView, error) {
			return s.Service.EditTest(ctx, actor(ctx), in.Programme, in.Test, revision, in.Body.Plan)
		})
	})
	register(s, operation{
		id: "publish-test", method: http.MethodPost, path: base + "/tests/{test}/publish", tag: testTag, object: policies.Test, action: policies.Approve,
		summary: "Put a test to use", details: "The version never changes afterwards; the one before is superseded and kept.",
	}, func(ctx context.Context, in *OneTestChange) (*testAnswer, error) {
		return movedTest(ctx, *in, func(revision int) (service.TestView, error) {
			return s.Service.PublishTest(ctx, actor(ctx), in.Programme, in.Test, revision)
		})
	})
	register(s, operation{
		id: "revise-test", method: http.MethodPost, path: base + "/tests/{test}/revise", tag: testTag, object: policies.Test, action: policies.Edit,
		summary: "Begin the next version as a draft", details: "What is in use stays so meanwhile. A mark holds for the version it was set for: the next one begins with the example again.",
	}, func(ctx context.Context, in *OneTestChange) (*testAnswer, error) {
		return movedTest(ctx, *in, func(revision int) (service.TestView, error) {
			return s.Service.ReviseTest(ctx, actor(ctx), in.Programme, in.Test, revision)
		})
	})
	register(s, operation{
		id: "retire-test", method: http.MethodPost, path: base + "/tests/{test}/retire", tag: testTag, object: policies.Test, action: policies.Retire,
		summary: "Take a test out of use with the reason", details: "Attempts keep what they were asked.",
	}, func(ctx context.Context, in *reasoned) (*testAnswer, error) {
		return movedTest(ctx, in.OneTestChange, func(revision int) (service.TestView, error) {
			return s.Service.RetireTest(ctx, actor(ctx), in.Programme, in.Test, revision, in.Body.Reason, in.Body.Overrides...)
		})
	})
}

// registerPanels is how a passing mark is set.
func (s *server) registerPanels() {
	type calling struct {
		OneTest
		Creating
		Body service.PanelCall
	}
	type rating struct {
		OnePanel
		Body service.PanelRating
	}
	type reasoned struct {
		OnePanelChange
		Body reasonBody
	}
	register(s, operation{
		id: "call-panel", method: http.MethodPost, path: base + "/tests/{test}/panels", tag: testTag, object: policies.Panel, action: policies.Create,
		summary: "Call judges to set the passing mark of the version in use", status: http.StatusCreated,
	}, func(ctx context.Context, in *calling) (*panelMade, error) {
		in.Body.IdempotencyKey = in.Key
		view, err := s.Service.CallPanel(ctx, actor(ctx), in.Programme, in.Test, in.Body)
		if err != nil {
			return nil, err
		}
		return &panelMade{ETag: etag(view.Revision), Location: at(in.Programme, "/panels/"+string(view.ID)), Body: view}, nil
	})
	register(s, operation{
		id: "panel", method: http.MethodGet, path: base + "/panels/{panel}", tag: testTag, object: policies.Panel, action: policies.Read,
		summary: "One panel, as its judges and its director see it", details: "What a judge says in an open round is seen by that judge alone. Of a closed round judges see the spread and their own, the director everything.",
	}, func(ctx context.Context, in *OnePanel) (*panelAnswer, error) {
		view, err := s.Service.PanelByID(ctx, actor(ctx), in.Programme, in.Panel)
		if err != nil {
			return nil, err
		}
		return &panelAnswer{ETag: etag(view.Revision), Body: view}, nil
	})
	register(s, operation{
		id: "rate-panel", method: http.MethodPut, path: base + "/panels/{panel}/ratings", tag: testTag, object: policies.Panel, action: policies.Respond,
		summary: "Keep what the judge says now", details: "Questions that are not named stay as they are. Nothing changes once the round is closed.",
	}, func(ctx context.Context, in *rating) (*panelAnswer, error) {
		view, err := s.Service.RatePanel(ctx, actor(ctx), in.Programme, in.Panel, in.Body)
		if err != nil {
			return nil, err
		}
		return &panelAnswer{ETag: etag(view.Revision), Body: view}, nil
	})
	register(s, operation{
		id: "close-panel-round", method: http.MethodPost, path: base + "/panels/{panel}/close", tag: testTag, object: policies.Panel, action: policies.Edit,
		summary: "Close the open round", details: "Judges who had not rated everything are left out from then on. After the second round of Angoff's method, and the only one of Hofstee's, the panel has its result.",
	}, func(ctx context.Context, in *OnePanelChange) (*panelAnswer, error) {
		return movedPanel(ctx, *in, func(revision int) (service.PanelView, error) {
			return s.Service.ClosePanelRound(ctx, actor(ctx), in.Programme, in.Panel, revision)
		})
	})
	register(s, operation{
		id: "withdraw-panel", method: http.MethodPost, path: base + "/panels/{panel}/withdraw", tag: testTag, object: policies.Panel, action: policies.Withdraw,
		summary: "Give an open panel up with the reason",
	}, func(ctx context.Context, in *reasoned) (*panelAnswer, error) {
		return movedPanel(ctx, in.OnePanelChange, func(revision int) (service.PanelView, error) {
			return s.Service.WithdrawPanel(ctx, actor(ctx), in.Programme, in.Panel, revision, in.Body.Reason, in.Body.Overrides...)
		})
	})
	register(s, operation{
		id: "adopt-panel", method: http.MethodPost, path: base + "/panels/{panel}/adopt", tag: testTag, object: policies.Panel, action: policies.Approve,
		summary: "Adopt a panel's mark with the reason", details: "It holds for attempts begun from then on; those begun before keep theirs.",
	}, func(ctx context.Context, in *reasoned) (*panelAnswer, error) {
		return movedPanel(ctx, in.OnePanelChange, func(revision int) (service.PanelView, error) {
			return s.Service.AdoptPanel(ctx, actor(ctx), in.Programme, in.Panel, revision, in.Body.Reason, in.Body.Overrides...)
		})
	})
}
