package api

import (
	"context"
	"net/http"
	"net/url"
	"strconv"

	"isthmus/api/service"
	"isthmus/competency/fhir"
	"isthmus/competency/xapi"
	"isthmus/policies"
)

// statementsGiven is a page of statements.
type statementsGiven struct {
	Version     string `header:"X-Experience-API-Version"`
	Disposition string `header:"Content-Disposition"`
	Body        xapi.Page
}

// bundleGiven is a bundle as a file.
type bundleGiven struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Body        fhir.Bundle
}

func (s *server) registerDisclosure() {
	type many struct {
		InProgramme
		Paged
	}
	type choosing struct {
		InProgramme
		Body service.DeliveryChoice
	}
	const tag, path = "Exports", base + "/exports"
	register(s, operation{
		id: "exports", method: http.MethodGet, path: path, tag: tag, object: policies.Disclosure, action: policies.Read,
		summary: "What can leave the programme, and how far the delivery of its statements is", details: "Nothing leaves by this. Numbers below the programme's limit are not told.",
	}, func(ctx context.Context, in *InProgramme) (*answer[service.Disclosure], error) {
		return given(s.Service.Disclosure(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "export-xapi", method: http.MethodGet, path: path + "/xapi", tag: tag, object: policies.Disclosure, action: policies.Export,
		summary: "Graded plans, signatures and decisions as xAPI 1.0.3 statements", details: "Oldest first, in the form of a StatementResult: more is the address of the next page. Leaves an audit entry. People are account numbers; no text that somebody wrote.",
	}, func(ctx context.Context, in *many) (*statementsGiven, error) {
		page, err := s.Service.ExportStatements(ctx, actor(ctx), in.Programme, in.page(), func(cursor string) string {
			return at(in.Programme, "/exports/xapi?"+url.Values{"limit": {strconv.Itoa(in.Limit)}, "after": {cursor}}.Encode())
		})
		if err != nil {
			return nil, err
		}
		return &statementsGiven{Version: xapi.Version, Disposition: `attachment; filename="statements.json"`, Body: page}, nil
	})
	register(s, operation{
		id: "export-fhir", method: http.MethodGet, path: path + "/fhir", tag: tag, object: policies.Disclosure, action: policies.Export,
		summary: "Signed operations as a FHIR R4 bundle of Procedures without identity",
		details: "The first entry says what was removed and the limit used. Every operation looks like at least k-1 others; dates are years. Leaves an audit entry.",
	}, func(ctx context.Context, in *InProgramme) (*bundleGiven, error) {
		bundle, err := s.Service.ExportOperations(ctx, actor(ctx), in.Programme)
		if err != nil {
			return nil, err
		}
		return &bundleGiven{ContentType: "application/fhir+json", Disposition: `attachment; filename="operations.fhir.json"`, Body: bundle}, nil
	})
	register(s, operation{
		id: "choose-delivery", method: http.MethodPut, path: path + "/delivery", tag: tag, object: policies.Disclosure, action: policies.Edit,
		summary: "Begin or end the delivery of statements to the learning record store", details: "Off until a director begins it. Begun, everything that has no statement yet is handed over, past records too.",
	}, func(ctx context.Context, in *choosing) (*answer[service.DeliveryView], error) {
		return given(s.Service.ChooseDelivery(ctx, actor(ctx), in.Programme, in.Body))
	})
}
