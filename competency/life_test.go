package competency

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"isthmus/assessment/strict"
)

var march20 = time.Date(2026, time.March, 20, 9, 30, 0, 123_456_789, time.UTC)

// supervisor is the named supervisor of sampleRecord, faculty since 2020.
var supervisor = Signer{ID: "supervisor", Name: "A. Supervisor", Faculty: []Term{{From: "2020-01-01"}}}

func goodStatement(r Record) Statement {
	return Statement{Steps: r.Steps, HelpGiven: 4, SupervisionNext: 3, ComplicationsAgreed: true, Keep: "clean rings", Change: "slower on the floor line"}
}

// submitted is sampleRecord's case on the supervisor's desk.
func submitted(t interface{ Fatal(...any) }) Case {
	draft, err := NewCase("case", "programme", "trainee", sampleRecord(), Defaults(), march20)
	if err != nil {
		t.Fatal(err)
	}
	role, reason := RoleOf(draft.Record.Steps, DefaultRoleRule())
	c, err := Submit(draft, Computed{Role: role, RoleReason: reason}, Defaults(), march20)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestLifeOfACase(t *testing.T) {
	c := submitted(t)
	if c.Status != CaseSubmitted || c.Version != 1 || c.Revision != 2 || c.ContentHash != ContentHash(c.Record) || c.SubmittedAt != march20.Truncate(time.Microsecond) {
		t.Errorf("after submission: %+v", c)
	}
	c, err := Return(c, "supervisor", "the floor line is missing", march20)
	if err != nil || c.Status != CaseReturned || c.Version != 1 {
		t.Fatalf("after return: %+v, %v", c, err)
	}
	record := c.Record
	record.Note = "floor line added"
	c, err = EditDraft(c, record, Defaults(), march20)
	if err != nil || c.Status != CaseReturned || c.Computed != nil || c.ContentHash != "" {
		t.Fatalf("after edit: %+v, %v", c, err)
	}
	c, err = Submit(c, Computed{Role: RolePrimary}, Defaults(), march20.AddDate(0, 0, 1))
	if err != nil || c.Version != 2 {
		t.Fatalf("after resubmission: %+v, %v", c, err)
	}
	c, signed, err := SignOffCase(c, supervisor, goodStatement(c.Record), Defaults(), march20.AddDate(0, 0, 2))
	if err != nil || c.Status != CaseSignedOff {
		t.Fatalf("after sign-off: %+v, %v", c, err)
	}
	want := SignOff{
		Case: "case", CaseVersion: 2, ContentHash: ContentHash(c.Record), Assessor: "supervisor", AssessorName: "A. Supervisor", Meaning: SignOffMeaning,
		Statement: goodStatement(c.Record), Role: RolePrimary, RoleReason: "the trainee performed all 9 key steps that were done and 11 of 12 steps (role rule 1)",
		RoleClaimed: RolePrimary, AgeDays: 8, SignedAt: march20.AddDate(0, 0, 2).Truncate(time.Microsecond),
	}
	if diff := cmp.Diff(want, signed); diff != "" {
		t.Errorf("the sign-off differs (-want +got):\n%s", diff)
	}
	c, err = Withdraw(c, "wrong operation entered", march20.AddDate(0, 0, 3))
	if err != nil || c.Status != CaseWithdrawn || c.Record.Note != "floor line added" || c.Revision != 7 {
		t.Errorf("after withdrawal: %+v, %v", c, err)
	}
}

// inState is a case in each state.
func inState(t *testing.T, status CaseStatus) Case {
	t.Helper()
	c := submitted(t)
	c.Status = status
	return c
}

func TestRefusedTransitions(t *testing.T) {
	acts := map[string]func(Case) error{
		"edit":   func(c Case) error { _, err := EditDraft(c, c.Record, Defaults(), march20); return err },
		"submit": func(c Case) error { _, err := Submit(c, Computed{}, Defaults(), march20); return err },
		"return": func(c Case) error {
			_, err := Return(c, "supervisor", "the floor line is missing", march20)
			return err
		},
		"sign": func(c Case) error {
			_, _, err := SignOffCase(c, supervisor, goodStatement(c.Record), Defaults(), march20)
			return err
		},
		"withdraw": func(c Case) error { _, err := Withdraw(c, "entered twice", march20); return err },
	}
	for _, test := range []struct {
		act    string
		status CaseStatus
		want   error
	}{
		{"edit", CaseDraft, nil}, {"edit", CaseReturned, nil}, {"edit", CaseSubmitted, ErrNotDraft}, {"edit", CaseSignedOff, ErrAlreadySignedOff}, {"edit", CaseWithdrawn, ErrWithdrawn},
		{"submit", CaseDraft, nil}, {"submit", CaseReturned, nil}, {"submit", CaseSubmitted, ErrNotDraft}, {"submit", CaseSignedOff, ErrAlreadySignedOff}, {"submit", CaseWithdrawn, ErrWithdrawn},
		{"return", CaseDraft, ErrNotSubmitted}, {"return", CaseReturned, ErrNotSubmitted}, {"return", CaseSubmitted, nil}, {"return", CaseSignedOff, ErrAlreadySignedOff}, {"return", CaseWithdrawn, ErrWithdrawn},
		{"sign", CaseDraft, ErrNotSubmitted}, {"sign", CaseReturned, ErrNotSubmitted}, {"sign", CaseSubmitted, nil}, {"sign", CaseSignedOff, ErrAlreadySignedOff}, {"sign", CaseWithdrawn, ErrWithdrawn},
		{"withdraw", CaseDraft, nil}, {"withdraw", CaseReturned, nil}, {"withdraw", CaseSubmitted, nil}, {"withdraw", CaseSignedOff, nil}, {"withdraw", CaseWithdrawn, ErrWithdrawn},
	} {
		if err := acts[test.act](inState(t, test.status)); !errors.Is(err, test.want) {
			t.Errorf("%s a case that is %s gives %v, want %v", test.act, test.status, err, test.want)
		}
	}
}

func TestWhoMaySign(t *testing.T) {
	c := submitted(t)
	own := c
	own.Record.Supervisor, own.ContentHash = c.Trainee, ""
	changed := c
	changed.Record.Note = "something else"
	for _, test := range []struct {
		name string
		c    Case
		by   Signer
		want error
	}{
		{"the trainee", c, Signer{ID: "trainee", Faculty: supervisor.Faculty}, ErrSelfSignOff},
		{"the trainee, named as supervisor", own, Signer{ID: "trainee", Faculty: supervisor.Faculty}, ErrSelfSignOff},
		{"another faculty member", c, Signer{ID: "other", Faculty: supervisor.Faculty}, ErrNotSupervisor},
		{"nobody", c, Signer{}, ErrNotSupervisor},
		{"never faculty", c, Signer{ID: "supervisor"}, ErrNotFacultyThen},
		{"faculty later", c, Signer{ID: "supervisor", Faculty: []Term{{From: "2026-03-15"}}}, ErrNotFacultyThen},
		{"faculty earlier", c, Signer{ID: "supervisor", Faculty: []Term{{From: "2020-01-01", Until: "2026-03-13"}}}, ErrNotFacultyThen},
		{"faculty until that day", c, Signer{ID: "supervisor", Faculty: []Term{{From: "2020-01-01", Until: "2026-03-14"}}}, nil},
		{"faculty in a second term", c, Signer{ID: "supervisor", Faculty: []Term{{From: "2020-01-01", Until: "2021-01-01"}, {From: "2026-01-01"}}}, nil},
		{"content changed under the signature", changed, supervisor, ErrContentChanged},
	} {
		if _, _, err := SignOffCase(test.c, test.by, goodStatement(test.c.Record), Defaults(), march20); !errors.Is(err, test.want) {
			t.Errorf("%s: %v, want %v", test.name, err, test.want)
		}
	}
	if _, err := Return(c, "trainee", "not good enough", march20); !errors.Is(err, ErrSelfSignOff) {
		t.Errorf("the trainee returns the case: %v", err)
	}
	if _, err := Return(c, "other", "not good enough", march20); !errors.Is(err, ErrNotSupervisor) {
		t.Errorf("another faculty member returns the case: %v", err)
	}
}

func TestStatementValidate(t *testing.T) {
	record := sampleRecord()
	for _, test := range []struct {
		name   string
		change func(*Statement)
		fields string
	}{
		{"good", func(*Statement) {}, ""},
		{"scales", func(s *Statement) { s.HelpGiven, s.SupervisionNext = 0, 6 }, "help_given supervision_next"},
		{"comments missing", func(s *Statement) { s.Keep, s.Change = " ", "" }, "keep change"},
		{"comment too long", func(s *Statement) { s.Change = strings.Repeat("x", 501) }, "change"},
		{"comment names someone", func(s *Statement) { s.Keep = "thank Dr Smith" }, "keep"},
		{"step missing", func(s *Statement) { s.Steps = s.Steps[1:] }, "steps"},
		{"step foreign", func(s *Statement) { s.Steps = append(s.Steps[:11:11], Step{"drawn-1", ByTrainee}) }, "steps[11].step steps"},
		{"performer unknown", func(s *Statement) { s.Steps = append([]Step{{"roof-line", ""}}, s.Steps[1:]...) }, "steps[0].performed_by steps[2].step steps"},
	} {
		statement := goodStatement(record)
		test.change(&statement)
		var fields []string
		for _, fault := range statement.Validate(record).List {
			fields = append(fields, fault.Field)
		}
		if got := strings.Join(fields, " "); got != test.fields {
			t.Errorf("%s: faults at %q, want %q", test.name, got, test.fields)
		}
	}
}

// TestLateRecall: the age counts to the latest day the operation can have been on, so a coarse date alone never makes a sign-off late.
func TestLateRecall(t *testing.T) {
	for _, test := range []struct {
		precision Precision
		date      string
		signed    Day
		age       int
		late      bool
	}{
		{PrecisionDay, "2026-03-14", "2026-03-14", 0, false}, {PrecisionDay, "2026-03-14", "2026-03-28", 14, false}, {PrecisionDay, "2026-03-14", "2026-03-29", 15, true},
		{PrecisionMonth, "2026-03", "2026-04-03", 14, false}, {PrecisionMonth, "2026-02", "2026-03-20", 20, true}, {PrecisionWeek, "2026-W11", "2026-03-29", 14, false},
	} {
		settings := Defaults()
		settings.DatePrecision = test.precision
		record := sampleRecord()
		record.OperatedOn = test.date
		c, err := NewCase("case", "programme", "trainee", record, settings, Day("2026-03-20").Start())
		if err != nil {
			t.Fatal(err)
		}
		if test.signed > "2026-03-20" || test.precision != PrecisionDay {
			c, err = Submit(c, Computed{}, settings, Day("2026-03-20").Start())
		} else {
			c, err = Submit(c, Computed{}, settings, Day(test.signed).Start())
		}
		if err != nil {
			t.Fatal(err)
		}
		_, signed, err := SignOffCase(c, supervisor, goodStatement(record), settings, test.signed.Start())
		if err != nil || signed.AgeDays != test.age || signed.LateRecall != test.late {
			t.Errorf("%s signed on %s: age %d, late %v, %v; want %d, %v", test.date, test.signed, signed.AgeDays, signed.LateRecall, err, test.age, test.late)
		}
	}
}

func TestReasons(t *testing.T) {
	for reason, want := range map[string]bool{"": false, "  ": false, "no": false, "entered twice": true, "of Mr Smith": false, strings.Repeat("x", 501): false} {
		err := CheckReason(reason)
		if (err == nil) != want {
			t.Errorf("CheckReason(%.20q) = %v", reason, err)
		}
		var faults strict.Faults
		if missing := strings.TrimSpace(reason) == ""; errors.Is(err, ErrReasonMissing) != missing || !missing && !want && !errors.As(err, &faults) {
			t.Errorf("CheckReason(%.20q) is %T", reason, err)
		}
	}
	if _, err := Return(submitted(t), "supervisor", "", march20); !errors.Is(err, ErrReasonMissing) {
		t.Errorf("a return without a reason gives %v", err)
	}
	if _, err := Withdraw(submitted(t), "", march20); !errors.Is(err, ErrReasonMissing) {
		t.Errorf("a withdrawal without a reason gives %v", err)
	}
}

// TestRefusalsChangeNothing walks random acts: a refused act leaves the case as it was, and after sign-off only withdrawal does anything.
func TestRefusalsChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := submitted(t)
		for range rapid.IntRange(1, 12).Draw(t, "acts") {
			before := c
			var err error
			by := rapid.SampledFrom([]PersonID{"trainee", "supervisor", "other"}).Draw(t, "by")
			switch rapid.IntRange(0, 4).Draw(t, "act") {
			case 0:
				c, err = EditDraft(c, sampleRecord(), Defaults(), march20)
			case 1:
				c, err = Submit(c, Computed{Role: RolePrimary}, Defaults(), march20)
			case 2:
				c, err = Return(c, by, rapid.SampledFrom([]string{"", "look again"}).Draw(t, "reason"), march20)
			case 3:
				signer := supervisor
				signer.ID = by
				c, _, err = SignOffCase(c, signer, goodStatement(c.Record), Defaults(), march20)
			case 4:
				c, err = Withdraw(c, "", march20)
			}
			if err != nil && !cmp.Equal(before, c) {
				t.Fatalf("a refused act (%v) changed the case", err)
			}
			if err == nil && c.Revision != before.Revision+1 {
				t.Fatalf("revision went from %d to %d", before.Revision, c.Revision)
			}
			if before.Status == CaseSignedOff && err == nil {
				t.Fatal("something changed after sign-off")
			}
		}
	})
}

func TestContentHash(t *testing.T) {
	record := sampleRecord()
	same := record
	same.Events, same.Note = nil, record.Note+"\n"
	if ContentHash(record) != ContentHash(same) {
		t.Error("a missing list and an empty one hash apart")
	}
	other := record
	other.OperatedOn = "2026-03-13"
	if ContentHash(record) == ContentHash(other) {
		t.Error("another day hashes the same")
	}
}

// TestStatementOfEvents: the trainee's events are agreed, or corrected by another list; what was stated before that was asked stays readable.
func TestStatementOfEvents(t *testing.T) {
	r := sampleRecord()
	r.Events = []string{"stroke", "pacemaker"}
	for _, test := range []struct {
		name   string
		agreed bool
		events []string
		want   string // the field of the fault
	}{
		{"agreed", true, nil, ""},
		{"agreed and corrected", true, []string{}, "events"},
		{"neither", false, nil, "events"},
		{"none happened", false, []string{}, ""},
		{"another", false, []string{"stroke"}, ""},
		{"the trainee's own in another order", false, []string{"pacemaker", "stroke"}, "events"},
		{"unknown", false, []string{"hiccup"}, "events[0]"},
		{"twice", false, []string{"stroke", "stroke"}, "events[1]"},
	} {
		s := goodStatement(r)
		s.ComplicationsAgreed, s.Events = test.agreed, test.events
		faults := s.Validate(r)
		if got := strings.Join(fieldsOf(faults), " "); got != test.want {
			t.Errorf("%s: faults %q, not %q: %v", test.name, got, test.want, faults)
		}
	}
	bytes, err := json.Marshal(goodStatement(r))
	if err != nil || strings.Contains(string(bytes), "events") {
		t.Errorf("an agreed statement has changed its bytes: %s %v", bytes, err)
	}
}

func fieldsOf(faults strict.Faults) (fields []string) {
	for _, fault := range faults.List {
		fields = append(fields, fault.Field)
	}
	return fields
}
