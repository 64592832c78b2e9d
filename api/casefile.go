package api

import (
	"context"
	"net/http"

	"isthmus/competency/casefile"
	"isthmus/policies"
)

// caseFile is a log of cases as a file to keep.
type caseFile struct {
	ContentType string `header:"Content-Type"`
	Disposition string `header:"Content-Disposition"`
	Body        []byte
}

// fileTypes are the media types of the formats.
var fileTypes = map[casefile.Format]string{
	casefile.CSV:  "text/csv; charset=utf-8",
	casefile.XLSX: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}

// fileGiven answers with a file under a name without its ending.
func fileGiven(name string, format casefile.Format, data []byte, err error) (*caseFile, error) {
	if err != nil {
		return nil, err
	}
	return &caseFile{ContentType: fileTypes[format], Disposition: `attachment; filename="` + name + "." + string(format) + `"`, Body: data}, nil
}

func (s *server) registerCaseFiles() {
	type formatted struct {
		InProgramme
		Format casefile.Format `query:"format" enum:"csv,xlsx" default:"csv"`
	}
	register(s, operation{
		id: "export-cases", method: http.MethodGet, path: base + "/case-export", tag: "Cases", object: policies.Case, action: policies.Export,
		summary: "The own log as CSV or XLSX", details: "Every case but the withdrawn ones, oldest first; an import reads the file again. No cell can be taken for a formula.",
	}, func(ctx context.Context, in *formatted) (*caseFile, error) {
		data, err := s.Service.ExportCases(ctx, actor(ctx), in.Programme, in.Format)
		return fileGiven("cases", in.Format, data, err)
	})
	register(s, operation{
		id: "import-template", method: http.MethodGet, path: base + "/import-template", tag: "Imports", object: policies.Programme, action: policies.Read,
		summary: "An empty file with the columns an import knows", details: "The workbook explains them on its second sheet.",
	}, func(ctx context.Context, in *formatted) (*caseFile, error) {
		data, err := s.Service.ImportTemplate(ctx, actor(ctx), in.Programme, in.Format)
		return fileGiven("cases-template", in.Format, data, err)
	})
}
