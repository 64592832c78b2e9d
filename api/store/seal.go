package store

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"time"

	"isthmus/competency"
)

// A signature is sealed by an entry of the audit chain (21 CFR 11.70): the entry's hash covers every byte of the signature, of the
// version it is on, and of the case as it stood then, as they lie in the database. VerifyAudit computes it anew.
const (
	sealObject = "sign-off"    // a signature with its version
	headObject = "signed-case" // the case as it stands
)

// caseMoves are the acts that move a case from one state to another, with those it can stand in afterwards.
var caseMoves = map[string][]competency.CaseStatus{
	"case.create": {competency.CaseDraft}, "case.edit": {competency.CaseDraft, competency.CaseReturned}, "case.submit": {competency.CaseSubmitted},
	"case.return": {competency.CaseReturned}, "case.sign-off": {competency.CaseSignedOff}, "case.withdraw": {competency.CaseWithdrawn},
	"case.amend": {competency.CaseDraft, competency.CaseReturned}, "case.restore": {competency.CaseSignedOff},
}

// SignatureFault is a signed case that is not as it was when it was signed.
type SignatureFault struct {
	Programme competency.ProgrammeID
	Case      competency.CaseID
	What      string
}

// seal lists everything a seal covers. Its order never changes: seals of signatures already given rest on it, and those given before the
// time of the proof was kept end without it.
func (r signOffRow) seal(v caseVersionRow, trainee competency.PersonID) []string {
	whole, truth, at := strconv.Itoa, strconv.FormatBool, func(t time.Time) string { return utc(t).Format(time.RFC3339Nano) }
	list := []string{
		string(r.ID), string(r.ProgrammeID), string(r.CaseID), whole(r.CaseVersion), r.ContentHash, string(r.AssessorID), r.AssessorName, r.Meaning,
		r.Statement, string(r.Role), r.RoleReason, string(r.RoleClaimed), whole(r.HelpGiven), whole(r.SupervisionNext), whole(r.AgeDays),
		truth(r.LateRecall), at(r.SignedAt), string(trainee), v.Record, v.Computed, v.ContentHash, at(v.SubmittedAt), v.OperatedOn, v.Site, v.Operation,
		string(v.Pattern), string(v.Scope), v.Policy, truth(v.LinesComplete), truth(v.BlockTested),
	}
	if r.ProvedAt != nil {
		list = append(list, at(*r.ProvedAt))
	}
	return list
}

// sealSignOff seals a signature that was just added, as the database gives it back.
func (tx *Tx) sealSignOff(r signOffRow) error {
	var signed signOffRow
	if err := tx.take("seal", &signed, "programme_id = ? AND id = ?", r.ProgrammeID, r.ID); err != nil {
		return err
	}
	var version caseVersionRow
	if err := tx.take("seal", &version, "programme_id = ? AND case_id = ? AND version = ?", r.ProgrammeID, r.CaseID, r.CaseVersion); err != nil {
		return err
	}
	var head caseRow
	if err := tx.take("seal", &head, "programme_id = ? AND id = ?", r.ProgrammeID, r.CaseID); err != nil {
		return err
	}
	if err := tx.Audit(sealObject, string(r.ID), nil, signed.seal(version, head.TraineeID)); err != nil {
		return err
	}
	return tx.Audit(headObject, string(r.CaseID), nil, head.seal())
}

// SealCase seals a signed-off case anew, as the database gives it back, after an act that wrote its row without a new signature. The error is
// ErrNotFound when the programme has no such case.
func (tx *Tx) SealCase(programme competency.ProgrammeID, id competency.CaseID) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	var head caseRow
	if err := tx.take("seal", &head, "programme_id = ? AND id = ?", programme, id); err != nil {
		return err
	}
	return tx.Audit(headObject, string(id), nil, head.seal())
}

// verifySignatures checks every signature of a programme against its seal, and every signed case against its signature, by case.
func (tx *Tx) verifySignatures(chain *ChainReport) error {
	seals, err := tx.entriesOf(chain.Programme, sealObject)
	if err != nil {
		return err
	}
	sealed, err := tx.entriesOf(chain.Programme, headObject)
	if err != nil {
		return err
	}
	moved, err := tx.entriesOf(chain.Programme, "case", slices.Sorted(maps.Keys(caseMoves))...)
	if err != nil {
		return err
	}
	book, err := tx.signedBook(chain.Programme)
	if err != nil {
		return err
	}
	fault := func(of competency.CaseID, what string, args ...any) {
		chain.Signatures.Faults = append(chain.Signatures.Faults, SignatureFault{chain.Programme, of, fmt.Sprintf(what, args...)})
	}
	signed, submitted := map[competency.CaseID]int{}, map[competency.CaseID]int{}
	for _, v := range book.versions {
		submitted[v.CaseID] = max(submitted[v.CaseID], v.Version)
	}
	for _, r := range book.signed {
		signed[r.CaseID] = max(signed[r.CaseID], r.CaseVersion)
		now, err := hashOf(r.seal(book.versions[caseVersion{r.CaseID, r.CaseVersion}], book.cases[r.CaseID].TraineeID))
		if err != nil {
			return err
		}
		entry, known := seals[string(r.ID)]
		delete(seals, string(r.ID))
		switch {
		case !known:
			fault(r.CaseID, "version %d carries a signature that no act left", r.CaseVersion)
		case entry.AfterHash != now:
			fault(r.CaseID, "version %d or its signature was changed after it was signed", r.CaseVersion)
		default:
			chain.Signatures.Sound++
		}
	}
	for id := range seals {
		fault("", "the signature %s was removed", id)
	}
	for _, c := range book.cases {
		if what := c.againstSignature(sealed[string(c.ID)], moved[string(c.ID)]); what != "" {
			fault(c.ID, "%s", what)
		}
		if c.SignedVersion != signed[c.ID] {
			fault(c.ID, "it names version %d as the one signed last, which is version %d", c.SignedVersion, signed[c.ID])
		}
		if highest := max(c.Version, c.LastVersion); highest != submitted[c.ID] {
			fault(c.ID, "it names version %d as the one submitted last, which is version %d", highest, submitted[c.ID])
		}
	}
	slices.SortFunc(chain.Signatures.Faults, func(a, b SignatureFault) int { return cmp.Or(cmp.Compare(a.Case, b.Case), cmp.Compare(a.What, b.What)) })
	return nil
}

// caseVersion names a version of a case.
type caseVersion struct {
	of      competency.CaseID
	version int
}

// signedBook is what a programme's signatures are compared with.
type signedBook struct {
	signed   []signOffRow
	versions map[caseVersion]caseVersionRow
	cases    map[competency.CaseID]caseRow
}

func (tx *Tx) signedBook(programme competency.ProgrammeID) (signedBook, error) {
	book := signedBook{versions: map[caseVersion]caseVersionRow{}, cases: map[competency.CaseID]caseRow{}}
	var versions []caseVersionRow
	var cases []caseRow
	for _, rows := range []any{&book.signed, &versions, &cases} {
		if err := tx.db.Where("programme_id = ?", programme).Find(rows).Error; err != nil {
			return book, translate("signatures", err)
		}
	}
	for _, v := range versions {
		book.versions[caseVersion{v.CaseID, v.Version}] = v
	}
	for _, c := range cases {
		book.cases[c.ID] = c
	}
	return book, nil
}

// againstSignature says how a case differs from what it was when it was signed last; empty when it does not, or is not signed off. moved is the last
// act that moved it from one state to another.
func (r caseRow) againstSignature(sealed, moved auditRow) string {
	closed := r.Status == competency.CaseSignedOff
	if (closed || r.SignedVersion > 0) && !slices.Contains(caseMoves[moved.Act], r.Status) || !closed && moved.Act == "case.sign-off" {
		return fmt.Sprintf("it stands as %s, which no act left", r.Status)
	}
	if !closed {
		return ""
	}
	if now, err := hashOf(r.seal()); err != nil || now != sealed.AfterHash {
		return "it was changed after it was signed"
	}
	return ""
}

// seal lists everything of a case as it stands when it is signed. Its order never changes.
func (r caseRow) seal() []string {
	var computed, supervisor string
	if r.Computed != nil {
		computed = *r.Computed
	}
	if r.SupervisorID != nil {
		supervisor = string(*r.SupervisorID)
	}
	at := func(t time.Time) string { return utc(t).Format(time.RFC3339Nano) }
	return []string{
		string(r.ID), string(r.ProgrammeID), string(r.TraineeID), supervisor, strconv.Itoa(r.Version), string(r.Status), r.OperatedOn, r.Record, computed,
		r.ContentHash, at(timeOrZero(r.SubmittedAt)), at(r.CreatedAt), at(r.UpdatedAt), strconv.Itoa(r.Revision),
	}
}

// entriesOf gives the newest entry about each object of a kind, of certain acts when given.
func (tx *Tx) entriesOf(programme competency.ProgrammeID, object string, acts ...string) (map[string]auditRow, error) {
	var rows []auditRow
	query := tx.db.Where("programme_id = ? AND object = ?", programme, object)
	if len(acts) > 0 {
		query = query.Where("act IN ?", acts)
	}
	if err := query.Order("seq").Find(&rows).Error; err != nil {
		return nil, translate("audit entries", err)
	}
	newest := make(map[string]auditRow, len(rows))
	for _, row := range rows {
		newest[row.ObjectID] = row
	}
	return newest, nil
}
