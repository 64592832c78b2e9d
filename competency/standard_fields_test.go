package competency

import (
	"reflect"
	"slices"
	"strings"
	"testing"
)

// full gives every field of a kind a value that the table allows.
func full(t *testing.T, kind RequirementKind) Requirement {
	t.Helper()
	r := Requirement{ID: "one", Kind: kind.Kind}
	for _, field := range kind.Fields {
		set(t, &r, field.Name, allowed(field))
	}
	r.LowerBound = min(r.LowerBound, r.Share/2)
	if r.InadequateRate > 0 {
		r.InadequateRate = r.AcceptableRate + 0.1
	}
	if len(r.Topics) > 0 {
		r.AtLeast = len(r.Topics)
	}
	r.Last, r.Assessors = max(r.Last, min(r.Assessors, 1)), min(r.Assessors, r.Last)
	return r
}

// allowed is a value inside the bounds of a field.
func allowed(field RequirementField) any {
	switch field.Type {
	case FieldWhole, FieldLevel:
		return int(field.Most)
	case FieldShare, FieldNumber:
		return (field.Least + field.Most) / 2
	case FieldNames:
		return []string{"a-topic"}
	case FieldChoice:
		return field.Choices[0].ID
	case FieldList:
		return []string{field.Choices[0].ID}
	}
	return true
}

// set writes a value under its name in the YAML.
func set(t *testing.T, r *Requirement, name string, value any) {
	t.Helper()
	target := reflect.ValueOf(r).Elem()
	if rest, found := strings.CutPrefix(name, "filter."); found {
		target, name = target.FieldByName("Filter"), rest
	}
	for i := range target.NumField() {
		if tag, _, _ := strings.Cut(target.Type().Field(i).Tag.Get("yaml"), ","); tag == name {
			field := target.Field(i)
			if list, isList := value.([]string); isList {
				made := reflect.MakeSlice(field.Type(), len(list), len(list))
				for j, item := range list {
					made.Index(j).SetString(item)
				}
				field.Set(made)
				return
			}
			field.Set(reflect.ValueOf(value).Convert(field.Type()))
			return
		}
	}
	t.Fatalf("no field %s", name)
}

// faultsAt are the fields that are refused.
func faultsAt(r Requirement) []string {
	var fields []string
	for _, fault := range r.validate().List {
		fields = append(fields, fault.Field)
	}
	return fields
}

// TestKindsHoldTheirFields: every field of the table is used by its kind, refused outside its bounds, asked for where it is required, and
// refused on every kind that has it not.
func TestKindsHoldTheirFields(t *testing.T) {
	used := map[string]bool{}
	for _, kind := range RequirementKinds() {
		if kind.Name == "" || kind.Says == "" || full(t, kind).Says() == "" {
			t.Errorf("%s has no words", kind.Kind)
		}
		if faults := faultsAt(full(t, kind)); faults != nil {
			t.Errorf("%s with every field: %v", kind.Kind, full(t, kind).validate())
		}
		for _, field := range kind.Fields {
			used[field.Name] = true
			if field.Label == "" {
				t.Errorf("%s %s has no label", kind.Kind, field.Name)
			}
			for _, wrong := range outside(field) {
				r := full(t, kind)
				set(t, &r, field.Name, wrong)
				if faults := faultsAt(r); !slices.ContainsFunc(faults, func(at string) bool { return strings.HasPrefix(at, field.Name) }) {
					t.Errorf("%s %s takes %v: %v", kind.Kind, field.Name, wrong, faults)
				}
			}
			r := full(t, kind)
			set(t, &r, field.Name, reflect.Zero(reflect.TypeOf(allowed(field))).Interface())
			if refused := slices.Contains(faultsAt(r), field.Name); refused != field.Required && field.Name != "confidence" {
				t.Errorf("%s without %s: refused %v, required %v", kind.Kind, field.Name, refused, field.Required)
			}
		}
	}
	for _, v := range (Requirement{}).values() {
		if !used[v.name] {
			t.Errorf("no kind has the field %s", v.name)
		}
	}
}

// outside are values that a field must refuse.
func outside(field RequirementField) []any {
	switch field.Type {
	case FieldWhole, FieldLevel:
		return []any{-1, int(field.Most) + 1}
	case FieldShare, FieldNumber:
		return []any{-0.1, field.Most + 0.01, field.Least / 2}
	case FieldNames:
		return []any{[]string{"No Id"}, []string{"a", "a"}, make([]string, int(field.Most)+1)}
	case FieldChoice:
		return []any{"nothing-known"}
	case FieldList:
		return []any{[]string{"nothing-known"}, []string{field.Choices[0].ID, field.Choices[0].ID}}
	}
	return nil
}

// TestForeignFields: what another kind has is refused by name.
func TestForeignFields(t *testing.T) {
	for _, kind := range RequirementKinds() {
		for _, other := range RequirementKinds() {
			for _, field := range other.Fields {
				if slices.ContainsFunc(kind.Fields, func(f RequirementField) bool { return f.Name == field.Name }) {
					continue
				}
				r := full(t, kind)
				set(t, &r, field.Name, allowed(field))
				if faults := faultsAt(r); len(faults) != 1 || !strings.HasPrefix(field.Name, faults[0]) {
					t.Errorf("%s with %s: %v", kind.Kind, field.Name, faults)
				}
			}
		}
	}
	r := full(t, requirementKinds[3])
	r.Scale = ScaleComplete
	if faults := faultsAt(r); !slices.Equal(faults, []string{"level"}) {
		t.Errorf("a level beside lines complete: %v", faults)
	}
}
