package service

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"

	"isthmus/api/store"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/competency/casefile"
	"isthmus/policies"
)

// ImportFile is a file of cases to be read.
type ImportFile struct {
	File    []byte           `json:"file"`
	Mapping casefile.Mapping `json:"mapping,omitempty"` // absent: the one the programme used last for such a file, or by the columns' names
	Submit  bool             `json:"submit,omitempty"`  // the cases come in as submitted; only a trainee's own can
}

// ImportCheck is what would come of an import; nothing of it is kept.
type ImportCheck struct {
	FileHash string           `json:"file_hash"` // SHA-256 in hexadecimal
	Header   []string         `json:"header"`    // the file's column names
	Fields   []casefile.Field `json:"fields"`    // what a column can hold
	Mapping  casefile.Mapping `json:"mapping"`   // field to column, as the file was read
	Rows     int              `json:"rows"`
	Faults   []casefile.Fault `json:"faults"` // at most casefile.MostFaults; the last one counts the rest
	Likely   []casefile.Fault `json:"likely"` // rows that look like a case logged before, or like another row: no fault
	Twice    int              `json:"twice"`  // how many such rows there are
	entries  []casefile.Entry `json:"-"`
	basis    *importBasis     `json:"-"`
	sheet    casefile.Sheet   `json:"-"`
}

// importBasis is what the rows of a file are checked against, as it stands in the database.
type importBasis struct {
	settings   competency.Settings
	today      competency.Day
	self       competency.PersonID
	everyone   bool // may import for every trainee, not only for themselves
	submit     bool
	byEmail    map[string]competency.PersonID
	trainees   map[competency.PersonID]bool              // today
	faculty    map[competency.PersonID][]competency.Term // ever
	kept       casefile.Mapping                          // nil: none
	logged     map[string]bool                           // keys of cases on record
	headerHash string
	notes      keptNotes
}

// CheckImport reads a file as an import would: every mistake with its cell, and what looks like a case logged before. Nothing is kept.
// The error is strict.Faults about the file as a whole, or ErrForbidden.
func (s *Service) CheckImport(ctx context.Context, actor Actor, programme competency.ProgrammeID, in ImportFile) (ImportCheck, error) {
	if err := s.read(ctx, actor, programme, func(h *scene) error { return h.mayImport(policies.Preview) }); err != nil {
		return ImportCheck{}, err // before the file costs anything
	}
	return s.readImport(ctx, actor, programme, in)
}

// readImport takes a file apart and checks every row.
func (s *Service) readImport(ctx context.Context, actor Actor, programme competency.ProgrammeID, in ImportFile) (ImportCheck, error) {
	sum := sha256.Sum256(in.File)
	check := ImportCheck{FileHash: hex.EncodeToString(sum[:]), Fields: casefile.Fields(), Faults: []casefile.Fault{}, Likely: []casefile.Fault{}}
	var err error
	if check.sheet, err = casefile.Read(in.File); err != nil {
		return check, placedInFile(err)
	}
	if check.Header, check.Rows = check.sheet.Header, len(check.sheet.Rows); check.Rows == 0 {
		return check, fault("file", "has column names and no row below them")
	}
	err = s.read(ctx, actor, programme, func(h *scene) (err error) {
		if check.basis, err = h.importBasis(headerHash(check.Header), in.Submit); err != nil {
			return err
		}
		return check.basis.addLogged(h)
	})
	if err != nil {
		return check, err
	}
	switch {
	case in.Mapping != nil:
		check.Mapping = in.Mapping
	case check.basis.kept != nil:
		check.Mapping = check.basis.kept
	default:
		check.Mapping = casefile.Guess(check.Header)
	}
	check.entries, err = check.sheet.Records(check.basis.reading(check.Mapping))
	var faults casefile.Faults
	if errors.As(err, &faults) {
		check.Faults = faults
		return check, nil
	}
	check.addLikely()
	return check, err
}

// placedInFile turns what is wrong with a file into faults about the input.
func placedInFile(err error) error {
	var in casefile.Faults
	if !errors.As(err, &in) {
		return fault("file", "%v", err)
	}
	var faults strict.Faults
	for _, one := range in {
		faults.Add("file", "%s", strings.TrimSpace(strings.Join([]string{one.Sheet, one.Cell, one.Column}, " "))+": "+one.Message)
	}
	return faults
}

// headerHash names a kind of file: those with the same column names in the same order.
func headerHash(header []string) string {
	sum := sha256.Sum256([]byte(strings.Join(header, "\x00")))
	return hex.EncodeToString(sum[:])
}

// mayImport refuses who may neither import own cases nor those of the programme.
func (h *scene) mayImport(action policies.Action) error {
	if len(h.allow.Scope(h.roles, policies.Import, action)) == 0 {
		return ErrForbidden
	}
	return nil
}

// importBasis loads what rows are checked against.
func (h *scene) importBasis(header string, submit bool) (*importBasis, error) {
	if err := h.mayImport(policies.Create); err != nil {
		return nil, err
	}
	if submit { // what is computed of a case tells what its lesions do
		if err := h.noOpenTest(); err != nil {
			return nil, err
		}
	}
	b := &importBasis{
		settings: h.programme.Settings, today: h.today, self: h.actor.Person, submit: submit, headerHash: header,
		everyone: h.may(policies.Import, policies.Create, policies.InProgramme) == nil,
		byEmail:  map[string]competency.PersonID{}, trainees: map[competency.PersonID]bool{}, faculty: map[competency.PersonID][]competency.Term{}, logged: map[string]bool{},
	}
	members, err := h.tx.People(h.programme.ID, "", "")
	if err != nil {
		return nil, err
	}
	for _, m := range members {
		b.byEmail[strings.ToLower(m.Email)] = m.ID
		if slices.Contains(m.Roles, string(policies.Faculty)) {
			if b.faculty[m.ID], err = h.tx.Terms(h.programme.ID, m.ID, string(policies.Faculty)); err != nil {
				return nil, err
			}
		}
	}
	today, err := h.tx.People(h.programme.ID, string(policies.Trainee), h.today)
	if err != nil {
		return nil, err
	}
	for _, m := range today {
		b.trainees[m.ID] = true
	}
	if b.kept, err = h.tx.ImportMapping(h.programme.ID, header); err != nil {
		return nil, err
	}
	return b, nil
}

// addLogged adds what is on record already, of those whose cases may come in.
func (b *importBasis) addLogged(h *scene) error {
	filter := store.CaseFilter{Trainee: h.actor.Person}
	if b.everyone {
		filter.Trainee = ""
	}
	logged, err := h.allCases(filter)
	if err != nil {
		return err
	}
	if b.notes, err = h.keptNotes(logged); err != nil {
		return err
	}
	for _, c := range logged {
		if c.Status != competency.CaseWithdrawn {
			b.logged[likeness(c.Trainee, c.Record)] = true
		}
	}
	return nil
}

// reading is how casefile is to read the rows.
func (b *importBasis) reading(mapping casefile.Mapping) casefile.Reading {
	return casefile.Reading{
		Mapping: mapping, Settings: b.settings, Today: b.today, Self: b.self, Drafts: !b.submit, Check: b.check, Kept: b.notes.of,
		Person: func(email string) (competency.PersonID, bool) {
			id, known := b.byEmail[strings.ToLower(email)]
			return id, known
		},
	}
}

// check says what a row's record cannot show alone: whose case it may be, and whether the supervisor was faculty on the date.
func (b *importBasis) check(entry casefile.Entry, at func(field, message string)) {
	switch {
	case entry.Trainee == "":
		return // the address is unknown, and that is said already
	case !b.trainees[entry.Trainee] && entry.Trainee == b.self:
		at("trainee", "name the trainee by e-mail address: you are none yourself")
	case !b.everyone && entry.Trainee != b.self:
		at("trainee", "you can import your own cases only")
	case !b.trainees[entry.Trainee]:
		at("trainee", "is not a trainee of the programme today")
	case b.submit && entry.Trainee != b.self:
		at("trainee", "only the trainee can submit a case: import it as a draft")
	}
	supervisor := entry.Record.Supervisor
	if supervisor == "" {
		return
	}
	if supervisor == entry.Trainee {
		at("supervisor", "nobody supervises themselves: name the faculty member who did")
		return
	}
	terms, known := b.faculty[supervisor]
	if !known {
		at("supervisor", "is not a faculty member of the programme")
		return
	}
	period, err := competency.ParsePeriod(entry.Record.OperatedOn)
	if err == nil && !slices.ContainsFunc(terms, func(term competency.Term) bool {
		return term.From <= period.Last && (term.Until == "" || term.Until >= period.First)
	}) {
		at("supervisor", fmt.Sprintf("was not a faculty member of the programme on %s", entry.Record.OperatedOn))
	}
}

// likeness is what two accounts of one case share.
func likeness(trainee competency.PersonID, record competency.Record) string {
	return strings.Join([]string{string(trainee), record.OperatedOn, record.Site, record.Operation}, "\x00")
}

// mostLikely bounds how many likely repetitions are told; all are counted.
const mostLikely = 50

// addLikely tells the rows that look like a case on record or like a row before: a warning, for two such operations do happen.
func (c *ImportCheck) addLikely() {
	rows := map[string]int{}
	for _, entry := range c.entries {
		key := likeness(entry.Trainee, entry.Record)
		says := ""
		if c.basis.logged[key] {
			says = "same trainee, date, site and operation as a case on record"
		} else if row, there := rows[key]; there {
			says = fmt.Sprintf("same trainee, date, site and operation as row %d", row)
		} else {
			rows[key] = entry.Row
		}
		if says == "" {
			continue
		}
		if c.Twice++; len(c.Likely) < mostLikely {
			c.Likely = append(c.Likely, casefile.Fault{Sheet: c.sheet.Name, Cell: fmt.Sprintf("row %d", entry.Row), Message: says})
		}
	}
}
