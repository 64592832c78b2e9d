package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/policies"
)

// OneReport is what every operation on a report takes.
type OneReport struct {
	InProgramme
	Report store.ReportID `path:"report" maxLength:"64"`
}

// reportMade is a new report with its address.
type reportMade struct {
	Location string `header:"Location"`
	Body     service.ReportView
}

// reportTypes are the media types of the kinds of report.
var reportTypes = map[store.ReportKind]string{
	store.Portfolio: "application/pdf", store.MeetingPack: "application/pdf", store.TablesAsTexts: "application/zip",
	store.Workbook: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}

func (s *server) registerReports() {
	type creation struct {
		InProgramme
		Creating
		Body service.ReportOrder
	}
	type many struct {
		InProgramme
		Paged
	}
	type check struct {
		Code string `query:"code" required:"true" minLength:"1" maxLength:"60" doc:"As it stands at the foot of every page, or on the sheet about the tables."`
		File string `query:"file" pattern:"^([0-9a-f]{64})?$" doc:"SHA-256 of the file that carries the code, in hexadecimal, to learn whether it was changed. The file itself is never sent."`
	}
	const path = base + "/reports"
	register(s, operation{
		id: "create-report", method: http.MethodPost, path: path, tag: "Reports", object: policies.Report, action: policies.Create,
		summary: "Ask for a report to take away", status: http.StatusAccepted,
		details: "Who may read the thing may have its report: a trainee the own portfolio, a director any, the committee portfolios and the pack. It waits to be written, and says how far it has come.",
	}, func(ctx context.Context, in *creation) (*reportMade, error) {
		in.Body.IdempotencyKey = in.Key
		view, err := s.Service.OrderReport(ctx, actor(ctx), in.Programme, in.Body)
		if err != nil {
			return nil, err
		}
		return &reportMade{Location: at(in.Programme, "/reports/"+string(view.ID)), Body: view}, nil
	})
	register(s, operation{
		id: "reports", method: http.MethodGet, path: path, tag: "Reports", object: policies.Report, action: policies.List,
		summary: "The reports you asked for, newest first",
	}, func(ctx context.Context, in *many) (*listed[service.ReportView], error) {
		return page(s.Service.Reports(ctx, actor(ctx), in.Programme, in.page()))
	})
	register(s, operation{
		id: "report", method: http.MethodGet, path: path + "/{report}", tag: "Reports", object: policies.Report, action: policies.Read,
		summary: "A report you asked for: how far it has come, its code, how long its file is kept",
	}, func(ctx context.Context, in *OneReport) (*answer[service.ReportView], error) {
		return given(s.Service.ReportByID(ctx, actor(ctx), in.Programme, in.Report))
	})
	register(s, operation{
		id: "report-file", method: http.MethodGet, path: path + "/{report}/file", tag: "Reports", object: policies.Report, action: policies.Read,
		summary: "The file of a report you asked for", details: "Kept for 30 days, and given only to who may still read what it is about.",
	}, func(ctx context.Context, in *OneReport) (*caseFile, error) {
		file, err := s.Service.FileOfReport(ctx, actor(ctx), in.Programme, in.Report)
		if err != nil {
			return nil, err
		}
		return &caseFile{ContentType: reportTypes[file.Kind], Disposition: `attachment; filename="` + file.Name + `"`, Body: file.Data}, nil
	})
	register(s, operation{
		id: "verify-report", method: http.MethodGet, path: "/api/report-check", tag: "Reports", object: policies.Report, action: policies.Verify,
		summary: "Whether the code of a report matches the record", details: "For anybody with an account, whatever the programme. It tells the day of the record and nothing of what the report holds.",
	}, func(ctx context.Context, in *check) (*answer[service.Verified], error) {
		checked, err := s.Service.VerifyReport(ctx, in.Code, in.File)
		return given(checked, inQuery(ctx, err))
	})
}
