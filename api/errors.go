package api

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"strconv"

	"github.com/danielgtaylor/huma/v2"

	"isthmus/api/service"
	"isthmus/api/signin"
	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/competency/panel"
)

// refusals is the one table from errors to problems; the first row that matches counts. Their texts are made for people and pass; the
// text of any other error stays in the log.
var refusals = []struct {
	err  error
	kind *kind
	says string // empty: the named error's own text
}{
	{signin.ErrNobody, notSignedIn, ""},
	{signin.ErrEnded, notSignedIn, ""},
	{signin.ErrBadToken, notSignedIn, ""},
	{signin.ErrWrong, signInFailed, ""},
	{signin.ErrShut, accountClosed, ""},
	{signin.ErrNeedsLogin, forbidden, ""},
	{signin.ErrWrongProof, proofFailed, ""},
	{competency.ErrProofNeeded, proofNeeded, ""},
	{service.ErrOwnRoles, forbidden, ""},
	{service.ErrInvitation, invitationOver, ""},
	{service.ErrHasAccount, hasAccount, ""},
	{service.ErrOtherLogin, otherLogin, ""},
	{signin.ErrTokenInput, invalid, ""},
	{signin.ErrBusy, unavailable, ""},
	{service.ErrForbidden, forbidden, ""},
	{service.ErrKeyReused, keyReused, ""},
	{service.ErrNoStandard, noStandard, ""},
	{service.ErrNotFollowed, wrongState, ""},
	{service.ErrTestOpen, testOpen, ""},
	{service.ErrImported, alreadyThere, ""},
	{service.ErrImportOver, wrongState, ""},
	{service.ErrSimulationOver, wrongState, ""},
	{service.ErrImportUsed, wrongState, ""},
	{service.ErrTestTaken, testTaken, ""},
	{assessment.ErrSittingOver, testOver, ""},
	{service.ErrOwnOverride, forbidden, ""},
	{competency.ErrSelfSignOff, selfSignOff, ""},
	{competency.ErrOwnDecision, forbidden, ""},
	{competency.ErrConflict, forbidden, ""},
	{competency.ErrDecided, wrongState, ""},
	{competency.ErrResponded, wrongState, ""},
	{competency.ErrNotSupervisor, notSupervisor, ""},
	{competency.ErrNotFacultyThen, notFacultyThen, ""},
	{competency.ErrNotDraft, wrongState, ""},
	{competency.ErrNotSubmitted, wrongState, ""},
	{competency.ErrAlreadySignedOff, wrongState, ""},
	{competency.ErrWithdrawn, wrongState, ""},
	{competency.ErrNotSignedOff, wrongState, ""},
	{competency.ErrNoAmendment, wrongState, ""},
	{competency.ErrNotParty, forbidden, ""},
	{competency.ErrContentChanged, wrongState, ""},
	{competency.ErrReasonMissing, invalid, ""},
	{assessment.ErrReasonMissing, invalid, ""},
	{assessment.ErrAnotherScenario, invalid, ""},
	{question.ErrAnotherItemID, invalid, ""},
	{assessment.ErrOwnEdition, ownScenario, ""},
	{assessment.ErrNotDraft, wrongState, ""},
	{assessment.ErrNotInReview, wrongState, ""},
	{assessment.ErrNotRevisable, wrongState, ""},
	{assessment.ErrRetired, wrongState, ""},
	{panel.ErrClosed, wrongState, ""},
	{panel.ErrNotJudge, forbidden, ""},
	{panel.ErrNobody, wrongState, ""},
	{panel.ErrScores, wrongState, ""},
	{panel.ErrNoMark, wrongState, ""},
	{store.ErrNotFound, notFound, "there is no such thing in a programme of yours"},
	{store.ErrStale, stale, "somebody changed it meanwhile: load it again"},
	{store.ErrDuplicate, alreadyThere, "such a thing is there already"},
	{store.ErrReference, invalid, "it refers to something that is not there"},
	{store.ErrCursor, invalid, "after is not a cursor of this list: use next of the page before"},
	{store.ErrUnavailable, unavailable, "the database does not answer: try again"},
	{context.DeadlineExceeded, unavailable, "it took too long: try again"},
	{context.Canceled, unavailable, "the request was broken off"},
}

// problemOf turns an error of an operation into what the caller sees, and logs what the caller must not see.
func (s *server) problemOf(ctx context.Context, err error) error {
	var problem *Problem
	if errors.As(err, &problem) {
		return problem
	}
	var faults strict.Faults
	if errors.As(err, &faults) {
		detail := "see the list of fields"
		if errors.Is(err, service.ErrAnswers) { // a verdict on lesion sets
			detail = service.ErrAnswers.Error() + ": " + detail + ". " + atrium.Caution
		}
		return invalid.problem(ctx, detail, faultsIn("body", faults)...)
	}
	var slow *signin.Throttled
	if errors.As(err, &slow) {
		headers := http.Header{"Retry-After": {strconv.Itoa(int(slow.RetryAfter.Seconds()))}}
		return huma.ErrorWithHeaders(throttled.problem(ctx, slow.Error()), headers)
	}
	var meanwhile *service.Meanwhile
	if errors.As(err, &meanwhile) {
		problem := stale.problem(ctx, meanwhile.Error())
		problem.Changed = meanwhile
		return problem
	}
	for _, refusal := range refusals {
		if !errors.Is(err, refusal.err) {
			continue
		}
		if refusal.kind.status >= 500 {
			s.Logger.WarnContext(ctx, "not available", slog.String("request_id", requestID(ctx)), slog.String("error", err.Error()))
		}
		if refusal.says == "" {
			return refusal.kind.problem(ctx, refusal.err.Error())
		}
		return refusal.kind.problem(ctx, refusal.says)
	}
	s.Logger.ErrorContext(ctx, "failed", slog.String("request_id", requestID(ctx)), slog.String("error", err.Error()))
	return internal.problem(ctx, internal.says)
}

// faultsIn places the faults of an input in the part of the request it came in.
func faultsIn(part string, faults strict.Faults) []Fault {
	placed := make([]Fault, len(faults.List))
	for i, fault := range faults.List {
		placed[i] = Fault{Location: part, Message: fault.Message, Line: fault.Line, Column: fault.Column, Kind: fault.Kind, Excerpt: fault.Excerpt, Keepable: fault.Keepable}
		if fault.Field != "" {
			placed[i].Location = part + "." + fault.Field
		}
		if fault.Line > 0 {
			placed[i].Message = "line " + strconv.Itoa(fault.Line) + ": " + fault.Message
		}
	}
	return placed
}
