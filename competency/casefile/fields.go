package casefile

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/competency"
)

// Field is one thing a column can hold. ID is also the column's name in the template.
type Field struct {
	ID       string `json:"id"`
	Explains string `json:"explains"`
	Required bool   `json:"required"` // of a case that is to be submitted
}

// draft is a record being read, with the e-mail addresses and performers that stand in other cells.
type draft struct {
	record      competency.Record
	trainee     string
	supervisor  string
	performers  []competency.Performer // of the lesions
	appendageBy competency.Performer
}

// column is a field with how its cell is read into a draft and written out of one. paths are the record's fields it stands for.
type column struct {
	Field
	paths []string
	read  func(d *draft, cell string) error
	write func(d draft) string
}

// text is a column that copies a string.
func text(id, explains string, required bool, path string, at func(d *draft) *string) column {
	return column{
		Field{id, explains, required}, []string{path},
		func(d *draft, cell string) error { *at(d) = cell; return nil },
		func(d draft) string { return *at(&d) },
	}
}

// yesNo is a column of yes and no.
func yesNo(id, explains, path string, at func(d *draft) *bool) column {
	return column{
		Field{id, explains + " (yes or no)", true}, []string{path},
		func(d *draft, cell string) error {
			switch strings.ToLower(cell) {
			case "yes", "y", "true", "1":
				*at(d) = true
			case "no", "n", "false", "0", "":
				*at(d) = false
			default:
				return fmt.Errorf("%q is neither yes nor no", shorten(cell))
			}
			return nil
		},
		func(d draft) string {
			if *at(&d) {
				return "yes"
			}
			return "no"
		},
	}
}

// quantity is a column of a number of 0 or more; an empty cell is 0.
func quantity(id, explains, path string, at func(d *draft) *float64) column {
	return column{
		Field{id, explains, false}, []string{path},
		func(d *draft, cell string) (err error) { *at(d), err = readNumber(cell); return err },
		func(d draft) string { return number(*at(&d)) },
	}
}

func ids(list []competency.Choice) string {
	names := make([]string, len(list))
	for i, choice := range list {
		names[i] = choice.ID
	}
	return strings.Join(names, ", ")
}

// columns are all fields in the order of the template.
var columns = []column{
	text("trainee", "e-mail address of the trainee; empty for the person who imports", false, "", func(d *draft) *string { return &d.trainee }),
	text("operated_on", "date of the operation, no more exact than the programme keeps it: 2026-03-14, 2026-W11 or 2026-03", true, "operated_on", func(d *draft) *string { return &d.record.OperatedOn }),
	text("site", "a site of the programme", true, "site", func(d *draft) *string { return &d.record.Site }),
	text("supervisor", "e-mail address of the supervising faculty member", true, "supervisor", func(d *draft) *string { return &d.supervisor }),
	text("operation", "one of "+ids(competency.Operations), true, "operation", func(d *draft) *string { return &d.record.Operation }),
	text("approach", "one of "+ids(competency.Approaches), true, "approach", func(d *draft) *string { return &d.record.Approach }),
	text("urgency", "one of "+ids(competency.Urgencies), true, "urgency", func(d *draft) *string { return &d.record.Urgency }),
	yesNo("on_bypass", "on cardiopulmonary bypass", "on_bypass", func(d *draft) *bool { return &d.record.OnBypass }),
	yesNo("left_atrium_opened", "left atrium opened", "left_atrium_opened", func(d *draft) *bool { return &d.record.LeftAtriumOpened }),
	text("left_atrium_band", "diameter of the left atrium in mm: one of "+ids(competency.LeftAtriumBands), true, "left_atrium_band", func(d *draft) *string { return &d.record.LeftAtriumBand }),
	quantity("af_continuous_months", "months of AF without a break until the operation; 0 when it comes and goes", "af.continuous_months", func(d *draft) *float64 { return &d.record.AF.ContinuousMonths }),
	quantity("af_longest_episode_days", "longest episode in days; 0 when only the continuous AF is known", "af.longest_episode_days", func(d *draft) *float64 { return &d.record.AF.LongestEpisodeDays }),
	text("af_ends", "how the longest episode ended: by-itself, by-cardioversion, does-not-end", true, "af.ends", func(d *draft) *string { return (*string)(&d.record.AF.Ends) }),
	yesNo("rhythm_control_pursued", "rhythm control still pursued", "af.rhythm_control_pursued", func(d *draft) *bool { return &d.record.AF.RhythmControlPursued }),
	{Field{"lesions", "one entry a lesion, parted by semicolons: roof-line, bipolar-rf, x2, block exit, by trainee", false}, []string{"lesions", "steps"},
		func(d *draft, cell string) error {
			list, err := readLesions(cell)
			for _, one := range list {
				d.record.Lesions = append(d.record.Lesions, one.lesion)
				d.performers = append(d.performers, one.by)
			}
			return err
		},
		func(d draft) string { return writeLesions(d.record.Lesions, d.performers) }},
	text("appendage_state", "what was done with the left appendage: kept, excised, excluded", true, "left_appendage.state", func(d *draft) *string { return (*string)(&d.record.Appendage.State) }),
	text("appendage_method", "one of "+ids(competency.AppendageMethods)+"; empty when kept", false, "left_appendage.method", func(d *draft) *string { return &d.record.Appendage.Method }),
	text("appendage_result", "one of "+ids(competency.AppendageResults)+"; empty when kept", false, "left_appendage.result", func(d *draft) *string { return &d.record.Appendage.Result }),
	text("appendage_by", "who handled the appendage: "+ids(competency.Performers)+"; empty when kept", false, "steps", func(d *draft) *string { return (*string)(&d.appendageBy) }),
	{Field{"events", "events up to 30 days, parted by semicolons: none, or of " + ids(competency.Events), true}, []string{"events"},
		readEvents, func(d draft) string {
			if len(d.record.Events) == 0 {
				return "none"
			}
			return strings.Join(d.record.Events, "; ")
		}},
	text("note", "a note without anything that names a patient", false, "note", func(d *draft) *string { return &d.record.Note }),
}

func readEvents(d *draft, cell string) error {
	d.record.Events = []string{}
	for event := range strings.SplitSeq(cell, ";") {
		if event = strings.TrimSpace(event); event != "" && event != "none" {
			d.record.Events = append(d.record.Events, event)
		}
	}
	return nil
}

// Fields lists what a column can hold, in the order of the template.
func Fields() []Field {
	list := make([]Field, len(columns))
	for i, c := range columns {
		list[i] = c.Field
	}
	return list
}

// Mapping says which column of a file holds which field: field id to column name. A field without a column stays empty.
type Mapping map[string]string

// Guess maps the columns of a file whose names are those of the template, whatever their case, spaces and hyphens.
func Guess(header []string) Mapping {
	m := Mapping{}
	for _, c := range columns {
		for _, name := range header {
			if _, taken := m[c.ID]; !taken && plain(name) == c.ID {
				m[c.ID] = name
			}
		}
	}
	return m
}

func plain(name string) string {
	return strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(strings.TrimSpace(name)))
}

// check reports a mapping that names unknown fields or columns, or one column twice.
func (m Mapping) check(header []string) Faults {
	var faults Faults
	for _, c := range columns {
		name, mapped := m[c.ID]
		if mapped && !slices.Contains(header, name) {
			faults = append(faults, Fault{Cell: "1", Column: name, Message: fmt.Sprintf("the file has no column of this name for %s", c.ID)})
		}
	}
	for id := range m {
		if !slices.ContainsFunc(columns, func(c column) bool { return c.ID == id }) {
			faults = append(faults, Fault{Cell: "1", Column: m[id], Message: fmt.Sprintf("%q is no field of a case", id)})
		}
	}
	slices.SortFunc(faults, func(a, b Fault) int { return strings.Compare(a.Column+a.Message, b.Column+b.Message) })
	return faults
}
