package service

import (
	"slices"
	"time"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// MeetingSummary is a meeting in a list.
type MeetingSummary struct {
	ID       competency.MeetingID `json:"id"`
	HeldOn   competency.Day       `json:"held_on"`
	Note     string               `json:"note,omitempty"`
	Trainees int                  `json:"trainees"`
	Members  int                  `json:"members"`
	Decided  int                  `json:"decided"`
}

// MeetingView is a meeting with every trainee's turn.
type MeetingView struct {
	ID        competency.MeetingID `json:"id"`
	HeldOn    competency.Day       `json:"held_on"`
	Note      string               `json:"note,omitempty"`
	Members   []PersonRef          `json:"members"`
	CreatedBy PersonRef            `json:"created_by"`
	CreatedAt time.Time            `json:"created_at"`
	Turns     []Turn               `json:"turns"`
	Caution   string               `json:"caution"`
}

// Turn is one trainee's turn. The standing is as of the meeting's day, or of today when that is earlier.
type Turn struct {
	Trainee   PersonRef           `json:"trainee"`
	Standing  competency.Standing `json:"standing"`
	Waiting   Waiting             `json:"waiting"`
	Conflicts []NamedConflict     `json:"conflicts"`
	Voted     int                 `json:"voted"`           // votes that count
	Votes     []NamedVote         `json:"votes,omitempty"` // absent while the actor may not see them
	OwnVote   *competency.Vote    `json:"own_vote,omitempty"`
	Before    *DecisionSummary    `json:"before,omitempty"` // the decision that stands, from an earlier meeting
	Decision  *DecisionSummary    `json:"decision,omitempty"`
	May       []string            `json:"may"` // vote, declare, decide
}

// NamedConflict is a declared conflict with its member's name.
type NamedConflict struct {
	competency.Conflict
	Name string `json:"name"`
}

// NamedVote is a vote with its member's name.
type NamedVote struct {
	competency.Vote
	Name string `json:"name"`
}

// meetingView shows a meeting to the actor.
func (h *scene) meetingView(id competency.MeetingID) (MeetingView, error) {
	m, err := h.meeting(id, policies.Read)
	if err != nil {
		return MeetingView{}, err
	}
	view := MeetingView{ID: m.ID, HeldOn: m.HeldOn, Note: m.Note, CreatedAt: m.CreatedAt, Members: make([]PersonRef, len(m.Members)), Turns: make([]Turn, len(m.Trainees)), Caution: atrium.Caution}
	for i, member := range m.Members {
		if view.Members[i], err = h.personRef(member); err != nil {
			return view, err
		}
	}
	if view.CreatedBy, err = h.personRef(m.CreatedBy); err != nil {
		return view, err
	}
	ballots, err := h.tx.Ballots(h.programme.ID, m.ID)
	if err != nil {
		return view, err
	}
	for i, trainee := range m.Trainees {
		b := ballots[trainee]
		b.Trainee, b.Members = trainee, m.Members
		if view.Turns[i], err = h.turn(m, b); err != nil {
			return view, err
		}
	}
	return view, nil
}

// turn shows one trainee's turn to the actor.
func (h *scene) turn(m store.Meeting, b competency.Ballot) (Turn, error) {
	t := Turn{Conflicts: make([]NamedConflict, len(b.Conflicts)), May: []string{}}
	var err error
	if t.Trainee, err = h.personRef(b.Trainee); err != nil {
		return t, err
	}
	decisions, err := h.tx.Decisions(h.programme.ID, store.DecisionFilter{Trainee: b.Trainee})
	if err != nil {
		return t, err
	}
	for i := range decisions {
		d := summaryOf(decisions[i], i > 0)
		switch {
		case d.Meeting == m.ID:
			t.Decision, b.Decided, t.Standing = &d, true, decisions[i].Standing
		case t.Before == nil:
			t.Before = &d
		}
	}
	j, err := h.judge(b.Trainee, min(m.HeldOn, h.today))
	if err != nil {
		return t, err
	}
	if !b.Decided {
		t.Standing = j.standing
	}
	t.Waiting = waitingIn(j.evidence)
	for i, c := range b.Conflicts {
		t.Conflicts[i].Conflict = c
		if t.Conflicts[i].Name, err = h.name(c.Member); err != nil {
			return t, err
		}
	}
	counting := b.Counting()
	t.Voted = len(counting)
	for _, vote := range counting {
		if vote.Member == h.actor.Person {
			t.OwnVote = &vote
		}
		if b.Sees(h.actor.Person) {
			name, err := h.name(vote.Member)
			if err != nil {
				return t, err
			}
			t.Votes = append(t.Votes, NamedVote{vote, name})
		}
	}
	t.May = h.mayInTurn(m, b)
	return t, nil
}

// mayInTurn lists what the actor may do now about a trainee.
func (h *scene) mayInTurn(m store.Meeting, b competency.Ballot) []string {
	may := []string{}
	if b.Decided || b.Trainee == h.actor.Person {
		return may
	}
	relation := policies.InProgramme
	if slices.Contains(m.Members, h.actor.Person) {
		relation = policies.Own
	}
	if !b.Conflicted(h.actor.Person) {
		for _, action := range []policies.Action{policies.Vote, policies.Declare} {
			if h.may(policies.Meeting, action, relation) == nil {
				may = append(may, string(action))
			}
		}
		if h.may(policies.Decision, policies.Create, policies.InProgramme) == nil {
			may = append(may, "decide")
		}
	}
	return may
}
