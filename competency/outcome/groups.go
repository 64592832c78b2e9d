package outcome

import (
	"fmt"
	"slices"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// By is what operations are grouped by.
type By string

// The groupings.
const (
	ByScope      By = "scope"
	ByPattern    By = "pattern"
	BySite       By = "site"
	BySupervisor By = "supervisor"
)

// orders are the groups that have an order of their own.
var orders = map[By][]string{
	ByScope: {
		string(atrium.ScopeNone), string(atrium.ScopePulmonaryVeinIsolation), string(atrium.ScopeBox), string(atrium.ScopeLeftAtrial), string(atrium.ScopeBiatrial),
	},
	ByPattern: {string(af.Paroxysmal), string(af.Persistent), string(af.LongStandingPersistent), string(af.Permanent)},
}

// key is the group of a course.
func (by By) key(c Course) string {
	switch by {
	case ByScope:
		return string(c.Scope)
	case ByPattern:
		return string(c.Pattern)
	case BySite:
		return c.Site
	}
	return string(c.Supervisor)
}

// group is the courses of one key.
type group struct {
	id      string
	courses []Course
}

// groups splits courses: scopes and patterns in their order, others by id.
func (by By) groups(courses []Course) []group {
	of := map[string][]Course{}
	for _, c := range courses {
		of[by.key(c)] = append(of[by.key(c)], c)
	}
	var list []group
	for _, id := range orders[by] {
		if len(of[id]) > 0 {
			list = append(list, group{id, of[id]})
			delete(of, id)
		}
	}
	var rest []string
	for id := range of {
		rest = append(rest, id)
	}
	slices.Sort(rest)
	for _, id := range rest {
		list = append(list, group{id, of[id]})
	}
	return list
}

// casesOf lists the cases of courses.
func casesOf(courses []Course) []competency.CaseID {
	list := []competency.CaseID{}
	for _, c := range courses {
		list = append(list, c.Case)
	}
	return list
}

// tooFew refuses a figure of fewer cases than are needed; empty when there are enough.
func tooFew(n int) string {
	if n >= LeastCases {
		return ""
	}
	return fmt.Sprintf("%s followed: %d are needed for a curve (common practice, no source).", counted(n, "case"), LeastCases)
}
