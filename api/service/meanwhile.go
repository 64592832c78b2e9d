package service

import (
	"fmt"
	"time"

	"isthmus/competency"
)

// Meanwhile is ErrStale about a case, with what was done to it by whoever came first.
type Meanwhile struct {
	Act      string                `json:"act" doc:"What was last done, for example case.sign-off."`
	ByName   string                `json:"by_name"`
	At       time.Time             `json:"at"`
	Status   competency.CaseStatus `json:"status" doc:"Of the case now."`
	Version  int                   `json:"version" doc:"Of the case now."`
	Revision int                   `json:"revision" doc:"Of the case now: the next ETag."`
}

// caseActs says in words what an act did.
var caseActs = map[string]string{
	"case.create": "began it", "case.edit": "changed the record", "case.submit": "submitted it", "case.return": "returned it", "case.sign-off": "signed it off",
	"case.withdraw": "withdrew it", "case.amend": "opened it for an amendment", "case.restore": "gave the amendment up",
}

// Error says who did what, and when.
func (m *Meanwhile) Error() string {
	act := caseActs[m.Act]
	if act == "" {
		act = "changed it (" + m.Act + ")"
	}
	return fmt.Sprintf("%s %s on %s: load it again", m.ByName, act, m.At.Format("2006-01-02 at 15:04:05 UTC"))
}

// Is makes it an ErrStale.
func (m *Meanwhile) Is(target error) bool { return target == ErrStale }

// meanwhile says what became of a case that is no longer at the revision the actor saw.
func (h *scene) meanwhile(c competency.Case) error {
	last, err := h.tx.LastEntry(h.programme.ID, "case", string(c.ID))
	if err != nil {
		return err
	}
	return &Meanwhile{Act: last.Act, ByName: last.ActorName, At: last.At, Status: c.Status, Version: c.Version, Revision: c.Revision}
}
