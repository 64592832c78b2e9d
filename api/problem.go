package api

import (
	"context"
	"encoding/json"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"isthmus/api/service"
)

// Problem is an error as the caller sees it (RFC 9457, application/problem+json). Type names its kind for programs, Detail says it for
// people; it never holds what was sent in a body, nor anything of the program's inside.
type Problem struct {
	Type      string  `json:"type" doc:"What kind of problem this is: the path of a page that explains it."`
	Title     string  `json:"title" doc:"The kind in words; the same for every problem of the type."`
	Status    int     `json:"status" doc:"The HTTP status."`
	Detail    string  `json:"detail,omitempty" doc:"What is wrong in this request and what to do about it."`
	Errors    []Fault `json:"errors,omitempty" doc:"Every wrong field found, all at once."`
	RequestID string  `json:"request_id,omitempty" doc:"Names this request in the log."`
	// Changed says what somebody else did first, where that is why.
	Changed *service.Meanwhile `json:"changed,omitempty"`
}

// Fault is one wrong field.
type Fault struct {
	Location string `json:"location" doc:"Where: body.record.lesions[2].energy, query.limit, path.case, header.If-Match."`
	Message  string `json:"message" doc:"What is wrong and what to do."`
	Line     int    `json:"line,omitempty" doc:"Where in a file that was sent in a field; from 1."`
	Column   int    `json:"column,omitempty" doc:"From 1."`
	Kind     string `json:"kind,omitempty" doc:"What refused words look like: name, date, record-number and so on."`
	Excerpt  string `json:"excerpt,omitempty" doc:"The refused words themselves."`
	Keepable bool   `json:"keepable,omitempty" doc:"Whether the words may stay when the request comes again with an override: their field, kind and excerpt, and the reason."`
}

// Error says the problem in one line.
func (p *Problem) Error() string { return p.Title + ": " + p.Detail }

// GetStatus is the HTTP status; huma asks for it.
func (p *Problem) GetStatus() int { return p.Status }

// ContentType is that of RFC 9457; huma asks for it.
func (p *Problem) ContentType(string) string { return problemType }

const problemType = "application/problem+json"

// kind is one type of problem. Its name ends the type's address and never changes once published.
type kind struct {
	name, title string
	status      int
	says        string // for the page that explains it
}

// problem makes a problem of the kind.
func (k *kind) problem(ctx context.Context, detail string, faults ...Fault) *Problem {
	return &Problem{Type: "/problems/" + k.name, Title: k.title, Status: k.status, Detail: detail, Errors: faults, RequestID: requestID(ctx)}
}

// The kinds of problem.
var (
	malformed      = &kind{"malformed", "The request cannot be read", 400, "The body is not JSON, or the address holds characters that belong in no address."}
	notSignedIn    = &kind{"not-signed-in", "Not signed in", 401, "The operation needs a session or a bearer token, and there is none, or it has ended."}
	signInFailed   = &kind{"sign-in-failed", "Sign-in failed", 401, "E-mail address and password do not belong together. It is not said which is wrong."}
	forbidden      = &kind{"forbidden", "Not allowed", 403, "Your roles in the programme, and how you stand to the record, do not allow the act."}
	selfSignOff    = &kind{"self-sign-off", "Own case", 403, "Nobody returns or signs off a case of their own."}
	proofNeeded    = &kind{"proof-needed", "Prove who you are", 403, "A signature needs a password given within the programme's limit: give it again under /api/session/proof, then sign."}
	proofFailed    = &kind{"proof-failed", "Wrong password", 403, "The password does not belong to the person signed in. After too many failures: 429."}
	ownScenario    = &kind{"own-scenario", "Own scenario", 403, "Nobody approves a scenario or a question they wrote in: another member of faculty reviews it."}
	notSupervisor  = &kind{"not-supervisor", "Not the supervisor", 403, "Only the supervisor named in the case returns it or signs it off."}
	accountClosed  = &kind{"account-closed", "Account closed", 403, "No programme lets the person in any more. A coordinator can let them in again."}
	crossOrigin    = &kind{"cross-origin", "Sent from another site", 403, "A browser sent a write from another site's page. Such a write is never carried out."}
	notFound       = &kind{"not-found", "Not found", 404, "There is nothing at the address, or it is in a programme you are not a member of today."}
	wrongMethod    = &kind{"method-not-allowed", "Not possible here", 405, "The address is right, the method is not."}
	notAcceptable  = &kind{"not-acceptable", "No such format", 406, "Answers are JSON."}
	tooSlow        = &kind{"request-timeout", "Sent too slowly", 408, "The body did not arrive in time."}
	wrongState     = &kind{"wrong-state", "Not possible in this state", 409, "The case or the scenario is in a state that does not allow the act: for example it is signed off already."}
	notFacultyThen = &kind{"not-faculty-then", "Not faculty at the operation", 409, "The supervisor was not a faculty member of the programme at the operation date."}
	alreadyThere   = &kind{"already-there", "Already there", 409, "Such a thing exists."}
	noStandard     = &kind{"no-standard", "No standard", 409, "The programme has no standard yet, so nothing can be judged by it."}
	testOpen       = &kind{"test-open", "A test is open", 409, "You have a test open: nothing that shows what lesions do, or what is right of a question, is given until it is submitted or its time is up."}
	testTaken      = &kind{"test-taken", "Test taken before", 409, "A test counts once for each version of a scenario. Practise it, or take the test of another one."}
	testOver       = &kind{"test-over", "The test is over", 409, "It was submitted, or its time was up: what had been saved by then was graded. Nothing sent later counts."}
	hasAccount     = &kind{"has-account", "There is an account", 409, "The invited address has an account: its owner signs in and accepts."}
	otherLogin     = &kind{"other-login", "Another account", 409, "An invitation is accepted with the account of the address that was invited."}
	invitationOver = &kind{"invitation-over", "No good link", 410, "The link of an invitation is wrong, was used, was withdrawn or replaced, or is past its last day."}
	stale          = &kind{"stale", "Changed meanwhile", 412, "If-Match does not name the present version: load it again, look, and decide again."}
	tooLarge       = &kind{"too-large", "Too large", 413, "A request body holds at most 1 MiB, a file of cases to import at most 20 MB: split it."}
	wrongMediaType = &kind{"unsupported-media-type", "Not JSON", 415, "Bodies are sent as application/json."}
	invalid        = &kind{"invalid", "Something in it is wrong", 422, "Every wrong field is listed with what is wrong and what to do."}
	keyReused      = &kind{"key-reused", "Idempotency key used before", 422, "The key came with another request before. Use a new key for a new request."}
	noPrecondition = &kind{"precondition-required", "If-Match is missing", 428, "Changes need If-Match with the ETag last seen, so that nobody overwrites what they have not seen."}
	throttled      = &kind{"too-many-attempts", "Too many attempts", 429, "Too many failed sign-ins for the account or from the address. Retry-After says when to try again."}
	internal       = &kind{"internal", "Something went wrong on our side", 500, "Nothing was changed. The log has the details under the request's id."}
	unavailable    = &kind{"unavailable", "Not available just now", 503, "The database does not answer, or the request took too long. Nothing was changed; try again."}
)

// kinds lists every kind, by status.
var kinds = []*kind{
	malformed, notSignedIn, signInFailed, forbidden, selfSignOff, proofNeeded, proofFailed, ownScenario, notSupervisor, accountClosed, crossOrigin, notFound, wrongMethod, notAcceptable, tooSlow,
	wrongState, notFacultyThen, alreadyThere, noStandard, testOpen, testTaken, testOver, hasAccount, otherLogin, invitationOver,
	stale, tooLarge, wrongMediaType, invalid, keyReused, noPrecondition, throttled,
	internal, unavailable,
}

// kindOf is the first kind with a status, for problems that huma finds; internal for a status that has none.
func kindOf(status int) *kind {
	for _, k := range kinds {
		if k.status == status {
			return k
		}
	}
	return internal
}

// humaProblem makes the problems that huma finds: broken JSON, wrong types, unknown fields. It drops the values huma would echo and
// every detail of a failure of ours.
func humaProblem(ctx context.Context, status int, message string, errs ...error) huma.StatusError {
	k := kindOf(status)
	if k.status >= 500 {
		return k.problem(ctx, k.says)
	}
	var faults []Fault
	for _, err := range errs {
		if detailer, ok := err.(huma.ErrorDetailer); ok {
			detail := detailer.ErrorDetail()
			faults = append(faults, Fault{Location: detail.Location, Message: detail.Message})
		}
	}
	if message == "validation failed" {
		message = k.says
	}
	return k.problem(ctx, message, faults...)
}

// writeProblem answers outside huma.
func writeProblem(w http.ResponseWriter, p *Problem) {
	body, err := json.Marshal(p)
	if err != nil {
		body = []byte(`{}`)
	}
	w.Header().Set("Content-Type", problemType)
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(p.Status)
	_, _ = w.Write(body) // a caller that has gone away is no failure of ours
}
