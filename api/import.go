package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/competency/casefile"
	"isthmus/policies"
)

// The last parts of the two addresses that take a whole file.
const (
	importPath      = "/imports"
	importCheckPath = "/import-check"
)

// importFile is a file of cases in a request.
type importFile struct {
	File    []byte           `json:"file" required:"true" doc:"CSV in UTF-8 or XLSX, at most 20 MB, in base64."`
	Mapping casefile.Mapping `json:"mapping,omitempty" doc:"Which column holds which field: field to column name. Absent: as the programme last read a file with these columns, or by their names."`
	Submit  bool             `json:"submit,omitempty" doc:"The cases come in as submitted, which only a trainee's own can; otherwise as drafts, which may be unfinished."`
}

// importAnswer is an import with its ETag.
type importAnswer struct {
	ETag string `header:"ETag" doc:"For If-Match of an undo. Progress does not change it."`
	Body service.ImportView
}

func importGiven(view service.ImportView, err error) (*importAnswer, error) {
	if err != nil {
		return nil, err
	}
	return &importAnswer{ETag: etag(view.Revision), Body: view}, nil
}

// importMade is a new import with its ETag and address.
type importMade struct {
	ETag     string `header:"ETag"`
	Location string `header:"Location"`
	Body     service.ImportView
}

// OneImport is what every operation on an import takes.
type OneImport struct {
	InProgramme
	Import store.ImportID `path:"import" maxLength:"64"`
}

func (s *server) registerImports() {
	type checking struct {
		InProgramme
		Body importFile
	}
	type creation struct {
		InProgramme
		Creating
		Body importFile
	}
	type many struct {
		InProgramme
		Paged
	}
	type change struct {
		OneImport
		Changing
	}
	register(s, operation{
		id: "check-import", method: http.MethodPost, path: base + importCheckPath, tag: "Imports", object: policies.Import, action: policies.Preview, most: maxFileBody,
		summary: "What would come of an import", details: "Every mistake with its sheet and cell, and what looks like a case logged before. Nothing is kept.",
	}, func(ctx context.Context, in *checking) (*answer[service.ImportCheck], error) {
		return given(s.Service.CheckImport(ctx, actor(ctx), in.Programme, service.ImportFile(in.Body)))
	})
	register(s, operation{
		id: "create-import", method: http.MethodPost, path: base + importPath, tag: "Imports", object: policies.Import, action: policies.Create, most: maxFileBody,
		summary: "Import a file of cases, all of them or none", status: http.StatusAccepted,
		details: "The file is checked once more; then the import waits to be worked off, and says how far it has come. A trainee imports own cases, a coordinator those of all trainees, as drafts.",
	}, func(ctx context.Context, in *creation) (*importMade, error) {
		view, err := s.Service.Import(ctx, actor(ctx), in.Programme, service.ImportCreation{ImportFile: service.ImportFile(in.Body), IdempotencyKey: in.Key})
		if err != nil {
			return nil, err
		}
		return &importMade{ETag: etag(view.Revision), Location: at(in.Programme, importPath+"/"+string(view.ID)), Body: view}, nil
	})
	register(s, operation{
		id: "imports", method: http.MethodGet, path: base + importPath, tag: "Imports", object: policies.Import, action: policies.List,
		summary: "Imports, newest first", details: "The own ones; for the coordinator also those of other coordinators. Nothing in them says what was done in a case.",
	}, func(ctx context.Context, in *many) (*listed[service.ImportView], error) {
		return page(s.Service.Imports(ctx, actor(ctx), in.Programme, in.page()))
	})
	register(s, operation{
		id: "import", method: http.MethodGet, path: base + importPath + "/{import}", tag: "Imports", object: policies.Import, action: policies.Read,
		summary: "One import with how far it has come",
	}, func(ctx context.Context, in *OneImport) (*importAnswer, error) {
		return importGiven(s.Service.ImportByID(ctx, actor(ctx), in.Programme, in.Import))
	})
	register(s, operation{
		id: "undo-import", method: http.MethodPost, path: base + importPath + "/{import}/undo", tag: "Imports", object: policies.Import, action: policies.Withdraw,
		summary: "Undo a whole import", details: "All its cases are withdrawn, while none of them was submitted, returned or signed off since. One that waits is given up.",
	}, func(ctx context.Context, in *change) (*importAnswer, error) {
		revision, err := in.revision(ctx)
		if err != nil {
			return nil, err
		}
		return importGiven(s.Service.UndoImport(ctx, actor(ctx), in.Programme, in.Import, revision))
	})
}
