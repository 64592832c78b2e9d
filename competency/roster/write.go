package roster

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"strings"
)

// Knows reports whether the standard has a counterpart of one of our roles.
func Knows(role string) bool {
	for _, ours := range roles {
		if ours == role {
			return true
		}
	}
	return false
}

// Org is the organisation the people belong to.
type Org struct{ SourcedID, Name string }

// Write makes a bulk archive of people in one organisation that Read gives back. Names are split at the last space, since a name here is
// one text. Cells that a spreadsheet would run as a formula get no special form: the standard knows none, so such names are refused when
// people are entered.
func Write(org Org, people []Person) ([]byte, error) {
	back := map[string]string{}
	for standard, ours := range roles {
		back[ours] = standard
	}
	users := [][]string{{"sourcedId", "status", "dateLastModified", "enabledUser", "username", "userIds", "givenName", "familyName", "middleName", "identifier", "email"}}
	terms := [][]string{{"sourcedId", "status", "dateLastModified", "userSourcedId", "roleType", "role", "beginDate", "endDate", "orgSourcedId", "userProfileSourcedId"}}
	for _, p := range people {
		given, family := split(p.Name)
		users = append(users, []string{p.SourcedID, "", "", truth(p.Active), p.Email, "", given, family, "", "", p.Email})
		for i, role := range p.Roles {
			standard, known := back[role.Role]
			if !known {
				continue // reviewers, committee members and operators have no counterpart in the standard
			}
			kind := "secondary"
			if i == 0 {
				kind = "primary"
			}
			terms = append(terms, []string{p.SourcedID + "-" + role.Role + "-" + string(role.From), "", "", p.SourcedID, kind, standard, string(role.From), string(role.Until), org.SourcedID, ""})
		}
	}
	return pack([]file{
		{"manifest.csv", manifest()},
		{"orgs.csv", [][]string{{"sourcedId", "status", "dateLastModified", "name", "type", "identifier", "parentSourcedId"}, {org.SourcedID, "", "", org.Name, "department", "", ""}}},
		{"users.csv", users},
		{"roles.csv", terms},
	})
}

// manifest names every file of the binding; those not written are absent.
func manifest() [][]string {
	rows := [][]string{{"propertyName", "value"}, {"manifest.version", "1.0"}, {"oneroster.version", "1.2"}}
	for _, name := range []string{
		"academicSessions", "categories", "classes", "classResources", "courses", "courseResources", "demographics", "enrollments", "lineItemLearningObjectiveIds",
		"lineItems", "lineItemScoreScales", "orgs", "resources", "resultLearningObjectiveIds", "results", "resultScoreScales", "roles", "scoreScales", "userProfiles",
		"userResources", "users",
	} {
		kind := "absent"
		if name == "orgs" || name == "roles" || name == "users" {
			kind = "bulk"
		}
		rows = append(rows, []string{"file." + name, kind})
	}
	return rows
}

type file struct {
	name string
	rows [][]string
}

func pack(files []file) ([]byte, error) {
	var out bytes.Buffer
	archive := zip.NewWriter(&out)
	for _, f := range files {
		entry, err := archive.Create(f.name)
		if err != nil {
			return nil, err
		}
		writer := csv.NewWriter(entry)
		if err := writer.WriteAll(f.rows); err != nil {
			return nil, err
		}
	}
	if err := archive.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

func split(name string) (given, family string) {
	if i := strings.LastIndex(name, " "); i >= 0 {
		return name[:i], name[i+1:]
	}
	return "", name
}

func truth(is bool) string {
	if is {
		return "true"
	}
	return "false"
}
