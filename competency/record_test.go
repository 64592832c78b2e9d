package competency

import (
	"slices"
	"strings"
	"testing"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// sampleRecord is a valid biatrial case of 14 March 2026, performed by the trainee but for the appendage.
func sampleRecord() Record {
	var lesions []atrium.Lesion
	for _, known := range atrium.Catalogue() {
		lesions = append(lesions, atrium.Lesion{Name: known.ID, Energy: atrium.Cryo, Applications: 2, Block: atrium.ExitAndEntrance})
	}
	r := Record{
		Supervisor: "supervisor", Site: "Main site", OperatedOn: "2026-03-14",
		AF:             af.History{ContinuousMonths: 18, Ends: af.DoesNotEnd, RhythmControlPursued: true},
		LeftAtriumBand: "45-49", Operation: "mitral", Approach: "sternotomy", Urgency: "elective", OnBypass: true, LeftAtriumOpened: true,
		Lesions:   lesions,
		Appendage: AppendageDelivered{State: atrium.AppendageExcised, Method: "excision-and-suture", Result: "closed"},
		Events:    []string{},
		Note:      "P2 flail, LA 48 mm; 2 applications at 60 s each.",
	}
	for _, step := range StepsOf(r.Lesions, r.Appendage) {
		r.Steps = append(r.Steps, Step{step, ByTrainee})
	}
	r.Steps[len(r.Steps)-1].PerformedBy = BySupervisor
	return r
}

func TestRecordValidate(t *testing.T) {
	const today = Day("2026-03-20")
	tests := []struct {
		name   string
		change func(*Record)
		fields []string // of the faults, in order; none means valid
	}{
		{"complete", func(*Record) {}, nil},
		{"operated today", func(r *Record) { r.OperatedOn = "2026-03-20" }, nil},
		{"tomorrow", func(r *Record) { r.OperatedOn = "2026-03-21" }, []string{"operated_on"}},
		{"no such day", func(r *Record) { r.OperatedOn = "2026-02-30" }, []string{"operated_on"}},
		{"coarser than the programme keeps", func(r *Record) { r.OperatedOn = "2026-03" }, []string{"operated_on"}},
		{"long ago", func(r *Record) { r.OperatedOn = "1989-12-31" }, []string{"operated_on"}},
		{"no supervisor", func(r *Record) { r.Supervisor = "" }, []string{"supervisor"}},
		{"foreign site", func(r *Record) { r.Site = "Elsewhere" }, []string{"site"}},
		{"contradictory history", func(r *Record) {
			r.AF = af.History{ContinuousMonths: 3, Ends: af.EndsByItself, RhythmControlPursued: true}
		}, []string{"af"}},
		{"unknown band", func(r *Record) { r.LeftAtriumBand = "48" }, []string{"left_atrium_band"}},
		{"unknown words", func(r *Record) { r.Operation, r.Approach, r.Urgency = "Mitral", "robot", "" }, []string{"operation", "approach", "urgency"}},
		{"opened off bypass", func(r *Record) { r.OnBypass = false }, []string{"left_atrium_opened"}},
		{"no energy", func(r *Record) { r.Lesions[3].Energy = "" }, []string{"lesions[3].energy"}},
		{"unknown energy", func(r *Record) { r.Lesions[3].Energy = "laser" }, []string{"lesions[3].energy"}},
		{"unknown lesion", func(r *Record) { r.Lesions[3].Name, r.Steps[3].Step = "floor", "floor" }, []string{"lesions[3].lesion"}},
		{"drawn without a path", func(r *Record) { r.Lesions[3].Name, r.Steps[3].Step = "", "drawn-1" }, []string{"lesions[3].chamber", "lesions[3].path"}},
		{"lesion twice", func(r *Record) { r.Lesions[3].Name = r.Lesions[2].Name }, []string{"lesions[3].lesion", "steps[3].step"}},
		{"appendage unstated", func(r *Record) { r.Appendage = AppendageDelivered{}; r.Steps = r.Steps[:11] }, []string{"left_appendage.state"}},
		{"kept with a method", func(r *Record) { r.Appendage.State = atrium.AppendageKept; r.Steps = r.Steps[:11] }, []string{"left_appendage.state"}},
		{"excised without a result", func(r *Record) { r.Appendage.Result = "" }, []string{"left_appendage.result"}},
		{"suture from inside a closed atrium", func(r *Record) { r.Appendage.Method = "internal-suture"; r.LeftAtriumOpened = false }, []string{"left_appendage.method"}},
		{"step missing", func(r *Record) { r.Steps = r.Steps[1:] }, []string{"steps"}},
		{"step too many", func(r *Record) { r.Steps = append(r.Steps, Step{"drawn-1", ByTrainee}) }, []string{"steps[12].step"}},
		{"step twice", func(r *Record) { r.Steps = append(r.Steps, r.Steps[0]) }, []string{"steps[12].step"}},
		{"performed by nobody known", func(r *Record) { r.Steps[0].PerformedBy = "nurse" }, []string{"steps[0].performed_by"}},
		{"event", func(r *Record) { r.Events = []string{"pacemaker"} }, nil},
		{"unknown event, then twice", func(r *Record) { r.Events = []string{"cold", "stroke", "stroke"} }, []string{"events[0]", "events[2]"}},
		{"long note", func(r *Record) { r.Note = strings.Repeat("x", 2001) }, []string{"note"}},
		{"longest note", func(r *Record) { r.Note = strings.Repeat("é", 2000) }, nil},
		{"note with a name", func(r *Record) { r.Note = "Mr Smith did well" }, []string{"note"}},
		{"nothing at all", func(r *Record) { *r = Record{} }, []string{"supervisor", "site", "operated_on", "af", "left_atrium_band", "operation", "approach", "urgency", "left_appendage.state"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			record := sampleRecord()
			test.change(&record)
			faults := record.Validate(Defaults(), today)
			var fields []string
			for _, fault := range faults.List {
				field := fault.Field
				if strings.HasPrefix(field, "af") {
					field = "af"
				}
				if !slices.Contains(fields, field) {
					fields = append(fields, field)
				}
			}
			if !slices.Equal(fields, test.fields) {
				t.Errorf("faults at %v, want %v:\n%v", fields, test.fields, faults)
			}
		})
	}
}

func TestDraftMayBeUnfinished(t *testing.T) {
	const today = Day("2026-03-20")
	if faults := (Record{}).ValidateDraft(Defaults(), today); faults.Err() != nil {
		t.Errorf("an empty draft has faults: %v", faults)
	}
	wrong := Record{Operation: "robot", OperatedOn: "2026-04-01", Note: "MRN 0048213", Steps: []Step{{"roof-line", "nurse"}}}
	faults := wrong.ValidateDraft(Defaults(), today)
	if len(faults.List) != 4 {
		t.Errorf("a draft with four mistakes has these faults: %v", faults)
	}
}

func TestPrecision(t *testing.T) {
	const today = Day("2026-03-20")
	for precision, good := range map[Precision]string{PrecisionDay: "2026-03-14", PrecisionWeek: "2026-W11", PrecisionMonth: "2026-03"} {
		settings := Defaults()
		settings.DatePrecision = precision
		for _, date := range []string{"2026-03-14", "2026-W11", "2026-03"} {
			record := sampleRecord()
			record.OperatedOn = date
			if faults := record.Validate(settings, today); (faults.Err() == nil) != (date == good) {
				t.Errorf("at precision %s the date %s gives %v", precision, date, faults)
			}
		}
		if got := Coarsen("2026-03-14", precision); got != good {
			t.Errorf("Coarsen to %s = %s, want %s", precision, got, good)
		}
	}
}

func TestDrawnLesionsHaveSteps(t *testing.T) {
	lesions := []atrium.Lesion{{Chamber: atrium.LeftAtrium}, {Name: atrium.RoofLine}, {Chamber: atrium.RightAtrium}}
	got := StepsOf(lesions, AppendageDelivered{State: atrium.AppendageExcluded})
	if want := []string{"drawn-1", "roof-line", "drawn-2", StepAppendage}; !slices.Equal(got, want) {
		t.Errorf("StepsOf = %v, want %v", got, want)
	}
	if got := StepsOf(nil, AppendageDelivered{State: atrium.AppendageKept}); len(got) != 0 {
		t.Errorf("StepsOf nothing = %v", got)
	}
}

func TestSettingsValidate(t *testing.T) {
	if faults := Defaults().Validate(); faults.Err() != nil {
		t.Errorf("the defaults have faults: %v", faults)
	}
	bad := Settings{Sites: []string{"A", "A", " B"}, DatePrecision: "year", RoleRule: RoleRule{KeySteps: []string{"roof"}, ShareOfSteps: 2}}
	var fields []string
	for _, fault := range bad.Validate().List {
		fields = append(fields, fault.Field)
	}
	want := []string{"sites[1]", "sites[2]", "date_precision", "late_recall_days", "role_rule.version", "role_rule.key_steps[0]", "role_rule.share_of_steps"}
	if !slices.Equal(fields, want) {
		t.Errorf("faults at %v, want %v", fields, want)
	}
}
