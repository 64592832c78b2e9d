package service

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"time"

	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/competency/casefile"
	"isthmus/policies"
)

// What an import can be refused for; compare with errors.Is.
var (
	ErrImportOver = errors.New("the import is over: it failed or was undone before")
	ErrImportUsed = errors.New("cases of the import were submitted, returned or signed off since: it cannot be undone as a whole any more")
	ErrImported   = errors.New("you have imported this very file before: undo that import first")
)

// ImportView is an import as a list shows it. It holds nothing of what was done in any case.
type ImportView struct {
	ID        store.ImportID      `json:"id"`
	By        competency.PersonID `json:"by"`
	ByName    string              `json:"by_name"`
	Own       bool                `json:"own"`       // of the importing person's own cases
	Submit    bool                `json:"submit"`    // they came in as submitted
	FileHash  string              `json:"file_hash"` // SHA-256 in hexadecimal
	State     store.ImportState   `json:"state"`     // waiting, done, failed, undone
	Total     int                 `json:"total"`     // rows
	Ready     int                 `json:"ready"`     // rows computed so far
	Message   string              `json:"message,omitempty"`
	CreatedAt time.Time           `json:"created_at"`
	ClosedAt  time.Time           `json:"closed_at,omitzero"`
	Revision  int                 `json:"revision"`
	May       []string            `json:"may"` // undo
}

// ImportCreation is a file to be imported. The key, when given, makes a resend harmless.
type ImportCreation struct {
	ImportFile
	IdempotencyKey string `json:"-"`
}

// Import checks a file once more and, when nothing is wrong with it, leaves it to be worked off: its cases, not the file, are kept until
// then. The error is strict.Faults with the cells, ErrImported, ErrTestOpen, ErrKeyReused or ErrForbidden.
func (s *Service) Import(ctx context.Context, actor Actor, programme competency.ProgrammeID, in ImportCreation) (ImportView, error) {
	o, err := onceFor(in.IdempotencyKey, "import.create", programme, in)
	if err != nil {
		return ImportView{}, err
	}
	var view ImportView
	check := func(h *scene) error { return h.mayImport(policies.Create) }
	load := func(h *scene, id string) (err error) {
		view, err = h.importByID(store.ImportID(id))
		return err
	}
	err = s.create(ctx, actor, programme, o, check, load, func() error {
		read, err := s.readImport(ctx, actor, programme, in.ImportFile)
		if err != nil {
			return err
		}
		if len(read.Faults) > 0 {
			return placedInFile(casefile.Faults(read.Faults))
		}
		entries, err := json.Marshal(read.entries)
		if err != nil {
			return fmt.Errorf("import: %w", err)
		}
		return s.write(ctx, actor, programme, "import.create", func(h *scene) error {
			if err := check(h); err != nil {
				return err
			}
			view, err = h.newImport(read, in.Submit, entries, o)
			return err
		})
	})
	return view, err
}

// newImport saves and audits an import that waits.
func (h *scene) newImport(read ImportCheck, submit bool, entries []byte, o once) (ImportView, error) {
	i := store.Import{
		ID: store.ImportID(h.service.deps.NewID()), Programme: h.programme.ID, By: h.actor.Person, RequestID: h.actor.RequestID, Submit: submit,
		Own:      !slices.ContainsFunc(read.entries, func(e casefile.Entry) bool { return e.Trainee != h.actor.Person }),
		FileHash: read.FileHash, Mapping: read.Mapping, State: store.ImportWaiting, Total: read.Rows, CreatedAt: h.now, Revision: 1,
	}
	if err := o.remember(h, string(i.ID)); err != nil {
		return ImportView{}, err
	}
	if err := h.tx.CreateImport(i, entries); err != nil {
		if errors.Is(err, ErrDuplicate) {
			return ImportView{}, ErrImported
		}
		return ImportView{}, err
	}
	if err := h.tx.SaveImportMapping(h.programme.ID, read.basis.headerHash, read.Mapping, h.actor.Person); err != nil {
		return ImportView{}, err
	}
	if err := h.tx.Audit("import", string(i.ID), nil, i); err != nil {
		return ImportView{}, err
	}
	return h.importView(i)
}

// Imports lists imports, newest first: the actor's own, and with a reach over the programme all that were not of somebody's own cases.
func (s *Service) Imports(ctx context.Context, actor Actor, programme competency.ProgrammeID, page store.Page) (List[ImportView], error) {
	list := List[ImportView]{Items: []ImportView{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		r, err := h.reachOf(policies.Import)
		if err != nil {
			return err
		}
		imports, next, err := h.tx.Imports(programme, actor.Person, r.everyone, page)
		if err != nil {
			return err
		}
		list.Items, list.Next = make([]ImportView, len(imports)), next
		for i, one := range imports {
			if list.Items[i], err = h.importView(one); err != nil {
				return err
			}
		}
		return nil
	})
	return list, err
}

// ImportByID gives one import with how far it has come.
func (s *Service) ImportByID(ctx context.Context, actor Actor, programme competency.ProgrammeID, id store.ImportID) (ImportView, error) {
	var view ImportView
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		view, err = h.importByID(id)
		return err
	})
	return view, err
}

func (h *scene) importByID(id store.ImportID) (ImportView, error) {
	i, err := h.importFor(id, policies.Read)
	if err != nil {
		return ImportView{}, err
	}
	return h.importView(i)
}

// importFor loads an import for an act. One of somebody else's own cases is not found: it is theirs alone.
func (h *scene) importFor(id store.ImportID, action policies.Action) (store.Import, error) {
	i, err := h.tx.ImportByID(h.programme.ID, id)
	if err != nil {
		return i, err
	}
	if i.Own && i.By != h.actor.Person {
		return i, missing("import")
	}
	return i, h.may(policies.Import, action, h.importRelation(i))
}

func (h *scene) importRelation(i store.Import) policies.Relation {
	if i.By == h.actor.Person {
		return policies.Own
	}
	return policies.InProgramme
}

func (h *scene) importView(i store.Import) (ImportView, error) {
	view := ImportView{
		ID: i.ID, By: i.By, Own: i.Own, Submit: i.Submit, FileHash: i.FileHash, State: i.State, Total: i.Total, Ready: i.Ready, Message: i.Message,
		CreatedAt: i.CreatedAt, ClosedAt: i.ClosedAt, Revision: i.Revision, May: []string{},
	}
	if (i.State == store.ImportWaiting || i.State == store.ImportDone) && h.may(policies.Import, policies.Withdraw, h.importRelation(i)) == nil {
		view.May = append(view.May, "undo")
	}
	var err error
	view.ByName, err = h.name(i.By)
	return view, err
}

// UndoImport gives a waiting import up, or withdraws every case of one that is done while none of them was submitted, returned or signed
// off since. The error is ErrStale when the import has come further than the actor saw, ErrImportOver or ErrImportUsed.
func (s *Service) UndoImport(ctx context.Context, actor Actor, programme competency.ProgrammeID, id store.ImportID, revision int) (ImportView, error) {
	var view ImportView
	err := s.write(ctx, actor, programme, "import.undo", func(h *scene) error {
		before, err := h.importFor(id, policies.Withdraw)
		switch {
		case err != nil:
			return err
		case before.Revision != revision:
			return ErrStale
		case before.State == store.ImportFailed || before.State == store.ImportUndone:
			return ErrImportOver
		}
		if before.State == store.ImportDone {
			if err := h.withdrawImported(before); err != nil {
				return err
			}
		}
		view, err = h.closeImport(before, store.ImportUndone, before.Ready, "")
		return err
	})
	return view, err
}

// undoneReason stands in the history of every case that goes with its import.
const undoneReason = "The import it came with was undone."

// withdrawImported withdraws the cases of an import.
func (h *scene) withdrawImported(i store.Import) error {
	cases, err := h.tx.CasesOfImport(h.programme.ID, i.ID)
	if err != nil {
		return err
	}
	var changes []store.AuditChange
	for _, c := range cases {
		untouched := i.Submit && c.Status == competency.CaseSubmitted && c.Version == 1
		switch {
		case c.Status == competency.CaseWithdrawn:
			continue
		case c.SignedVersion > 0, c.Status != competency.CaseDraft && !untouched:
			return ErrImportUsed
		}
		after, err := competency.Withdraw(c, undoneReason, h.now)
		if err != nil {
			return err
		}
		if err := h.tx.SaveCase(after, c.Revision); err != nil {
			return err
		}
		act := store.Done{Kind: string(policies.Withdraw), By: h.actor.Person, At: h.now, Reason: undoneReason, Version: after.Version}
		if err := h.tx.AddCaseAct(h.programme.ID, c.ID, act); err != nil {
			return err
		}
		changes = append(changes, store.AuditChange{Object: "case", ID: string(c.ID), Before: c, After: after})
	}
	return h.tx.AuditAll(changes)
}

// closeImport saves and audits what became of an import.
func (h *scene) closeImport(before store.Import, state store.ImportState, ready int, message string) (ImportView, error) {
	after := before
	after.State, after.Ready, after.Message, after.ClosedAt = state, ready, message, h.now
	if err := h.tx.CloseImport(after, before.Revision); err != nil {
		return ImportView{}, err
	}
	after.Revision++
	if err := h.tx.Audit("import", string(after.ID), before, after); err != nil {
		return ImportView{}, err
	}
	return h.importView(after)
}
