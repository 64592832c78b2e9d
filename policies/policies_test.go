package policies

import (
	"slices"
	"sync"
	"testing"
)

func newAuthorizer(t testing.TB) *Authorizer {
	t.Helper()
	a, err := New()
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// TestEveryWordIsKnown keeps a misspelt word from being a rule that silently never matches.
func TestEveryWordIsKnown(t *testing.T) {
	lines, err := rules()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range lines {
		var known bool
		switch {
		case line[0] == "p" && len(line) == 5:
			known = slices.Contains(Roles(), Role(line[1])) && slices.Contains(Objects(), Object(line[2])) &&
				slices.Contains(Actions(), Action(line[3])) && slices.Contains(Relations(), Relation(line[4]))
		case line[0] == "g" && len(line) == 3:
			known = slices.Contains(Roles(), Role(line[1])) && slices.Contains(Roles(), Role(line[2]))
		case line[0] == "g2" && len(line) == 3:
			known = slices.Contains(Relations(), Relation(line[1])) && slices.Contains(Relations(), Relation(line[2]))
		}
		if !known {
			t.Errorf("policy.csv: %q has a word that is in no list, or too few or too many", line)
		}
	}
}

// TestEveryWordIsUsed finds words that no rule speaks of.
func TestEveryWordIsUsed(t *testing.T) {
	lines, err := rules()
	if err != nil {
		t.Fatal(err)
	}
	used := map[string]bool{}
	for _, line := range lines {
		for i, word := range line[1:] {
			used[string(rune('0'+i))+word] = true
		}
	}
	for _, object := range Objects() {
		if !used["1"+string(object)] {
			t.Errorf("no rule for object %s", object)
		}
	}
	for _, action := range Actions() {
		if !used["2"+string(action)] {
			t.Errorf("no rule for action %s", action)
		}
	}
	for _, role := range Roles() {
		if !used["0"+string(role)] {
			t.Errorf("no rule and no link for role %s", role)
		}
	}
}

func TestAllowed(t *testing.T) {
	a := newAuthorizer(t)
	for _, c := range []struct {
		name     string
		roles    []Role
		object   Object
		action   Action
		relation Relation
		want     bool
	}{
		{"trainee reads own case", []Role{Trainee}, Case, Read, Own, true},
		{"trainee reads another's case", []Role{Trainee}, Case, Read, InProgramme, false},
		{"trainee signs off own case", []Role{Trainee}, Case, SignOff, Own, false},
		{"supervisor signs off", []Role{Faculty}, Case, SignOff, Supervised, true},
		{"other faculty signs off", []Role{Faculty}, Case, SignOff, InProgramme, false},
		{"faculty who is also the trainee signs off", []Role{Trainee, Faculty}, Case, SignOff, Own, false},
		{"director signs off", []Role{Director}, Case, SignOff, InProgramme, false},
		{"director who is the supervisor but not faculty", []Role{Director}, Case, SignOff, Supervised, false},
		{"director who is faculty and the supervisor", []Role{Director, Faculty}, Case, SignOff, Supervised, true},
		{"coordinator lists cases", []Role{Coordinator}, Case, List, InProgramme, true},
		{"coordinator opens a case", []Role{Coordinator}, Case, Read, InProgramme, false},
		{"committee reads evidence", []Role{Committee}, Case, Read, InProgramme, true},
		{"reviewer reads the evidence of a chosen trainee", []Role{Reviewer}, Case, Read, Reviewed, true},
		{"reviewer reads the evidence of another", []Role{Reviewer}, Case, Read, InProgramme, false},
		{"reviewer reads a draft of a chosen trainee", []Role{Reviewer}, Draft, Read, Reviewed, false},
		{"reviewer reads the cohort with names", []Role{Reviewer}, Cohort, Read, InProgramme, false},
		{"committee reads a draft", []Role{Committee}, Draft, Read, InProgramme, false},
		{"supervisor reads a draft", []Role{Faculty}, Draft, Read, Supervised, false},
		{"reviewer reads the audit trail", []Role{Reviewer}, Audit, List, InProgramme, false},
		{"trainee reads a scenario with its answers", []Role{Trainee}, Edition, Read, InProgramme, false},
		{"committee lists drafts", []Role{Committee}, Edition, List, InProgramme, false},
		{"faculty approves", []Role{Faculty}, Edition, Approve, InProgramme, true},
		{"operator reads a standing", []Role{Operator}, Standing, Read, InProgramme, false},
		{"operator reads the programme", []Role{Operator}, Programme, Read, InProgramme, false},
		{"visitor signs in", []Role{Visitor}, Session, Create, Anywhere, true},
		{"visitor reads the catalogue", []Role{Visitor}, Catalogue, Read, Anywhere, false},
		{"no role", nil, Session, Create, Anywhere, false},
		{"unknown role", []Role{"surgeon"}, Case, Read, Own, false},
		{"unknown action", []Role{Director}, Case, "burn", InProgramme, false},
	} {
		if got := a.Allowed(c.roles, c.object, c.action, c.relation); got != c.want {
			t.Errorf("%s: Allowed(%v, %s, %s, %s) = %v, want %v", c.name, c.roles, c.object, c.action, c.relation, got, c.want)
		}
	}
}

func TestScope(t *testing.T) {
	a := newAuthorizer(t)
	for _, c := range []struct {
		roles []Role
		want  []Relation
	}{
		{[]Role{Trainee}, []Relation{Own}},
		{[]Role{Trainee, Faculty}, []Relation{Own, Supervised}},
		{[]Role{Faculty, Director}, []Relation{InProgramme}},
		{[]Role{Reviewer}, nil},
		{nil, nil},
	} {
		if got := a.Scope(c.roles, Case, List); !slices.Equal(got, c.want) {
			t.Errorf("Scope(%v, case, list) = %v, want %v", c.roles, got, c.want)
		}
	}
}

func TestAllowedIsSafeForConcurrentUse(t *testing.T) {
	a := newAuthorizer(t)
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			for _, role := range Roles() {
				for _, object := range Objects() {
					a.Allowed([]Role{role}, object, Read, Own)
				}
			}
		})
	}
	wait.Wait()
}

func BenchmarkAllowed(b *testing.B) {
	a := newAuthorizer(b)
	roles := []Role{Faculty, Director}
	for b.Loop() {
		a.Allowed(roles, Case, SignOff, Supervised)
	}
}
