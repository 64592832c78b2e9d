package service

import (
	"context"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// NewStandardMove is a move of a trainee to another version of the standard.
type NewStandardMove struct {
	Version int            `json:"version"`
	From    competency.Day `json:"from"` // empty: today
	Reason  string         `json:"reason"`
}

// MoveTrainee lets a trainee be judged by another version of the standard from a day on, today or later: what earlier days were judged by
// stays. The version must have come into force by that day. The error is strict.Faults, competency.ErrReasonMissing, ErrDuplicate,
// ErrNotFound for who is no trainee of the programme, ErrNoStandard or ErrForbidden.
func (s *Service) MoveTrainee(ctx context.Context, actor Actor, programme competency.ProgrammeID, trainee competency.PersonID, in NewStandardMove) (StandardMoveView, error) {
	var view StandardMoveView
	err := s.write(ctx, actor, programme, "standard.move", func(h *scene) error {
		if err := h.may(policies.Standard, policies.Move, policies.InProgramme); err != nil {
			return err
		}
		if in.From == "" {
			in.From = h.today
		}
		line, before, err := h.checkMove(trainee, in)
		if err != nil {
			return err
		}
		moves := line.moves[trainee]
		row := store.StandardMove{
			Programme: programme, Trainee: trainee, Number: len(moves) + 1, Version: in.Version, From: in.From, Reason: in.Reason, MovedBy: actor.Person, MovedAt: h.now,
		}
		if err := h.tx.AddStandardMove(row); err != nil {
			return err
		}
		to, _ := line.version(in.Version)
		view = moveView(row, to.Standard)
		if view.MovedByName, err = h.name(actor.Person); err != nil {
			return err
		}
		return h.tx.Audit("standard-move", string(trainee), before, row)
	})
	return view, err
}

// checkMove refuses a move that says nothing or reaches back, and gives the version the trainee would be judged by without it.
func (h *scene) checkMove(trainee competency.PersonID, in NewStandardMove) (line timeline, before AppliedStandard, err error) {
	since, err := h.traineeSince(trainee)
	if err != nil {
		return line, before, err
	}
	if _, err := competency.ParseDay(string(in.From)); err != nil {
		return line, before, fault("from", "%v", err)
	}
	if in.From < h.today {
		return line, before, fault("from", "must not be before today: what earlier days were judged by stays")
	}
	if err := competency.CheckReason(in.Reason); err != nil {
		return line, before, err
	}
	if line, err = h.standards(); err != nil {
		return line, before, err
	}
	if _, before, err = line.judging(trainee, since, in.From); err != nil {
		return line, before, err
	}
	switch to, found := line.version(in.Version); {
	case !found:
		err = fault("version", "the programme has no version %d", in.Version)
	case to.from > in.From:
		err = fault("version", "comes into force on %s: move from that day on", to.from)
	case before.Version == in.Version:
		err = fault("version", "is what the trainee is judged by on that day already")
	}
	return line, before, err
}

// StandardMoves lists a trainee's moves between versions, newest first; none when they are judged by the version they joined under. The
// error is ErrNotFound or ErrForbidden.
func (s *Service) StandardMoves(ctx context.Context, actor Actor, programme competency.ProgrammeID, trainee competency.PersonID) (List[StandardMoveView], error) {
	list := List[StandardMoveView]{Items: []StandardMoveView{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayTrainee(policies.Standing, policies.Read, trainee); err != nil {
			return err
		}
		if _, err := h.traineeSince(trainee); err != nil {
			return err
		}
		line, err := h.standards()
		if err != nil {
			return err
		}
		moves := line.moves[trainee]
		for i := len(moves) - 1; i >= 0; i-- {
			to, _ := line.version(moves[i].Version)
			view := moveView(moves[i], to.Standard)
			if view.MovedByName, err = h.name(view.MovedBy); err != nil {
				return err
			}
			list.Items = append(list.Items, view)
		}
		return nil
	})
	return list, err
}
