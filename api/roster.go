package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency/roster"
	"isthmus/policies"
)

// rosterBody is an archive of people and roles.
type rosterBody struct {
	File []byte `json:"file" required:"true" doc:"OneRoster 1.2 bulk CSV in a zip archive (manifest.csv, orgs.csv, users.csv, roles.csv), at most 5 MB, in base64."`
}

// rosterFile is an archive to download.
type rosterFile struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Body        []byte
}

func (s *server) registerRoster() {
	type upload struct {
		InProgramme
		Body rosterBody
	}
	register(s, operation{
		id: "check-roster", method: http.MethodPost, path: base + "/roster/check", tag: "Members", object: policies.Membership, action: policies.Create, most: roster.MaxBytes * 3 / 2,
		summary: "What a roster would do", details: "People are matched by e-mail address. Every mistake is named with file, line and column. Nothing is kept.",
	}, func(ctx context.Context, in *upload) (*answer[service.RosterReport], error) {
		return given(s.Service.CheckRoster(ctx, actor(ctx), in.Programme, in.Body.File))
	})
	register(s, operation{
		id: "import-roster", method: http.MethodPost, path: base + "/roster", tag: "Members", object: policies.Membership, action: policies.Create, most: roster.MaxBytes * 3 / 2,
		also: []policies.Object{policies.Oversight}, summary: "Import a roster, all of it or nothing",
		details: "Members get the roles they lack, everybody else an invitation, whose link is in this answer only. Nobody loses a role by a file.",
	}, func(ctx context.Context, in *upload) (*answer[service.RosterReport], error) {
		return given(s.Service.ImportRoster(ctx, actor(ctx), in.Programme, in.Body.File))
	})
	register(s, operation{
		id: "export-roster", method: http.MethodGet, path: base + "/roster", tag: "Members", object: policies.Membership, action: policies.List,
		summary: "Today's members and their roles as a OneRoster archive", details: "Reviewers, committee and operators have no counterpart in the standard and are left out.",
	}, func(ctx context.Context, in *InProgramme) (*rosterFile, error) {
		data, err := s.Service.ExportRoster(ctx, actor(ctx), in.Programme)
		if err != nil {
			return nil, err
		}
		return &rosterFile{ContentType: "application/zip", Disposition: `attachment; filename="roster.zip"`, Body: data}, nil
	})
}
