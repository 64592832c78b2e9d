package roster_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"testing"

	"isthmus/competency"
	"isthmus/competency/roster"

	"pgregory.net/rapid"
)

// archive packs files as given; a manifest of the right version is added unless one is there.
func archive(files map[string]string) []byte {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	if _, given := files["manifest.csv"]; !given {
		files["manifest.csv"] = "propertyName,value\nmanifest.version,1.0\noneroster.version,1.2\nfile.users,bulk\nfile.roles,bulk\n"
	}
	for name, content := range files {
		w, _ := z.Create(name)
		_, _ = w.Write([]byte(content))
	}
	_ = z.Close()
	return out.Bytes()
}

const (
	users = "sourcedId,status,dateLastModified,enabledUser,username,givenName,familyName,email\n" +
		"u1,,,true,a,Ada,Lind,Ada.Lind@example.org\nu2,,,false,b,Bo,Ray,bo@example.org\n"
	roles = "sourcedId,userSourcedId,roleType,role,beginDate,endDate,orgSourcedId\n" +
		"r1,u1,primary,teacher,2025-01-01,,o1\nr2,u1,secondary,principal,2026-01-01,2026-12-31,o1\nr3,u2,primary,student,,,o1\n"
)

// TestRead takes files of the shape the standard gives (OneRoster 1.2 CSV binding, 1EdTech; the column names are from memory).
func TestRead(t *testing.T) {
	people, err := roster.Read(archive(map[string]string{"users.csv": users, "roles.csv": roles, "orgs.csv": "sourcedId,name,type\no1,Cardiac surgery,department\n", "demographics.csv": "x\n"}))
	if err != nil {
		t.Fatal(err)
	}
	want := []roster.Person{
		{SourcedID: "u1", Email: "ada.lind@example.org", Name: "Ada Lind", Active: true, Line: 2, Roles: []roster.Role{
			{Role: "faculty", From: "2025-01-01", Org: "Cardiac surgery"}, {Role: "director", From: "2026-01-01", Until: "2026-12-31", Org: "Cardiac surgery"}}},
		{SourcedID: "u2", Email: "bo@example.org", Name: "Bo Ray", Line: 3, Roles: []roster.Role{{Role: "trainee", Org: "Cardiac surgery"}}},
	}
	if !reflect.DeepEqual(people, want) {
		t.Errorf("%+v, want %+v", people, want)
	}
}

func TestFaults(t *testing.T) {
	_, err := roster.Read(archive(map[string]string{
		"users.csv": "sourcedId,enabledUser,givenName,familyName,email\nu1,true,Ada,Lind,ada@example.org\nu1,true,Bo,Ray,bo@example.org\nu3,perhaps,,,nobody\n",
		"roles.csv": "userSourcedId,role,beginDate,endDate\nu9,student,,\nu1,guardian,,\nu1,student,2026-02-30,\nu1,student,2026-02-02,2026-02-01\n",
	}))
	var faults roster.Faults
	if !errors.As(err, &faults) {
		t.Fatal(err)
	}
	got := map[string]bool{}
	for _, f := range faults {
		got[fmt.Sprintf("%s:%d %s", f.File, f.Line, f.Column)] = true
	}
	for _, want := range []string{"users.csv:3 sourcedId", "users.csv:4 email", "users.csv:4 enabledUser", "roles.csv:2 userSourcedId", "roles.csv:3 role", "roles.csv:4 beginDate", "roles.csv:5 endDate"} {
		if !got[want] {
			t.Errorf("no fault at %s: %v", want, faults)
		}
	}
}

func TestRefused(t *testing.T) {
	bomb := archive(map[string]string{"users.csv": string(bytes.Repeat([]byte("a"), 60<<20)), "roles.csv": roles})
	for name, test := range map[string]struct {
		data []byte
		want error
	}{
		"no zip":   {[]byte("sourcedId"), roster.ErrNotArchive},
		"large":    {make([]byte, roster.MaxBytes+1), roster.ErrTooLarge},
		"bomb":     {bomb, roster.ErrUnpacked},
		"no users": {archive(map[string]string{"roles.csv": roles}), roster.ErrMissing},
		"version":  {archive(map[string]string{"manifest.csv": "propertyName,value\noneroster.version,1.1\n", "users.csv": users, "roles.csv": roles}), roster.ErrVersion},
		"delta":    {archive(map[string]string{"manifest.csv": "propertyName,value\noneroster.version,1.2\nfile.users,delta\n", "users.csv": users, "roles.csv": roles}), roster.ErrDelta},
		"latin-1":  {archive(map[string]string{"users.csv": "sourcedId\n\xe9\n", "roles.csv": roles}), roster.ErrEncoding},
	} {
		if _, err := roster.Read(test.data); !errors.Is(err, test.want) {
			t.Errorf("%s: %v, want %v", name, err, test.want)
		}
	}
}

func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var people []roster.Person
		for i := range rapid.IntRange(0, 6).Draw(t, "people") {
			p := roster.Person{
				SourcedID: fmt.Sprintf("u-%d", i), Email: fmt.Sprintf("person.%d@example.org", i), Line: i + 2, Active: rapid.Bool().Draw(t, "active"),
				Name: rapid.SampledFrom([]string{"Ada Lind", "Bo", "Maria de la Cruz", "Li, Wei", "Anna \"Ann\" Berg"}).Draw(t, "name"),
			}
			for range rapid.IntRange(0, 2).Draw(t, "roles") {
				from := competency.Day("2025-01-01").Add(rapid.IntRange(0, 500).Draw(t, "from"))
				p.Roles = append(p.Roles, roster.Role{Role: rapid.SampledFrom([]string{"trainee", "faculty", "director", "coordinator"}).Draw(t, "role"), From: from, Org: "Unit"})
			}
			people = append(people, p)
		}
		data, err := roster.Write(roster.Org{SourcedID: "o1", Name: "Unit"}, people)
		if err != nil {
			t.Fatal(err)
		}
		back, err := roster.Read(data)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(back, people) {
			t.Fatalf("%+v comes back as %+v", people, back)
		}
	})
}

func FuzzRead(f *testing.F) {
	f.Add(archive(map[string]string{"users.csv": users, "roles.csv": roles}))
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if people, err := roster.Read(data); err == nil {
			for _, p := range people {
				if p.Email == "" || p.SourcedID == "" {
					t.Errorf("%+v", p)
				}
			}
		}
	})
}
