package casefile

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"isthmus/assessment/strict"
	"isthmus/competency"
)

// Entry is one case of a file.
type Entry struct {
	Row     int // in the file, from 1
	Trainee competency.PersonID
	Record  competency.Record
}

// Reading is what a file's cells are read against.
type Reading struct {
	Mapping  Mapping
	Settings competency.Settings
	Today    competency.Day
	Self     competency.PersonID // the trainee of rows that name none
	// Person finds a member of the programme by e-mail address.
	Person func(email string) (competency.PersonID, bool)
	// Drafts reads every row as a draft: it may be unfinished, as in the form.
	Drafts bool
	// Kept, when given, says what the privacy screen may leave in a note: it stands so, with a reason on record, in a case logged before.
	Kept func(note string) []competency.Override
	// Check, when given, says what else is wrong with a row that was read: at places a mistake in the cell of a field.
	Check func(entry Entry, at func(field, message string))
}

// MostFaults bounds how many mistakes are told at once; the rest is counted.
const MostFaults = 500

// Records reads every row as a case. All rows are read whatever is wrong in some; the error is Faults with the cell of every
// mistake, and then no entry may be used.
func (s Sheet) Records(in Reading) ([]Entry, error) {
	if faults := in.Mapping.check(s.Header); len(faults) > 0 {
		return nil, faults
	}
	place := map[string]int{} // field id to column
	for id, name := range in.Mapping {
		place[id] = slices.Index(s.Header, name)
	}
	entries, faults := make([]Entry, 0, len(s.Rows)), Faults{}
	for _, row := range s.Rows {
		entry, wrong := s.entry(row, place, in)
		faults = append(faults, wrong...)
		entries = append(entries, entry)
	}
	if len(faults) > MostFaults {
		more := len(faults) - MostFaults
		faults = append(faults[:MostFaults], Fault{Sheet: s.Name, Cell: "-", Message: fmt.Sprintf("and %d more mistakes: mend these first", more)})
	}
	if len(faults) > 0 {
		return nil, faults
	}
	return entries, nil
}

// entry reads one row and checks it as the form would.
func (s Sheet) entry(row Row, place map[string]int, in Reading) (Entry, Faults) {
	d, faults := draft{}, Faults{}
	at := func(id, message string) {
		column, mapped := place[id]
		fault := Fault{Sheet: s.Name, Cell: fmt.Sprintf("row %d", row.Number), Message: message}
		if mapped {
			fault.Cell, fault.Column = address(column, row.Number), s.Header[column]
		} else if id != "" {
			fault.Message = id + ": " + message
		}
		faults = append(faults, fault)
	}
	unread := map[string]bool{}
	for _, c := range columns {
		cell := ""
		if column, mapped := place[c.ID]; mapped {
			cell = row.Cells[column]
		}
		if err := c.read(&d, cell); err != nil {
			at(c.ID, err.Error())
			unread[c.ID] = true
		}
	}
	entry := Entry{Row: row.Number, Trainee: in.Self}
	if d.trainee != "" {
		id, known := in.Person(d.trainee)
		if !known {
			at("trainee", "no member of the programme has this e-mail address")
		}
		entry.Trainee = id
	}
	if d.supervisor != "" {
		id, known := in.Person(d.supervisor)
		if !known {
			at("supervisor", "no member of the programme has this e-mail address")
			unread["supervisor"] = true
		}
		d.record.Supervisor = id
	}
	d.record.Steps = d.steps(in.Drafts)
	entry.Record = d.record
	check := d.record.Validate
	if in.Drafts {
		check = d.record.ValidateDraft
	}
	var kept []competency.Override
	if in.Kept != nil {
		kept = in.Kept(d.record.Note)
	}
	for _, fault := range check(in.Settings, in.Today, kept...).List {
		if id := d.columnOf(fault); !unread[id] {
			at(id, fault.Message)
		}
	}
	if in.Check != nil {
		in.Check(entry, func(id, message string) {
			if !unread[id] {
				at(id, message)
			}
		})
	}
	return entry, faults
}

// steps puts the performers of the cells into the steps a record has; a draft has none of those nobody is named for.
func (d draft) steps(unfinished bool) []competency.Step {
	wanted := competency.StepsOf(d.record.Lesions, d.record.Appendage)
	steps := make([]competency.Step, 0, len(wanted))
	for i, id := range wanted {
		by := d.appendageBy
		if i < len(d.performers) {
			by = d.performers[i]
		}
		if by != "" || !unfinished {
			steps = append(steps, competency.Step{Step: id, PerformedBy: by})
		}
	}
	return steps
}

// columnOf is the column that holds the field of a fault. Steps stand beside their lesions, but for the appendage's.
func (d draft) columnOf(fault strict.Fault) string {
	path := fault.Field
	if strings.HasPrefix(path, "steps") {
		step := -1
		_, _ = fmt.Sscanf(path, "steps[%d]", &step) // 'steps' alone names the step in its message
		if step >= 0 && step < len(d.record.Steps) && d.record.Steps[step].Step == competency.StepAppendage || strings.Contains(fault.Message, competency.StepAppendage) {
			return "appendage_by"
		}
		return "lesions"
	}
	for _, c := range columns {
		for _, own := range c.paths {
			if own != "" && (path == own || strings.HasPrefix(path, own+".") || strings.HasPrefix(path, own+"[")) {
				return c.ID
			}
		}
	}
	if strings.HasPrefix(path, "af") {
		return "af_continuous_months"
	}
	return ""
}

// readNumber reads a number of 0 or more with a point or a comma; an empty cell is 0.
func readNumber(cell string) (float64, error) {
	if cell == "" {
		return 0, nil
	}
	value, err := strconv.ParseFloat(strings.Replace(cell, ",", ".", 1), 64)
	if err != nil || math.IsNaN(value) || math.IsInf(value, 0) || value < 0 {
		return 0, fmt.Errorf("%q is no number of 0 or more", shorten(cell))
	}
	return value, nil
}
