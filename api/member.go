package api

import (
	"context"
	"net/http"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// period is a role with its days.
type period struct {
	Role  string         `json:"role" required:"true" maxLength:"20" doc:"trainee, faculty, coordinator, director, committee or reviewer."`
	From  competency.Day `json:"from,omitempty" maxLength:"10" doc:"First day; today when left out."`
	Until competency.Day `json:"until,omitempty" maxLength:"10" doc:"Last day, included; until further notice when left out. A reviewer's is required, at most 90 days off."`
	// Viewing is for a reviewer alone.
	Viewing *Viewing `json:"viewing,omitempty" doc:"What a reviewer is let see; required for a reviewer."`
}

// Viewing is what a reviewer is let see.
type Viewing struct {
	Trainees []competency.PersonID `json:"trainees,omitempty" maxItems:"100" doc:"Whose standing, cases, plans, follow-ups and growth."`
	Figures  string                `json:"figures,omitempty" maxLength:"10" doc:"counts: how many trainees are in each state. rows: each trainee's line without a name instead. Neither when left out."`
}

func (v Viewing) choice() store.ViewingChoice {
	return store.ViewingChoice{Trainees: v.Trainees, Figures: v.Figures}
}

func (p period) term() store.RoleTerm {
	term := store.RoleTerm{Role: p.Role, From: p.From, Until: p.Until}
	if p.Viewing != nil {
		choice := p.Viewing.choice()
		term.Viewing = &choice
	}
	return term
}

// stay is a site with its days.
type stay struct {
	Site  string         `json:"site" required:"true" maxLength:"200" doc:"One of the programme's sites."`
	From  competency.Day `json:"from,omitempty" maxLength:"10" doc:"First day; today when left out."`
	Until competency.Day `json:"until,omitempty" maxLength:"10" doc:"Last day, included; until further notice when left out."`
}

// lastDay is a new last day.
type lastDay struct {
	Until competency.Day `json:"until,omitempty" maxLength:"10" doc:"Last day, included; until further notice when left out."`
}

// ofMember is what every act on a member takes.
type ofMember struct {
	InProgramme
	Person competency.PersonID `path:"person" maxLength:"64"`
}

func (s *server) registerMembers() {
	type roleOf struct {
		InProgramme
		Person competency.PersonID `path:"person" maxLength:"64"`
		Body   period
	}
	register(s, operation{
		id: "members", method: http.MethodGet, path: base + "/members", tag: "Members", object: policies.Membership, action: policies.List,
		summary: "Everybody who is or was a member, with roles, periods and rotations", details: "For director and coordinator, with e-mail addresses.",
	}, func(ctx context.Context, in *InProgramme) (*listed[service.MemberRecord], error) {
		return page(s.Service.Members(ctx, actor(ctx), in.Programme))
	})
	register(s, operation{
		id: "give-role", method: http.MethodPost, path: base + "/members/{person}/roles", tag: "Members", object: policies.Membership, action: policies.Create,
		also: []policies.Object{policies.Oversight}, summary: "Give a member one more role for a period",
		details: "Nobody changes their own roles. Director, committee and reviewer read others' records: only a director gives them. A reviewer reads what viewing chooses, until the last day.",
	}, func(ctx context.Context, in *roleOf) (*answer[service.MemberRecord], error) {
		return given(s.Service.GiveRole(ctx, actor(ctx), in.Programme, in.Person, in.Body.term()))
	})
	register(s, operation{
		id: "set-role-end", method: http.MethodPost, path: base + "/members/{person}/role-end", tag: "Members", object: policies.Membership, action: policies.Edit,
		also: []policies.Object{policies.Oversight}, summary: "Set the last day of the role that begins on the day from",
	}, func(ctx context.Context, in *roleOf) (*answer[service.MemberRecord], error) {
		return given(s.Service.SetRoleEnd(ctx, actor(ctx), in.Programme, in.Person, in.Body.term()))
	})
	register(s, operation{
		id: "deactivate-member", method: http.MethodPost, path: base + "/members/{person}/deactivation", tag: "Members", object: policies.Membership, action: policies.Edit,
		also: []policies.Object{policies.Oversight}, summary: "Keep a member out from now on",
		details: "Roles in force end today; everything done stays. Who belongs to no other programme can no longer sign in: sessions and tokens end at once.",
	}, func(ctx context.Context, in *ofMember) (*answer[service.MemberRecord], error) {
		return given(s.Service.Deactivate(ctx, actor(ctx), in.Programme, in.Person))
	})
	register(s, operation{
		id: "reactivate-member", method: http.MethodDelete, path: base + "/members/{person}/deactivation", tag: "Members", object: policies.Membership, action: policies.Edit,
		also: []policies.Object{policies.Oversight}, summary: "Let a member in again", details: "Roles that ended stay ended: give them anew.",
	}, func(ctx context.Context, in *ofMember) (*answer[service.MemberRecord], error) {
		return given(s.Service.Reactivate(ctx, actor(ctx), in.Programme, in.Person))
	})
}

func (s *server) registerRotations() {
	type rotation struct {
		InProgramme
		Person competency.PersonID `path:"person" maxLength:"64"`
		Body   stay
	}
	type one struct {
		InProgramme
		Rotation string `path:"rotation" maxLength:"64"`
	}
	type end struct {
		InProgramme
		Rotation string `path:"rotation" maxLength:"64"`
		Body     lastDay
	}
	register(s, operation{
		id: "add-rotation", method: http.MethodPost, path: base + "/members/{person}/rotations", tag: "Members", object: policies.Rotation, action: policies.Create,
		summary: "Say at which site a member works, and when",
	}, func(ctx context.Context, in *rotation) (*answer[service.MemberRecord], error) {
		return given(s.Service.Rotate(ctx, actor(ctx), in.Programme, in.Person, service.RotationView{Site: in.Body.Site, From: in.Body.From, Until: in.Body.Until}))
	})
	register(s, operation{
		id: "set-rotation-end", method: http.MethodPost, path: base + "/rotations/{rotation}/end", tag: "Members", object: policies.Rotation, action: policies.Edit,
		summary: "Set the last day of a rotation",
	}, func(ctx context.Context, in *end) (*answer[service.MemberRecord], error) {
		return given(s.Service.SetRotationEnd(ctx, actor(ctx), in.Programme, in.Rotation, in.Body.Until))
	})
	register(s, operation{
		id: "delete-rotation", method: http.MethodDelete, path: base + "/rotations/{rotation}", tag: "Members", object: policies.Rotation, action: policies.Delete,
		summary: "Remove a rotation that was entered by mistake", status: http.StatusNoContent,
	}, func(ctx context.Context, in *one) (*struct{}, error) {
		return nil, s.Service.DeleteRotation(ctx, actor(ctx), in.Programme, in.Rotation)
	})
}
