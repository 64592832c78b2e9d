package competency

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"isthmus/assessment/strict"
	"isthmus/competency/interval"
)

// validate reports what is wrong with one requirement, by the table of kinds.
func (r Requirement) validate() strict.Faults {
	var faults strict.Faults
	checkID(&faults, "id", r.ID)
	kind, known := kindOf(r.Kind)
	if !known {
		names := make([]string, len(requirementKinds))
		for i, k := range requirementKinds {
			names[i] = k.Kind
		}
		faults.Add("kind", "%q is unknown: use one of %s", r.Kind, strings.Join(names, ", "))
		return faults
	}
	values := r.values()
	for _, field := range kind.Fields {
		field.check(&faults, values)
	}
	if kind.check != nil {
		kind.check(r, &faults)
	}
	r.checkForeign(&faults, kind)
	return faults
}

// checkForeign reports what is set and does not belong to the kind; a filter that does not belong at all is one fault.
func (r Requirement) checkForeign(faults *strict.Faults, kind RequirementKind) {
	filters := slices.ContainsFunc(kind.Fields, func(f RequirementField) bool { return strings.HasPrefix(f.Name, "filter.") })
	for _, v := range r.values() {
		name := v.name
		if !filters && strings.HasPrefix(name, "filter.") {
			name = "filter"
		}
		known := slices.ContainsFunc(kind.Fields, func(f RequirementField) bool { return f.Name == v.name })
		reported := slices.ContainsFunc(faults.List, func(f strict.Fault) bool { return f.Field == name })
		if !known && !reported && !v.IsZero() {
			faults.Add(name, "does not belong to a requirement of kind %s: leave it out", r.Kind)
		}
	}
}

// fieldValue is what a requirement holds under a name in the YAML.
type fieldValue struct {
	name string
	reflect.Value
}

// values lists everything a requirement can hold but its id and its kind, in the order of the struct.
func (r Requirement) values() []fieldValue { return valuesOf("", reflect.ValueOf(r)) }

func valuesOf(prefix string, v reflect.Value) []fieldValue {
	var values []fieldValue
	for i := range v.NumField() {
		name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("yaml"), ",")
		switch {
		case prefix == "" && (name == "id" || name == "kind"):
		case v.Field(i).Kind() == reflect.Struct:
			values = append(values, valuesOf(name+".", v.Field(i))...)
		default:
			values = append(values, fieldValue{prefix + name, v.Field(i)})
		}
	}
	return values
}

// valueNamed finds a value; it panics for a field the requirement has not, a mistake in the table.
func valueNamed(values []fieldValue, name string) reflect.Value {
	for _, v := range values {
		if v.name == name {
			return v.Value
		}
	}
	panic("competency: a requirement has no field " + name)
}

// check reports a value that is missing or outside what the field allows.
func (f RequirementField) check(faults *strict.Faults, values []fieldValue) {
	value := valueNamed(values, f.Name)
	if f.Except != nil && valueNamed(values, f.Except.Field).String() == f.Except.Value {
		if !value.IsZero() {
			faults.Add(f.Name, "does not belong beside %s %s: leave it out", f.Except.Field, f.Except.Value)
		}
		return
	}
	if value.IsZero() && !f.Required {
		return
	}
	switch f.Type {
	case FieldWhole, FieldLevel:
		checkRange(faults, f.Name, int(value.Int()), int(f.Least), int(f.Most))
	case FieldShare:
		if share := value.Float(); !(share >= f.Least && share <= f.Most) {
			faults.Add(f.Name, "must be %s to %s, written %g to %g, not %g", percent(f.Least), percent(f.Most), f.Least, f.Most, share)
		}
	case FieldNumber:
		if number := value.Float(); !(number >= f.Least && number <= f.Most) {
			faults.Add(f.Name, "must be %g to %g, not %g", f.Least, f.Most, number)
		}
	case FieldChoice:
		if !has(f.Choices, value.String()) {
			faults.Add(f.Name, "must be one of %s, not %q", idsOf(f.Choices), value.String())
		}
	case FieldNames:
		checkNames(faults, f, textsOf(value))
	case FieldList:
		list := textsOf(value)
		if len(list) == 0 && f.Required {
			faults.Add(f.Name, "must list at least one of %s", idsOf(f.Choices))
		}
		checkListed(faults, f.Name, list, f.Choices)
	}
}

// textsOf is a list of texts of whatever type.
func textsOf(value reflect.Value) []string {
	list := make([]string, value.Len())
	for i := range list {
		list[i] = value.Index(i).String()
	}
	return list
}

// checkNames reports ids that are malformed, given twice, too few or too many.
func checkNames(faults *strict.Faults, f RequirementField, list []string) {
	if n := len(list); n < int(f.Least) || n > int(f.Most) {
		faults.Add(f.Name, "must list %g to %g, not %d", f.Least, f.Most, n)
		return
	}
	for i, id := range list {
		at := fmt.Sprintf("%s[%d]", f.Name, i)
		if checkID(faults, at, id); slices.Contains(list[:i], id) {
			faults.Add(at, "%s is listed twice: remove one", id)
		}
	}
}

// rule checks what several fields say together.
type rule func(r Requirement, faults *strict.Faults)

// rules are several as one.
func rules(list ...rule) rule {
	return func(r Requirement, faults *strict.Faults) {
		for _, check := range list {
			check(r, faults)
		}
	}
}

// checkBound holds the lower limit of a share of the last cases: with its confidence, and within reach.
func checkBound(r Requirement, faults *strict.Faults) {
	switch {
	case r.LowerBound == 0 && r.Confidence != 0:
		faults.Add("confidence", "without a lower_bound it says nothing: leave it out")
	case r.LowerBound != 0 && r.Confidence == 0:
		faults.Add("confidence", "a lower_bound needs the confidence of its interval: 0.9, say")
	case r.LowerBound > 0 && r.Last > 0:
		if best, err := interval.Wilson(r.Last, r.Last, r.Confidence); err == nil && best.Low < r.LowerBound {
			faults.Add("lower_bound", "cannot be reached: %d good cases of %d give %.2f at most: raise last or lower the bound", r.Last, r.Last, math.Floor(best.Low*100)/100)
		}
	}
}

// checkAssessors: a window cannot hold more assessors than cases.
func checkAssessors(r Requirement, faults *strict.Faults) {
	if r.Last > 0 && r.Assessors > r.Last {
		faults.Add("assessors", "must be at most the window of %d cases, not %d", r.Last, r.Assessors)
	}
}

// checkRates keeps the two failure rates of a learning curve apart.
func checkRates(r Requirement, faults *strict.Faults) {
	if least := r.AcceptableRate + 0.01; r.InadequateRate != 0 && r.InadequateRate < least {
		faults.Add("inadequate_rate", "must be above the acceptable rate of %s by 1 %% or more", percent(r.AcceptableRate))
	}
}
