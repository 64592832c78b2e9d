package api

import (
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/competency/roster"
)

// rosterOf is the body of a roster of some people, or of one newcomer.
func rosterOf(people ...roster.Person) map[string]any {
	if len(people) == 0 {
		people = []roster.Person{person("nia", "Nia Newcomer", "trainee")}
	}
	file, err := roster.Write(roster.Org{SourcedID: "north", Name: "North"}, people)
	if err != nil {
		panic(err)
	}
	return map[string]any{"file": file}
}

func person(id, name string, roles ...string) roster.Person {
	p := roster.Person{SourcedID: id, Email: id + "@example.org", Name: name, Active: true}
	for _, role := range roles {
		p.Roles = append(p.Roles, roster.Role{Role: role, From: "2026-07-01"})
	}
	return p
}

// TestRoster: a dry run keeps nothing; the import gives roles and invites, all or nothing; a link of it works; a second import finds nothing to do.
func TestRoster(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		left := person("gone", "Gone Elsewhere", "faculty")
		left.Active = false
		body := rosterOf(person("nia", "Nia Newcomer", "trainee"), person("kofi", "Kofi", "faculty"), person("ines", "Ines", "trainee"), person("jonas", "Jonas", "faculty"), left)
		before := w.state()
		var report service.RosterReport
		w.as("jonas").do("POST", in("/roster/check"), body).want(200).into(&report)
		w.unchanged(before, "a dry run")
		var does []string
		for _, line := range report.People {
			does = append(does, line.Does)
		}
		if got := strings.Join(does, " "); got != "invite give nothing nothing nothing" || report.Done || len(report.Faults) != 0 {
			t.Fatalf("%s, %+v", got, report)
		}
		w.as("jonas").do("POST", in("/roster"), body).want(200).into(&report)
		if !report.Done || report.People[0].Link == "" {
			t.Fatalf("%+v", report)
		}
		w.accept(report.People[0].Link, 200)
		var members service.List[service.MemberRecord]
		w.as("jonas").do("GET", in("/members"), nil).want(200).into(&members)
		roles := map[string]int{}
		for _, m := range members.Items {
			roles[m.Email] = len(m.Roles)
		}
		if roles["kofi@example.org"] != 2 || roles["nia@example.org"] != 1 || roles["ines@example.org"] != 1 {
			t.Errorf("roles %v", roles)
		}
		w.as("jonas").do("POST", in("/roster"), body).want(200).into(&report)
		for _, line := range report.People {
			if line.Does != "nothing" || line.Says == "" {
				t.Errorf("again: %+v", line)
			}
		}
		for _, who := range []string{"ines", "mei", "ruth", "yuki"} {
			w.as(who).do("POST", in("/roster/check"), body).want(403)
			w.as(who).do("GET", in("/roster"), nil).want(403)
		}
	})
}

// TestRosterRefused: what the coordinator may not give, a broken archive, and that nothing of a file with a mistake is done.
func TestRosterRefused(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		before := w.state()
		body := rosterOf(person("nia", "Nia Newcomer", "trainee"), person("kofi", "Kofi", "director"))
		var report service.RosterReport
		w.as("jonas").do("POST", in("/roster/check"), body).want(200).into(&report)
		if len(report.Faults) != 1 || report.Faults[0].File != "users.csv" || report.Faults[0].Line != 3 {
			t.Errorf("faults %+v", report.Faults)
		}
		got := w.as("jonas").do("POST", in("/roster"), body).want(422)
		if !strings.Contains(string(got.body), "users.csv, line 3, role") {
			t.Errorf("%s", got.body)
		}
		w.as("jonas").do("POST", in("/roster/check"), map[string]any{"file": []byte("no archive")}).want(422)
		w.unchanged(before, "refused rosters")
		w.as("amara").do("POST", in("/roster"), body).want(200)
	})
}

// TestRosterExport: what is exported is read back, and imports nothing new.
func TestRosterExport(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	file := w.as("jonas").do("GET", in("/roster"), nil).want(200)
	people, err := roster.Read(file.body)
	if err != nil || len(people) != 6 {
		t.Fatalf("%d people, %v", len(people), err)
	}
	for _, p := range people {
		if len(p.Roles) == 0 || p.Roles[0].From != competency.Day(joined) || p.Email == "" {
			t.Errorf("%+v", p)
		}
	}
	var report service.RosterReport
	w.as("amara").do("POST", in("/roster/check"), map[string]any{"file": []byte(file.body)}).want(200).into(&report)
	for _, line := range report.People {
		if line.Does != "nothing" {
			t.Errorf("%+v", line)
		}
	}
}
