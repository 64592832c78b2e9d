package service

import (
	"context"
	"encoding/json"
	"fmt"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/xapi"
	"isthmus/policies"
)

// nowhere is where statements come from while nobody said where people open the program: a name that is reserved for meaning nothing
// (RFC 2606, section 2). Delivery asks for a real address.
const nowhere = "https://isthmus.invalid"

// placeOf is where a programme's statements come from.
func (s *Service) placeOf(programme competency.ProgrammeID) xapi.Place {
	place := xapi.Place{URL: s.deps.URL, Programme: programme, Caution: atrium.Caution}
	if place.URL == "" {
		place.URL = nowhere
	}
	return place
}

// statementOf tells a record. Nothing in it was written by a person.
func statementOf(place xapi.Place, s store.StatementSource) xapi.Statement {
	switch s.Kind {
	case store.StatementPlan:
		return place.Plan(xapi.Plan{
			ID: competency.PlanID(s.ID), Trainee: s.Trainee, Scenario: string(s.Scenario), ScenarioVersion: s.ScenarioVersion, Attempt: s.Attempt, Test: s.Test,
			Score: s.Score, Letter: s.Letter, Unsafe: s.Unsafe, At: s.At,
		})
	case store.StatementQuiz:
		return place.Quiz(xapi.Quiz{ID: competency.QuizID(s.ID), Trainee: s.Trainee, Mode: s.Mode, Score: s.Score, Max: s.Max, Cut: s.Cut, At: s.At})
	case store.StatementSignOff:
		return place.SignOff(xapi.SignOff{
			ID: competency.SignOffID(s.ID), Trainee: s.Trainee, Assessor: s.By, Role: s.Role, HelpGiven: s.HelpGiven, SupervisionNext: s.SupervisionNext,
			LateRecall: s.LateRecall, At: s.At,
		})
	case store.StatementDecision:
		return place.Decision(xapi.Decision{ID: competency.DecisionID(s.ID), Trainee: s.Trainee, Signer: s.By, Outcome: s.Outcome, Standard: s.Standard, At: s.At})
	default:
		return place.Void(xapi.Void{SignOff: competency.SignOffID(s.ID), By: s.By, At: s.At})
	}
}

// ExportStatements gives a page of the programme's statements, oldest first, and leaves an audit entry. more is the address of the next page
// for its cursor. The error is ErrForbidden or ErrCursor.
func (s *Service) ExportStatements(ctx context.Context, actor Actor, programme competency.ProgrammeID, page store.Page, more func(cursor string) string) (xapi.Page, error) {
	var result xapi.Page
	err := s.write(ctx, actor, programme, "disclosure.xapi", func(h *scene) error {
		if err := h.may(policies.Disclosure, policies.Export, policies.InProgramme); err != nil {
			return err
		}
		sources, next, err := h.tx.StatementSources(programme, page)
		if err != nil {
			return err
		}
		result = xapi.Page{Statements: make([]xapi.Statement, len(sources))}
		ids := make([]string, len(sources))
		for i, source := range sources {
			result.Statements[i] = statementOf(s.placeOf(programme), source)
			ids[i] = result.Statements[i].ID
		}
		if next != "" {
			result.More = more(next)
		}
		return h.tx.Audit("disclosure", "xapi", nil, ids)
	})
	return result, err
}

// tellPage is how many records of each kind are written as statements in one transaction.
const tellPage = 200

// TellStatements writes what the programmes that hand their statements over have not told yet: every record that has no statement gets one, once,
// whenever it was made. It reports whether there was any. Any number of processes may call it.
func (s *Service) TellStatements(ctx context.Context) (bool, error) {
	if s.deps.Records == nil {
		return false, nil
	}
	programmes, err := s.deps.Store.DeliveringProgrammes(ctx)
	if err != nil {
		return false, err
	}
	told := false
	for _, programme := range programmes {
		some, err := s.tellIn(ctx, programme)
		if err != nil {
			return told, fmt.Errorf("statements of %s: %w", programme, err)
		}
		told = told || some
	}
	return told, nil
}

// tellIn writes what one programme has not told yet.
func (s *Service) tellIn(ctx context.Context, programme competency.ProgrammeID) (bool, error) {
	untold := func(tx *store.Tx) ([]store.StatementSource, error) { return tx.UntoldSources(programme, tellPage) }
	any := false
	err := s.deps.Store.Read(ctx, func(tx *store.Tx) error { // most often there is nothing: no turn among the writes is taken for that
		list, err := untold(tx)
		any = len(list) > 0
		return err
	})
	if err != nil || !any {
		return false, err
	}
	doing := store.Act{Programme: programme, Name: "statement.write", At: s.deps.Clock()}
	err = s.deps.Store.Write(ctx, doing, func(tx *store.Tx) error {
		list, err := untold(tx) // again: another process may have been here
		if err != nil {
			return err
		}
		statements, ids := make([]store.Statement, len(list)), make([]string, len(list))
		for i, source := range list {
			one := statementOf(s.placeOf(programme), source)
			text, err := json.Marshal(one)
			if err != nil {
				return fmt.Errorf("statement on %s %s: %w", source.Kind, source.ID, err)
			}
			ids[i] = one.ID
			statements[i] = store.Statement{Programme: programme, ID: one.ID, Kind: source.Kind, Record: source.ID, Text: text, HappenedAt: source.At, WrittenAt: doing.At}
		}
		if err := tx.AddStatements(programme, statements); err != nil {
			return err
		}
		return tx.Audit("statements", "", nil, ids)
	})
	return err == nil, err
}
