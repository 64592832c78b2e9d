package service

import (
	"context"
	"time"

	"isthmus/api/store"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// CaseDetail is a case with everything that was said and done about it.
type CaseDetail struct {
	Case           competency.Case      `json:"case"`
	TraineeName    string               `json:"trainee_name"`
	SupervisorName string               `json:"supervisor_name"`
	SignOffs       []competency.SignOff `json:"sign_offs"`
	Acts           []CaseAct            `json:"acts"`
	May            []string             `json:"may"`                     // what the actor may do with it now: edit, submit, return, sign-off, withdraw, amend, restore
	Shared         *Shared              `json:"shared,omitempty"`        // the same operation in other trainees' cases
	RoleAccounts   []RoleAccount        `json:"role_accounts,omitempty"` // why the role is what it is, by the record and by what was signed last
	Caution        string               `json:"caution"`
}

// CaseAct is one act in the life of a case.
type CaseAct struct {
	Kind    string              `json:"kind"` // submit, return, sign-off, withdraw, amend, restore, join, leave
	By      competency.PersonID `json:"by"`
	ByName  string              `json:"by_name"`
	At      time.Time           `json:"at"`
	Reason  string              `json:"reason,omitempty"`
	Version int                 `json:"version"`
}

// CaseSummary is a case in a list. Who may follow a case without opening it (the coordinator) gets no clinical field.
type CaseSummary struct {
	ID             competency.CaseID     `json:"id"`
	Trainee        competency.PersonID   `json:"trainee"`
	TraineeName    string                `json:"trainee_name"`
	Supervisor     competency.PersonID   `json:"supervisor"`
	SupervisorName string                `json:"supervisor_name"`
	OperatedOn     string                `json:"operated_on"`
	Operation      string                `json:"operation"`
	Pattern        af.Pattern            `json:"pattern"`
	Scope          atrium.Scope          `json:"scope"`
	Role           competency.Role       `json:"role"`
	Status         competency.CaseStatus `json:"status"`
	SubmittedAt    time.Time             `json:"submitted_at,omitzero"`
	UpdatedAt      time.Time             `json:"updated_at"`
	AgeDays        int                   `json:"age_days"`                 // since the operation, until sign-off; of an amendment that waits for it, since that was submitted
	SignedVersion  int                   `json:"signed_version,omitempty"` // the version that counts, also while an amendment is open
	Overlaps       int                   `json:"overlaps,omitempty"`       // steps that two trainees on the operation each claim alone; said to who may read both cases
}

// CaseFilter narrows a list of cases; empty fields do not.
type CaseFilter struct {
	Trainee competency.PersonID
	Status  competency.CaseStatus
}

// CaseCreation is what a trainee enters of one operation. The id or the key, when given, makes a resend harmless; the id is a uuid v7 that
// the client made, and the same id with the same record gives the case as it is by then.
type CaseCreation struct {
	ID             competency.CaseID     `json:"id,omitempty"`
	Record         competency.Record     `json:"record"`
	IdempotencyKey string                `json:"-"`
	Overrides      []competency.Override `json:"overrides,omitempty"` // of what the privacy screen finds in record.note
}

// CreateCase starts a draft; it may be unfinished. The error is strict.Faults about the id or the record, ErrDuplicate when the id
// names something else, ErrKeyReused or ErrForbidden.
func (s *Service) CreateCase(ctx context.Context, actor Actor, programme competency.ProgrammeID, in CaseCreation) (CaseDetail, error) {
	o, err := onceNamed(string(in.ID), in.IdempotencyKey, "case.create", programme, in)
	if err != nil {
		return CaseDetail{}, err
	}
	var detail CaseDetail
	check := func(h *scene) error { return h.may(policies.Case, policies.Create, policies.Own) }
	load := func(h *scene, id string) (err error) {
		detail, err = h.caseByID(competency.CaseID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		return s.write(ctx, actor, programme, "case.create", func(h *scene) error {
			if err := check(h); err != nil {
				return err
			}
			c, err := h.newCase(competency.CaseID(o.newID(s)), in)
			if err != nil {
				return err
			}
			if err := o.remember(h, string(c.ID)); err != nil {
				return err
			}
			detail, err = h.detail(c)
			return err
		})
	})
	return detail, err
}

// newCase makes, saves and audits a draft.
func (h *scene) newCase(id competency.CaseID, in CaseCreation) (competency.Case, error) {
	at := recordOf(id)
	kept, err := h.kept(at, in.Overrides)
	if err != nil {
		return competency.Case{}, err
	}
	c, err := competency.NewCase(id, h.programme.ID, h.actor.Person, in.Record, h.programme.Settings, h.now, kept...)
	if err != nil {
		return competency.Case{}, under("record", err)
	}
	if err := h.checkRecord(c.Record, false); err != nil {
		return competency.Case{}, err
	}
	if err := h.tx.CreateCase(c); err != nil {
		return competency.Case{}, err
	}
	if err := h.saveKept(at, kept, noteOf(c)); err != nil {
		return competency.Case{}, err
	}
	return c, h.tx.Audit("case", string(c.ID), nil, c)
}

// CaseByID gives one case.
func (s *Service) CaseByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id competency.CaseID) (CaseDetail, error) {
	var detail CaseDetail
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		detail, err = h.caseByID(id)
		return err
	})
	return detail, err
}

func (h *scene) caseByID(id competency.CaseID) (CaseDetail, error) {
	c, err := h.tx.CaseByID(h.programme.ID, id)
	if err != nil {
		return CaseDetail{}, err
	}
	if err := h.mayCase(c, policies.Read); err != nil {
		return CaseDetail{}, err
	}
	return h.detail(c)
}

// detail gathers what belongs to a case.
func (h *scene) detail(c competency.Case) (CaseDetail, error) {
	signOffs, err := h.tx.SignOffs(h.programme.ID, c.ID)
	if err != nil {
		return CaseDetail{}, err
	}
	rows, err := h.tx.CaseActs(h.programme.ID, c.ID)
	if err != nil {
		return CaseDetail{}, err
	}
	shown, err := h.shownOf(c)
	if err != nil {
		return CaseDetail{}, err
	}
	detail := CaseDetail{Case: shown, SignOffs: append([]competency.SignOff{}, signOffs...), Acts: make([]CaseAct, len(rows)), May: h.mayNow(c), Caution: atrium.Caution}
	names := map[*string]competency.PersonID{&detail.TraineeName: c.Trainee, &detail.SupervisorName: c.Record.Supervisor}
	if detail.Shared, err = h.shared(c); err != nil {
		return CaseDetail{}, err
	}
	if detail.RoleAccounts, err = h.roleAccounts(shown, signOffs); err != nil {
		return CaseDetail{}, err
	}
	for i, row := range rows {
		detail.Acts[i] = CaseAct{Kind: row.Kind, By: row.By, At: row.At, Reason: row.Reason, Version: row.Version}
		names[&detail.Acts[i].ByName] = row.By
	}
	return detail, h.nameInto(names)
}

// caseMoves are the acts on a case and the states each starts from.
var caseMoves = []struct {
	action policies.Action
	from   []competency.CaseStatus
}{
	{policies.Edit, []competency.CaseStatus{competency.CaseDraft, competency.CaseReturned}},
	{policies.Submit, []competency.CaseStatus{competency.CaseDraft, competency.CaseReturned}},
	{policies.Return, []competency.CaseStatus{competency.CaseSubmitted}},
	{policies.SignOff, []competency.CaseStatus{competency.CaseSubmitted}},
	{policies.Withdraw, []competency.CaseStatus{competency.CaseDraft, competency.CaseSubmitted, competency.CaseReturned, competency.CaseSignedOff}},
	{policies.Amend, []competency.CaseStatus{competency.CaseSignedOff}},
	{policies.Restore, []competency.CaseStatus{competency.CaseDraft, competency.CaseSubmitted, competency.CaseReturned}}, // of an amendment
}

// mayNow lists what the actor may do with the case in its present state.
func (h *scene) mayNow(c competency.Case) []string {
	may := []string{}
	for _, move := range caseMoves {
		if move.action == policies.Restore && !c.Amending() {
			continue
		}
		for _, status := range move.from {
			if c.Status == status && h.mayCase(c, move.action) == nil {
				may = append(may, string(move.action))
			}
		}
	}
	return may
}

// Cases lists cases, newest first: a trainee's own, those a faculty member supervised, all for director and coordinator.
func (s *Service) Cases(ctx context.Context, actor Actor, programme competency.ProgrammeID, filter CaseFilter, page store.Page) (List[CaseSummary], error) {
	list := List[CaseSummary]{Items: []CaseSummary{}, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		narrow, err := h.caseFilter(filter)
		if err != nil {
			return err
		}
		cases, next, err := h.tx.Cases(programme, narrow, page)
		if err != nil {
			return err
		}
		list.Items, list.Next = make([]CaseSummary, len(cases)), next
		names := map[*string]competency.PersonID{}
		for i, c := range cases {
			if c, err = h.shownOf(c); err != nil {
				return err
			}
			list.Items[i] = h.summary(c)
			names[&list.Items[i].TraineeName], names[&list.Items[i].SupervisorName] = c.Trainee, c.Record.Supervisor
		}
		if err := h.countOverlaps(list.Items); err != nil {
			return err
		}
		return h.nameInto(names)
	})
	return list, err
}

// caseFilter turns a filter and the actor's reach into what the store is asked for.
func (h *scene) caseFilter(filter CaseFilter) (store.CaseFilter, error) {
	r, err := h.reachOf(policies.Case)
	if err != nil {
		return store.CaseFilter{}, err
	}
	narrow := store.CaseFilter{Trainee: filter.Trainee, Status: filter.Status}
	switch {
	case r.everyone:
	case r.own && r.supervised:
		narrow.OwnOrSupervised = h.actor.Person
	case r.supervised:
		narrow.Supervisor, narrow.DraftsOf = h.actor.Person, h.actor.Person
	default:
		if filter.Trainee != "" && filter.Trainee != h.actor.Person {
			return store.CaseFilter{}, ErrForbidden
		}
		narrow.Trainee = h.actor.Person
	}
	return narrow, nil
}

// summary is what a list shows of a case: without its clinical fields when the actor may not open it.
func (h *scene) summary(c competency.Case) CaseSummary {
	summary := CaseSummary{
		ID: c.ID, Trainee: c.Trainee, Supervisor: c.Record.Supervisor, OperatedOn: c.Record.OperatedOn, Status: c.Status,
		SubmittedAt: c.SubmittedAt, UpdatedAt: c.UpdatedAt, AgeDays: h.age(c), SignedVersion: c.SignedVersion,
	}
	if h.mayCase(c, policies.Read) != nil {
		return summary
	}
	summary.Operation = c.Record.Operation
	if c.Computed != nil {
		summary.Pattern, summary.Scope, summary.Role = c.Computed.Pattern, c.Computed.Scope, c.Computed.Role
	}
	return summary
}

// age counts the days from the operation to today, or to the last change of a case that is closed. What waits of an amendment waits since it
// was submitted.
func (h *scene) age(c competency.Case) int {
	if c.Status == competency.CaseSubmitted && c.Amending() {
		return max(0, h.today.DaysSince(competency.DayOf(c.SubmittedAt)))
	}
	period, err := competency.ParsePeriod(c.Record.OperatedOn)
	if err != nil {
		return 0
	}
	until := h.today
	if c.Status == competency.CaseSignedOff || c.Status == competency.CaseWithdrawn {
		until = competency.DayOf(c.UpdatedAt)
	}
	return max(0, until.DaysSince(period.Last))
}
