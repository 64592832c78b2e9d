// Package policies says who may do what to whose record. It holds the rules as data (policy.csv) and asks them of Casbin; it knows no
// person, no record and no database: roles and relations arrive as words from closed lists.
package policies

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strings"

	"github.com/casbin/casbin/v2"
	"github.com/casbin/casbin/v2/model"
	"github.com/casbin/casbin/v2/persist"
)

//go:embed model.conf
var modelConf string

//go:embed policy.csv
var policyCSV string

// Authorizer answers whether a role may act on an object. It is safe for concurrent use; its cache is bounded because every word of a
// request comes from a closed list.
type Authorizer struct {
	enforcer *casbin.CachedEnforcer
}

// New reads the embedded rules. An error means that the rules shipped with the program are broken.
func New() (*Authorizer, error) {
	m, err := model.NewModelFromString(modelConf)
	if err != nil {
		return nil, fmt.Errorf("policies: model.conf: %w", err)
	}
	lines, err := rules()
	if err != nil {
		return nil, err
	}
	for _, line := range lines {
		if err := persist.LoadPolicyArray(line, m); err != nil {
			return nil, fmt.Errorf("policies: policy.csv: %q: %w", line, err)
		}
	}
	enforcer, err := casbin.NewCachedEnforcer(m)
	if err != nil {
		return nil, fmt.Errorf("policies: %w", err)
	}
	if err := enforcer.BuildRoleLinks(); err != nil {
		return nil, fmt.Errorf("policies: policy.csv: %w", err)
	}
	return &Authorizer{enforcer: enforcer}, nil
}

// rules reads policy.csv, one rule or link a row.
func rules() ([][]string, error) {
	reader := csv.NewReader(strings.NewReader(policyCSV))
	reader.Comment = '#'
	reader.TrimLeadingSpace = true
	reader.FieldsPerRecord = -1
	lines, err := reader.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("policies: policy.csv: %w", err)
	}
	return lines, nil
}

// Allowed reports whether any of roles may do action to an object that stands in relation to the person. A request that no rule
// allows is refused, and so is one with a word outside the lists.
func (a *Authorizer) Allowed(roles []Role, object Object, action Action, relation Relation) bool {
	for _, role := range roles {
		if allowed, err := a.enforcer.Enforce(string(role), string(object), string(action), string(relation)); err == nil && allowed {
			return true
		}
	}
	return false
}

// Scope gives the widest relation within which any of roles may do action: what a list may hold. It is empty when nothing may be
// listed. Own, Supervised and Reviewed do not contain each other, so several can come back; InProgramme and Anywhere come alone.
func (a *Authorizer) Scope(roles []Role, object Object, action Action) []Relation {
	for _, wide := range []Relation{Anywhere, InProgramme} {
		if a.Allowed(roles, object, action, wide) {
			return []Relation{wide}
		}
	}
	var scope []Relation
	for _, near := range []Relation{Own, Supervised, Reviewed} {
		if a.Allowed(roles, object, action, near) {
			scope = append(scope, near)
		}
	}
	return scope
}
