package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

// OneMeeting names a meeting of a programme.
type OneMeeting struct {
	InProgramme
	Meeting competency.MeetingID `path:"meeting" maxLength:"64"`
}

// OneTurn names a trainee's turn in a meeting.
type OneTurn struct {
	OneMeeting
	Trainee competency.PersonID `path:"trainee" maxLength:"64"`
}

// OneDecision names a decision of a programme.
type OneDecision struct {
	InProgramme
	Decision competency.DecisionID `path:"decision" maxLength:"64"`
}

// newMeetingBody is a meeting to call.
type newMeetingBody struct {
	ID       competency.MeetingID  `json:"id,omitempty" maxLength:"64" doc:"A UUID of version 7 made by the client; one is made when absent."`
	HeldOn   competency.Day        `json:"held_on" required:"true" maxLength:"10" doc:"Calendar day. Standings are as of it, or of today when that is earlier."`
	Note     string                `json:"note,omitempty" maxLength:"500"`
	Trainees []competency.PersonID `json:"trainees" required:"true" minItems:"1" maxItems:"60" nullable:"false" doc:"In their turn."`
	Members  []competency.PersonID `json:"members" required:"true" minItems:"1" maxItems:"30" nullable:"false" doc:"Who sits: people with the role committee."`
}

// meetingMade is a new meeting with its address.
type meetingMade struct {
	Location string `header:"Location"`
	Body     service.MeetingView
}

// voteBody is a member's recommendation.
type voteBody struct {
	Outcome competency.Outcome `json:"outcome" required:"true" enum:"independent,independent-with-conditions,continue,remediate"`
	Remark  string             `json:"remark,omitempty" maxLength:"2000"`
	Keeping
}

// conflictBody is a conflict of interest in a few words.
type conflictBody struct {
	Reason string `json:"reason" required:"true" maxLength:"500"`
	Keeping
}

// decisionBody is an outcome to record.
type decisionBody struct {
	Outcome      competency.Outcome `json:"outcome" required:"true" enum:"independent,independent-with-conditions,continue,remediate"`
	Conditions   string             `json:"conditions,omitempty" maxLength:"2000" doc:"With independent-with-conditions: what must hold."`
	Reasons      string             `json:"reasons" required:"true" maxLength:"4000" doc:"For the trainee to read."`
	EvidenceHash string             `json:"evidence_hash" required:"true" maxLength:"64" doc:"Of the standing that was looked at: other evidence meanwhile is refused with 412."`
	Keeping
}

// responseBody is the trainee's answer.
type responseBody struct {
	Text string `json:"text" required:"true" maxLength:"4000"`
	Keeping
}

func (s *server) registerMeetings() {
	type calling struct {
		InProgramme
		Creating
		Body newMeetingBody
	}
	type voting struct {
		OneTurn
		Body voteBody
	}
	type declaring struct {
		OneTurn
		Body conflictBody
	}
	register(s, operation{
		id: "meetings", method: http.MethodGet, path: base + "/meetings", tag: "Decisions", object: policies.Meeting, action: policies.List,
		summary: "The committee's meetings, the latest day first", details: "A member of the committee sees those they sit in.",
	}, func(ctx context.Context, in *InProgramme) (*listed[service.MeetingSummary], error) {
		return page(s.Service.Meetings(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "call-meeting", method: http.MethodPost, path: base + "/meetings", tag: "Decisions", object: policies.Meeting, action: policies.Create,
		summary: "Call a meeting about trainees", details: "Nothing of it changes afterwards.", status: http.StatusCreated,
	}, func(ctx context.Context, in *calling) (*meetingMade, error) {
		view, err := s.Service.CallMeeting(ctx, actor(ctx), in.Programme, service.NewMeeting{
			ID: in.Body.ID, HeldOn: in.Body.HeldOn, Note: in.Body.Note, Trainees: in.Body.Trainees, Members: in.Body.Members, IdempotencyKey: in.Key,
		})
		if err != nil {
			return nil, err
		}
		return &meetingMade{Location: at(in.Programme, "/meetings/"+string(view.ID)), Body: view}, nil
	})
	register(s, operation{
		id: "meeting", method: http.MethodGet, path: base + "/meetings/{meeting}", tag: "Decisions", object: policies.Meeting, action: policies.Read,
		summary: "A meeting, one trainee after the other",
		details: "Others' votes are shown to a member once the own vote is in, to who declared a conflict once the outcome is recorded.",
	}, func(ctx context.Context, in *OneMeeting) (*answer[service.MeetingView], error) {
		return given(s.Service.MeetingOf(ctx, actor(ctx), in.Programme, in.Meeting))
	})
	register(s, operation{
		id: "vote", method: http.MethodPost, path: base + "/meetings/{meeting}/trainees/{trainee}/votes", tag: "Decisions", object: policies.Meeting, action: policies.Vote,
		summary: "Recommend an outcome, in place of an earlier recommendation",
	}, func(ctx context.Context, in *voting) (*answer[service.MeetingView], error) {
		return given(s.Service.Vote(ctx, actor(ctx), in.Programme, in.Meeting, in.Trainee, service.NewVote{Outcome: in.Body.Outcome, Remark: in.Body.Remark, Overrides: in.Body.Overrides}))
	})
	register(s, operation{
		id: "declare-conflict", method: http.MethodPost, path: base + "/meetings/{meeting}/trainees/{trainee}/conflicts", tag: "Decisions", object: policies.Meeting, action: policies.Declare,
		summary: "Declare a conflict of interest", details: "It cannot be taken back. An earlier vote of the member no longer counts.",
	}, func(ctx context.Context, in *declaring) (*answer[service.MeetingView], error) {
		return given(s.Service.DeclareConflict(ctx, actor(ctx), in.Programme, in.Meeting, in.Trainee, in.Body.Reason, in.Body.Overrides...))
	})
}

func (s *server) registerDecisions() {
	type deciding struct {
		OneTurn
		Body decisionBody
	}
	type ofTrainee struct {
		InProgramme
		Trainee competency.PersonID `path:"trainee" maxLength:"64"`
	}
	type responding struct {
		OneDecision
		Body responseBody
	}
	type made struct {
		Location string `header:"Location"`
		Body     service.DecisionView
	}
	register(s, operation{
		id: "decide", method: http.MethodPost, path: base + "/meetings/{meeting}/trainees/{trainee}/decision", tag: "Decisions", object: policies.Decision, action: policies.Create,
		summary: "Record and sign the outcome",
		details: "An electronic signature with a fresh proof of identity. Standing, standard and evidence are frozen and hashed with it. It never changes: a later meeting's decision takes its place.",
		status:  http.StatusCreated,
	}, func(ctx context.Context, in *deciding) (*made, error) {
		view, err := s.Service.Decide(ctx, actor(ctx), in.Programme, in.Meeting, in.Trainee, service.NewDecision{
			Verdict:      competency.Verdict{Outcome: in.Body.Outcome, Conditions: in.Body.Conditions, Reasons: in.Body.Reasons},
			EvidenceHash: in.Body.EvidenceHash, Overrides: in.Body.Overrides,
		})
		if err != nil {
			return nil, err
		}
		return &made{Location: at(in.Programme, "/decisions/"+string(view.ID)), Body: view}, nil
	})
	register(s, operation{
		id: "decisions", method: http.MethodGet, path: base + "/trainees/{trainee}/decisions", tag: "Decisions", object: policies.Decision, action: policies.Read,
		summary: "The decisions about a trainee, newest first", details: "Only the first stands.",
	}, func(ctx context.Context, in *ofTrainee) (*listed[service.DecisionSummary], error) {
		return page(s.Service.DecisionsOf(ctx, actor(ctx), in.Programme, in.Trainee))
	})
	register(s, operation{
		id: "decision", method: http.MethodGet, path: base + "/decisions/{decision}", tag: "Decisions", object: policies.Decision, action: policies.Read,
		summary: "A decision with its reasons, the frozen standing and the signature", details: "The trainee sees how many voted for what, never who.",
	}, func(ctx context.Context, in *OneDecision) (*answer[service.DecisionView], error) {
		return given(s.Service.DecisionByID(ctx, actor(ctx), in.Programme, in.Decision))
	})
	register(s, operation{
		id: "respond", method: http.MethodPost, path: base + "/decisions/{decision}/response", tag: "Decisions", object: policies.Decision, action: policies.Respond,
		summary: "Answer a decision about oneself, once",
	}, func(ctx context.Context, in *responding) (*answer[service.DecisionView], error) {
		return given(s.Service.Respond(ctx, actor(ctx), in.Programme, in.Decision, in.Body.Text, in.Body.Overrides...))
	})
}
