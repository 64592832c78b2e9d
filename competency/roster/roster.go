// Package roster reads and writes people and their roles in the CSV binding of OneRoster 1.2 (1EdTech): a zip with manifest.csv,
// users.csv, orgs.csv and roles.csv, each UTF-8 after RFC 4180. Columns are found by their name, so that further ones do no harm. Bytes
// in, people out; it knows no database.
package roster

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"net/mail"
	"slices"
	"strings"
	"unicode/utf8"

	"isthmus/competency"
)

// Limits of an archive that is read.
const (
	MaxBytes    = 5 << 20
	maxUnpacked = 50 << 20
	maxRows     = 20_000
	maxCell     = 1000 // characters
	mostFaults  = 200
)

// What is refused of an archive as a whole; compare with errors.Is.
var (
	ErrTooLarge   = errors.New("the archive is larger than 5 MB")
	ErrUnpacked   = errors.New("the archive unpacks to more than 50 MB")
	ErrNotArchive = errors.New("the file is no zip archive of CSV files")
	ErrMissing    = errors.New("the archive must hold users.csv and roles.csv beside manifest.csv")
	ErrVersion    = errors.New("manifest.csv must say oneroster.version 1.2")
	ErrEncoding   = errors.New("the files must be UTF-8")
	ErrDelta      = errors.New("only bulk files can be read: export everything, not what changed")
)

// Person is one user with their roles.
type Person struct {
	SourcedID string // the exporting system's id
	Email     string // lower case
	Name      string
	Active    bool
	Roles     []Role
	Line      int // in users.csv
}

// Role is a role over a stretch of days; an empty Until means until further notice, an empty From from the day of the import on.
type Role struct {
	Role        string // trainee, faculty, director, coordinator
	From, Until competency.Day
	Org         string // the organisation's name, if orgs.csv tells it
}

// roles turns the standard's role vocabulary into ours. A role without a counterpart is a fault: nobody gets rights by guess.
var roles = map[string]string{"student": "trainee", "teacher": "faculty", "principal": "director", "siteAdministrator": "coordinator"}

// Fault is one mistake with its place.
type Fault struct {
	File    string `json:"file"`
	Line    int    `json:"line,omitempty"`
	Column  string `json:"column,omitempty"`
	Message string `json:"message"`
}

// Faults is every mistake of an archive, at most 200.
type Faults []Fault

// Error lists them, a line each.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, fault := range f {
		lines[i] = fmt.Sprintf("%s:%d %s: %s", fault.File, fault.Line, fault.Column, fault.Message)
	}
	return strings.Join(lines, "\n")
}

// Read takes an archive apart. The people come in the order of users.csv. The error is one of the above, or Faults.
func Read(data []byte) ([]Person, error) {
	files, err := unpack(data)
	if err != nil {
		return nil, err
	}
	r := reader{files: files, byID: map[string]int{}, byEmail: map[string]int{}, orgs: map[string]string{}}
	if err := r.manifest(); err != nil {
		return nil, err
	}
	if files["users.csv"] == nil || files["roles.csv"] == nil {
		return nil, ErrMissing
	}
	r.each("orgs.csv", []string{"sourcedId", "name"}, func(row row) { r.orgs[row.get("sourcedId")] = row.get("name") })
	r.each("users.csv", []string{"sourcedId", "enabledUser", "givenName", "familyName", "email"}, r.user)
	r.each("roles.csv", []string{"userSourcedId", "role"}, r.role)
	if len(r.faults) > 0 {
		return nil, r.faults
	}
	return r.people, nil
}

// unpack opens the archive's CSV files, wherever in it they lie, within the limits.
func unpack(data []byte) (map[string][]byte, error) {
	if len(data) > MaxBytes {
		return nil, ErrTooLarge
	}
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, ErrNotArchive
	}
	files, left := map[string][]byte{}, int64(maxUnpacked)
	for _, entry := range archive.File {
		name := entry.Name[strings.LastIndex(entry.Name, "/")+1:]
		if !slices.Contains([]string{"manifest.csv", "users.csv", "orgs.csv", "roles.csv"}, name) {
			continue
		}
		file, err := entry.Open()
		if err != nil {
			return nil, ErrNotArchive
		}
		content, err := io.ReadAll(io.LimitReader(file, left+1)) // what the entry says of its size is not to be trusted
		file.Close()
		if err != nil {
			return nil, ErrNotArchive
		}
		if left -= int64(len(content)); left < 0 {
			return nil, ErrUnpacked
		}
		if content = bytes.TrimPrefix(content, []byte("\xef\xbb\xbf")); !utf8.Valid(content) {
			return nil, ErrEncoding
		}
		files[name] = content
	}
	if files["manifest.csv"] == nil {
		return nil, ErrMissing
	}
	return files, nil
}

// reader goes through the files and gathers people and faults.
type reader struct {
	files   map[string][]byte
	people  []Person
	byID    map[string]int
	byEmail map[string]int
	orgs    map[string]string
	faults  Faults
}

// row is one row of a file with its cells by column name.
type row struct {
	file  string
	line  int
	cells map[string]string
}

func (r row) get(column string) string { return r.cells[column] }

func (r *reader) fault(at row, column, format string, args ...any) {
	if len(r.faults) < mostFaults {
		r.faults = append(r.faults, Fault{at.file, at.line, column, fmt.Sprintf(format, args...)})
	}
}

// each calls fn for every row of a file that has the columns; a file that is not there has no rows.
func (r *reader) each(name string, columns []string, fn func(row)) {
	if r.files[name] == nil {
		return
	}
	lines := csv.NewReader(bytes.NewReader(r.files[name]))
	lines.FieldsPerRecord = -1
	header, err := lines.Read()
	if err != nil {
		r.fault(row{file: name, line: 1}, "", "the row of column names is missing")
		return
	}
	for _, column := range columns {
		if !slices.Contains(header, column) {
			r.fault(row{file: name, line: 1}, column, "the column is missing")
			return
		}
	}
	for count := 0; ; count++ {
		cells, err := lines.Read()
		var parse *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			return
		case errors.As(err, &parse):
			r.fault(row{file: name, line: parse.Line}, "", "the quoting is broken here: a quote inside a quoted cell is written twice")
			return
		case err != nil || count >= maxRows:
			r.fault(row{file: name}, "", "more than %d rows", maxRows)
			return
		}
		line, _ := lines.FieldPos(0)
		at := row{file: name, line: line, cells: map[string]string{}}
		for i, cell := range cells {
			if i < len(header) && utf8.RuneCountInString(cell) <= maxCell {
				at.cells[header[i]] = strings.TrimSpace(cell)
			}
		}
		fn(at)
	}
}

// manifest refuses other versions and files that hold changes only.
func (r *reader) manifest() error {
	said := map[string]string{}
	r.each("manifest.csv", []string{"propertyName", "value"}, func(row row) { said[row.get("propertyName")] = row.get("value") })
	if len(r.faults) > 0 {
		return r.faults
	}
	if said["oneroster.version"] != "1.2" {
		return ErrVersion
	}
	if said["file.users"] == "delta" || said["file.roles"] == "delta" {
		return ErrDelta
	}
	return nil
}

func (r *reader) user(at row) {
	id, email := at.get("sourcedId"), strings.ToLower(at.get("email"))
	name := strings.Join(strings.Fields(at.get("givenName")+" "+at.get("familyName")), " ")
	address, err := mail.ParseAddress(email)
	switch {
	case id == "":
		r.fault(at, "sourcedId", "is required")
		return
	case err != nil || address.Address != email:
		r.fault(at, "email", "%q is no e-mail address: people sign in by it", email)
	case name == "":
		r.fault(at, "familyName", "the person has no name")
	}
	if first, taken := r.byID[id]; taken {
		r.fault(at, "sourcedId", "%s is listed twice, first in line %d", id, r.people[first].Line)
		return
	}
	if first, taken := r.byEmail[email]; taken {
		r.fault(at, "email", "%s is listed twice, first in line %d", email, r.people[first].Line)
	}
	active := strings.EqualFold(at.get("enabledUser"), "true")
	if !active && !strings.EqualFold(at.get("enabledUser"), "false") {
		r.fault(at, "enabledUser", "must be true or false, not %q", at.get("enabledUser"))
	}
	r.byID[id], r.byEmail[email] = len(r.people), len(r.people)
	r.people = append(r.people, Person{SourcedID: id, Email: email, Name: name, Active: active, Line: at.line})
}

func (r *reader) role(at row) {
	person, known := r.byID[at.get("userSourcedId")]
	if !known {
		r.fault(at, "userSourcedId", "users.csv has no user %q", at.get("userSourcedId"))
		return
	}
	role, known := roles[at.get("role")]
	if !known {
		r.fault(at, "role", "%q has no counterpart here: use student (trainee), teacher (faculty), principal (director) or siteAdministrator (coordinator)", at.get("role"))
		return
	}
	term := Role{Role: role, Org: r.orgs[at.get("orgSourcedId")]}
	for _, end := range []struct {
		column string
		day    *competency.Day
	}{{"beginDate", &term.From}, {"endDate", &term.Until}} {
		if text := at.get(end.column); text != "" {
			parsed, err := competency.ParseDay(text)
			if err != nil {
				r.fault(at, end.column, "%v", err)
				return
			}
			*end.day = parsed
		}
	}
	if term.Until != "" && term.Until < term.From {
		r.fault(at, "endDate", "%s is before the beginning, %s", term.Until, term.From)
		return
	}
	r.people[person].Roles = append(r.people[person].Roles, term)
}
