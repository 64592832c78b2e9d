package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/competency"
	"isthmus/policies"
)

// newSettings is what is to hold from now on.
type newSettings struct {
	After    int                 `json:"after" required:"true" minimum:"0" doc:"The version you saw; 0 when nothing was changed before."`
	Settings competency.Settings `json:"settings" required:"true" doc:"All of them. A rule that differs gets the next version of its own."`
	Reason   string              `json:"reason" required:"true" maxLength:"600"`
}

func (s *server) registerSettings() {
	type trial struct {
		InProgramme
		Body struct {
			Settings competency.Settings `json:"settings" required:"true" doc:"All of them."`
		}
	}
	type change struct {
		InProgramme
		Body newSettings
	}
	register(s, operation{
		id: "settings-versions", method: http.MethodGet, path: base + "/settings-versions", tag: "Programme", object: policies.Settings, action: policies.List,
		summary: "What the programme set, newest first", details: "The newest holds; version 0 is how the programme began.",
	}, func(ctx context.Context, in *InProgramme) (*listed[service.SettingsView], error) {
		return page(s.Service.SettingsVersions(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "change-settings", method: http.MethodPost, path: base + "/settings-versions", tag: "Programme", object: policies.Settings, action: policies.Edit,
		summary: "Set what holds from now on", details: "A new version; earlier ones stay, and cases computed and signed by them too.", status: http.StatusCreated,
	}, func(ctx context.Context, in *change) (*answer[service.SettingsView], error) {
		return given(s.Service.ChangeSettings(ctx, actor(ctx), in.Programme, in.Body.After, in.Body.Settings, in.Body.Reason))
	})
	register(s, operation{
		id: "preview-settings", method: http.MethodPost, path: base + "/settings-preview", tag: "Programme", object: policies.Settings, action: policies.Preview,
		summary: "What settings would mean, in plain words", details: "Made-up situations are judged by the settings that hold and by these, with the rules that judge real ones. Nothing is kept.",
	}, func(ctx context.Context, in *trial) (*answer[service.SettingsPreview], error) {
		return given(s.Service.PreviewSettings(ctx, actor(ctx), in.Programme, in.Body.Settings))
	})
}
