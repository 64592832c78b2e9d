package api

import (
	"context"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/competency"
)

// InProgramme is what every operation in a programme takes. (Huma fills embedded structs only when their names are exported.)
type InProgramme struct {
	Programme competency.ProgrammeID `path:"programme" maxLength:"64" doc:"Id of the programme."`
}

// Keeping is what every request with free text can bring: overrides of what the privacy screen finds in it.
type Keeping struct {
	Overrides []competency.Override `json:"overrides,omitempty" doc:"Words that the privacy screen stops and that are to stay because they name no patient: field, kind and excerpt as the refusal gave them, and a reason of three words or more. Record numbers, telephone numbers, e-mail and web addresses, dates and ages over 89 never stay. A director reviews each; it is kept without the words."`
}

// Paged is what every list takes.
type Paged struct {
	Limit int    `query:"limit" minimum:"1" maximum:"200" default:"50" doc:"How many items at most."`
	After string `query:"after" maxLength:"300" doc:"The cursor next of the page before; absent for the first page."`
}

func (p Paged) page() store.Page { return store.Page{Limit: p.Limit, After: p.After} }

// Creating is what every create takes.
type Creating struct {
	Key string `header:"Idempotency-Key" maxLength:"200" doc:"Made by the client, new for each thing to create: sent again with the same request it gives the first thing again."`
}

// Changing is what every change takes.
type Changing struct {
	IfMatch string `header:"If-Match" maxLength:"100"`
}

// ifMatch describes the header. It is required, but we say so ourselves, with 428, where huma would call it invalid.
func (Changing) ifMatch() *huma.Param {
	return &huma.Param{
		Name: "If-Match", In: "header", Required: true, Schema: &huma.Schema{Type: huma.TypeString},
		Description: "The ETag last seen, so that nobody overwrites what they have not seen.",
	}
}

// revision reads If-Match: 428 when it is missing, 412 when it names no version.
func (c Changing) revision(ctx context.Context) (int, error) {
	if c.IfMatch == "" {
		return 0, noPrecondition.problem(ctx, "send the ETag you last saw in If-Match", Fault{Location: "header.If-Match", Message: "is missing"})
	}
	text, opens := strings.CutPrefix(c.IfMatch, `"`)
	text, closes := strings.CutSuffix(text, `"`)
	revision, err := strconv.Atoi(text)
	if err != nil || !opens || !closes {
		return 0, stale.problem(ctx, "If-Match must be the ETag exactly as it was given, with its quotes")
	}
	return revision, nil
}

// etag is the ETag of a revision.
func etag(revision int) string { return `"` + strconv.Itoa(revision) + `"` }

// answer is a body without further ado.
type answer[T any] struct {
	Body T
}

// given answers with a body, or with the error.
func given[T any](body T, err error) (*answer[T], error) {
	if err != nil {
		return nil, err
	}
	return &answer[T]{Body: body}, nil
}

// listed is one page of a list.
type listed[T any] struct {
	Body service.List[T]
}

func page[T any](list service.List[T], err error) (*listed[T], error) {
	if err != nil {
		return nil, err
	}
	return &listed[T]{Body: list}, nil
}

// made is a new thing with its address.
type made[T any] struct {
	Location string `header:"Location"`
	Body     T
}
