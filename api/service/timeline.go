package service

import (
	"fmt"
	"slices"
	"time"

	"isthmus/api/store"
	"isthmus/competency"
)

// timeline is a programme's standards by the day each came into force, then by version, and the trainees who were moved to another one.
// Which version judges whom on which day is said here and nowhere else.
type timeline struct {
	standards []datedStandard
	moves     map[competency.PersonID][]store.StandardMove // each trainee's, in the order they take effect
}

// datedStandard is a standard and the day from which it applies to who joins.
type datedStandard struct {
	from competency.Day
	competency.Standard
}

// The reasons why a version judges a trainee.
const (
	becauseJoined = "joined"
	becauseMoved  = "moved"
)

// AppliedStandard is by which version of the standard a trainee is judged on a day, and why.
type AppliedStandard struct {
	Version int               `json:"version"`
	Title   string            `json:"title"`
	Example bool              `json:"example,omitempty"`
	Because string            `json:"because" enum:"joined,moved"`
	Since   competency.Day    `json:"since"`          // the day the trainee joined, or from which the move holds
	Move    *StandardMoveView `json:"move,omitempty"` // when moved
}

// StandardMoveView is a move of a trainee to another version.
type StandardMoveView struct {
	Version     int                 `json:"version"`
	Title       string              `json:"title"`
	From        competency.Day      `json:"from"`
	Reason      string              `json:"reason"`
	MovedBy     competency.PersonID `json:"moved_by"`
	MovedByName string              `json:"moved_by_name"`
	MovedAt     time.Time           `json:"moved_at"`
}

// standards reads every standard of the programme and every move.
func (h *scene) standards() (timeline, error) {
	line := timeline{moves: map[competency.PersonID][]store.StandardMove{}}
	rows, err := h.tx.Standards(h.programme.ID)
	if err != nil {
		return line, err
	}
	for _, row := range rows {
		standard, err := decodeStored(row)
		if err != nil {
			return line, err
		}
		line.standards = append(line.standards, datedStandard{row.InForceFrom, standard})
	}
	slices.SortFunc(line.standards, func(a, b datedStandard) int {
		if a.from != b.from {
			return compareDays(a.from, b.from)
		}
		return a.Version - b.Version
	})
	moves, err := h.tx.StandardMoves(h.programme.ID, "")
	for _, move := range moves {
		line.moves[move.Trainee] = append(line.moves[move.Trainee], move)
	}
	return line, err
}

// at is the standard in force on a day, or the first one after it; ErrNoStandard when there is none.
func (line timeline) at(day competency.Day) (competency.Standard, error) {
	if len(line.standards) == 0 {
		return competency.Standard{}, ErrNoStandard
	}
	found := line.standards[0]
	for _, standard := range line.standards {
		if standard.from <= day {
			found = standard
		}
	}
	return found.Standard, nil
}

// version finds a version.
func (line timeline) version(version int) (datedStandard, bool) {
	i := slices.IndexFunc(line.standards, func(s datedStandard) bool { return s.Version == version })
	if i < 0 {
		return datedStandard{}, false
	}
	return line.standards[i], true
}

// judging is the standard that a trainee who joined on one day is judged by on another: the latest move that holds by then decides, else
// what was in force on joining. The name of who moved is left to the caller. The error is ErrNoStandard.
func (line timeline) judging(trainee competency.PersonID, joined, day competency.Day) (competency.Standard, AppliedStandard, error) {
	standard, err := line.at(joined)
	if err != nil {
		return standard, AppliedStandard{}, err
	}
	applied := AppliedStandard{Because: becauseJoined, Since: joined}
	for _, move := range line.moves[trainee] {
		if move.From > day {
			break
		}
		target, found := line.version(move.Version)
		if !found {
			return standard, applied, fmt.Errorf("trainee %s is moved to version %d, which is not there", trainee, move.Version)
		}
		standard = target.Standard
		view := moveView(move, standard)
		applied = AppliedStandard{Because: becauseMoved, Since: move.From, Move: &view}
	}
	applied.Version, applied.Title, applied.Example = standard.Version, standard.Title, standard.Example
	return standard, applied, nil
}

// moveView shows a move; the name of who moved is still missing.
func moveView(m store.StandardMove, to competency.Standard) StandardMoveView {
	return StandardMoveView{Version: m.Version, Title: to.Title, From: m.From, Reason: m.Reason, MovedBy: m.MovedBy, MovedAt: m.MovedAt}
}

func compareDays(a, b competency.Day) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
