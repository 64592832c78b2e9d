package service

import (
	"context"
	"slices"
	"strings"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// NewMeeting is a committee's meeting to hold. The id, when given, is a uuid v7 that the client made.
type NewMeeting struct {
	ID             competency.MeetingID  `json:"id,omitempty"`
	HeldOn         competency.Day        `json:"held_on"`
	Note           string                `json:"note,omitempty"`
	Trainees       []competency.PersonID `json:"trainees"`
	Members        []competency.PersonID `json:"members"`
	IdempotencyKey string                `json:"-"`
}

const (
	mostTrainees = 60 // of one meeting
	mostMembers  = 30
)

// CallMeeting calls a meeting about trainees of the programme, with members of its committee. The error is strict.Faults, ErrDuplicate, ErrKeyReused
// or ErrForbidden.
func (s *Service) CallMeeting(ctx context.Context, actor Actor, programme competency.ProgrammeID, in NewMeeting) (MeetingView, error) {
	o, err := onceNamed(string(in.ID), in.IdempotencyKey, "meeting.create", programme, in)
	if err != nil {
		return MeetingView{}, err
	}
	var view MeetingView
	check := func(h *scene) error { return h.may(policies.Meeting, policies.Create, policies.InProgramme) }
	load := func(h *scene, id string) (err error) {
		view, err = h.meetingView(competency.MeetingID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		return s.write(ctx, actor, programme, "meeting.create", func(h *scene) error {
			if err := check(h); err != nil {
				return err
			}
			if err := h.checkMeeting(in); err != nil {
				return err
			}
			m := store.Meeting{
				ID: competency.MeetingID(o.newID(s)), Programme: programme, HeldOn: in.HeldOn, Note: strings.TrimSpace(in.Note), Trainees: in.Trainees, Members: in.Members,
				CreatedBy: actor.Person, CreatedAt: h.now,
			}
			if err := o.remember(h, string(m.ID)); err != nil {
				return err
			}
			if err := h.tx.AddMeeting(m); err != nil {
				return err
			}
			if err := h.tx.Audit("meeting", string(m.ID), nil, m); err != nil {
				return err
			}
			view, err = h.meetingView(m.ID)
			return err
		})
	})
	return view, err
}

// checkMeeting reports a day that is none, people named twice, and whoever cannot sit or be spoken of.
func (h *scene) checkMeeting(in NewMeeting) error {
	if _, err := competency.ParseDay(string(in.HeldOn)); err != nil {
		return fault("held_on", "%v", err)
	}
	if away := in.HeldOn.DaysSince(h.today); away > 366 || away < -366 {
		return fault("held_on", "must be within a year of today")
	}
	if in.Note != "" {
		if err := competency.CheckNote(in.Note); err != nil {
			return err
		}
	}
	for _, list := range []struct {
		field string
		who   []competency.PersonID
		most  int
		role  policies.Role
		lack  string
	}{
		{"trainees", in.Trainees, mostTrainees, policies.Trainee, "is no trainee of the programme"},
		{"members", in.Members, mostMembers, policies.Committee, "is not of the committee: give them that role first"},
	} {
		if len(list.who) == 0 || len(list.who) > list.most {
			return fault(list.field, "must name 1 to %d people, not %d", list.most, len(list.who))
		}
		people, err := h.tx.People(h.programme.ID, string(list.role), h.today)
		if err != nil {
			return err
		}
		for i, person := range list.who {
			if slices.Contains(list.who[:i], person) {
				return fault(list.field, "names somebody twice")
			}
			if !slices.ContainsFunc(people, func(m store.Member) bool { return m.ID == person }) {
				return fault(list.field, "person %d %s", i+1, list.lack)
			}
		}
	}
	for _, member := range in.Members {
		if slices.Contains(in.Trainees, member) {
			return fault("members", "holds somebody the meeting is about")
		}
	}
	return nil
}

// Meetings lists the meetings the actor may read, the latest day first.
func (s *Service) Meetings(ctx context.Context, actor Actor, programme competency.ProgrammeID) (List[MeetingSummary], error) {
	list := List[MeetingSummary]{Items: []MeetingSummary{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		reach, err := h.reachOf(policies.Meeting)
		if err != nil {
			return err
		}
		rows, err := h.tx.Meetings(programme)
		if err != nil {
			return err
		}
		decided, err := h.tx.Decisions(programme, store.DecisionFilter{})
		if err != nil {
			return err
		}
		list.Items = []MeetingSummary{}
		for _, m := range rows {
			if !reach.everyone && !slices.Contains(m.Members, actor.Person) {
				continue
			}
			summary := MeetingSummary{ID: m.ID, HeldOn: m.HeldOn, Note: m.Note, Trainees: len(m.Trainees), Members: len(m.Members)}
			for _, d := range decided {
				if d.Meeting == m.ID {
					summary.Decided++
				}
			}
			list.Items = append(list.Items, summary)
		}
		return nil
	})
	return list, err
}

// MeetingOf is a meeting as the actor may see it. The error is ErrNotFound, ErrNoStandard or ErrForbidden.
func (s *Service) MeetingOf(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.MeetingID) (MeetingView, error) {
	var view MeetingView
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		view, err = h.meetingView(id)
		return err
	})
	return view, err
}

// NewVote is a member's recommendation.
type NewVote struct {
	Outcome   competency.Outcome
	Remark    string
	Overrides []competency.Override
}

// Vote keeps the actor's recommendation about a trainee of a meeting, in place of an earlier one. The error is competency.ErrOwnDecision, ErrConflict
// or ErrDecided of it, strict.Faults, ErrNotFound or ErrForbidden.
func (s *Service) Vote(ctx context.Context, actor Actor, programme competency.ProgrammeID, meeting competency.MeetingID, trainee competency.PersonID, in NewVote) (MeetingView, error) {
	return s.speak(ctx, actor, programme, "meeting.vote", meeting, trainee, policies.Vote, func(h *scene, b competency.Ballot) error {
		at := textPlace{object: "meeting", id: string(meeting)}
		kept, err := h.kept(at, in.Overrides)
		if err != nil {
			return err
		}
		vote := competency.Vote{Member: actor.Person, Outcome: in.Outcome, Remark: strings.TrimSpace(in.Remark), VotedAt: h.now}
		if err := b.CheckVote(vote, kept...); err != nil {
			return err
		}
		if err := h.tx.AddVote(programme, meeting, trainee, vote); err != nil {
			return err
		}
		if err := h.saveKept(at, kept, freeText{"remark", vote.Remark}); err != nil {
			return err
		}
		return h.tx.Audit("vote", string(meeting)+" "+string(trainee), nil, vote)
	})
}

// DeclareConflict keeps the actor's conflict of interest about a trainee of a meeting. The errors are those of Vote, and ErrDuplicate for a second one.
func (s *Service) DeclareConflict(ctx context.Context, actor Actor, programme competency.ProgrammeID, meeting competency.MeetingID, trainee competency.PersonID, reason string, overrides ...competency.Override) (MeetingView, error) {
	return s.speak(ctx, actor, programme, "meeting.conflict", meeting, trainee, policies.Declare, func(h *scene, b competency.Ballot) error {
		at := textPlace{object: "meeting", id: string(meeting)}
		kept, err := h.kept(at, overrides)
		if err != nil {
			return err
		}
		conflict := competency.Conflict{Member: actor.Person, Reason: strings.TrimSpace(reason), DeclaredAt: h.now}
		if err := b.CheckConflict(conflict, kept...); err != nil {
			return err
		}
		if err := h.tx.AddConflict(programme, meeting, trainee, conflict); err != nil {
			return err
		}
		if err := h.saveKept(at, kept, freeText{"reason", conflict.Reason}); err != nil {
			return err
		}
		return h.tx.Audit("conflict", string(meeting)+" "+string(trainee), nil, conflict)
	})
}

// speak runs what a member of a meeting does about one of its trainees.
func (s *Service) speak(ctx context.Context, actor Actor, programme competency.ProgrammeID, name string, meeting competency.MeetingID, trainee competency.PersonID, action policies.Action, act func(*scene, competency.Ballot) error) (MeetingView, error) {
	var view MeetingView
	err := s.write(ctx, actor, programme, name, func(h *scene) error {
		m, err := h.meeting(meeting, action)
		if err != nil {
			return err
		}
		ballot, err := h.ballot(m, trainee)
		if err != nil {
			return err
		}
		if err := act(h, ballot); err != nil {
			return err
		}
		view, err = h.meetingView(meeting)
		return err
	})
	return view, err
}

// meeting loads a meeting for an act: its members are its own people.
func (h *scene) meeting(id competency.MeetingID, action policies.Action) (store.Meeting, error) {
	m, err := h.tx.MeetingByID(h.programme.ID, id)
	if err != nil {
		return m, err
	}
	relation := policies.InProgramme
	if slices.Contains(m.Members, h.actor.Person) {
		relation = policies.Own
	}
	return m, h.may(policies.Meeting, action, relation)
}

// ballot is a trainee's turn in a meeting.
func (h *scene) ballot(m store.Meeting, trainee competency.PersonID) (competency.Ballot, error) {
	if !slices.Contains(m.Trainees, trainee) {
		return competency.Ballot{}, missing("trainee of the meeting")
	}
	ballots, err := h.tx.Ballots(h.programme.ID, m.ID)
	if err != nil {
		return competency.Ballot{}, err
	}
	decided, err := h.tx.Decisions(h.programme.ID, store.DecisionFilter{Meeting: m.ID, Trainee: trainee})
	b := ballots[trainee]
	b.Trainee, b.Members, b.Decided = trainee, m.Members, len(decided) > 0
	return b, err
}
