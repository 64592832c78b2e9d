package competency

import (
	_ "embed"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
	"isthmus/competency/interval"
)

// The kinds of requirement.
const (
	KindCount   = "count"   // at least n signed-off cases
	KindLevel   = "level"   // a rating at a level or above in a share of the last cases, with its uncertainty
	KindPlan    = "plan"    // grades of plans across AF patterns, and none unsafe lately
	KindRecency = "recency" // cases within a number of days; else lapsed
)

// The scales a level requirement can rest on.
const (
	ScaleHelpGiven       = "help_given"
	ScaleSupervisionNext = "supervision_next"
)

// The attempts a plan requirement can rest on.
const (
	AttemptBest = "best"
	AttemptLast = "last"
)

// Standard is one version of a programme's thresholds. A version in force never changes.
type Standard struct {
	ID           string        `json:"id" yaml:"id"`
	Title        string        `json:"title" yaml:"title"`
	Version      int           `json:"version" yaml:"version"`
	Example      bool          `json:"example,omitempty" yaml:"example"` // made to be replaced: its numbers are nobody's recommendation
	Note         string        `json:"note,omitempty" yaml:"note"`
	Requirements []Requirement `json:"requirements" yaml:"requirements"`
}

// Requirement is one line of a standard. Which fields it has follows from its kind.
type Requirement struct {
	ID                 string       `json:"id" yaml:"id"`
	Kind               string       `json:"kind" yaml:"kind"`
	Filter             Filter       `json:"filter,omitzero" yaml:"filter"`                                // count, level, recency: which cases
	AtLeast            int          `json:"at_least,omitempty" yaml:"at_least"`                           // count, recency: cases
	WithinDays         int          `json:"within_days,omitempty" yaml:"within_days"`                     // recency
	Scale              string       `json:"scale,omitempty" yaml:"scale"`                                 // level: help_given or supervision_next
	Level              int          `json:"level,omitempty" yaml:"level"`                                 // level: 2 to 5
	Share              float64      `json:"share,omitempty" yaml:"share"`                                 // level: 0 to 1
	Last               int          `json:"last,omitempty" yaml:"last"`                                   // level: the window, in cases
	LowerBound         float64      `json:"lower_bound,omitempty" yaml:"lower_bound"`                     // level: 0 to 1; none when left out
	Confidence         float64      `json:"confidence,omitempty" yaml:"confidence"`                       // level: of the two-sided Wilson interval whose lower limit is meant
	Assessors          int          `json:"assessors,omitempty" yaml:"assessors"`                         // level: different assessors in the window
	LeaveOutLateRecall bool         `json:"leave_out_late_recall,omitempty" yaml:"leave_out_late_recall"` // level
	Letter             string       `json:"letter,omitempty" yaml:"letter"`                               // plan
	AFPatterns         []af.Pattern `json:"af_patterns,omitempty" yaml:"af_patterns"`                     // plan: each must be reached
	Attempt            string       `json:"attempt,omitempty" yaml:"attempt"`                             // plan: best or last
	SafeLast           int          `json:"safe_last,omitempty" yaml:"safe_last"`                         // plan: none unsafe among so many latest plans
}

// Filter says which cases a requirement looks at; an empty list lets every value pass.
type Filter struct {
	Scope      []atrium.Scope `json:"scope,omitempty" yaml:"scope"`
	Role       []Role         `json:"role,omitempty" yaml:"role"`
	AFPattern  []af.Pattern   `json:"af_pattern,omitempty" yaml:"af_pattern"`
	Operation  []string       `json:"operation,omitempty" yaml:"operation"`
	PeriodDays int            `json:"period_days,omitempty" yaml:"period_days"` // operated within so many days; 0 is any time
}

//go:embed example-standard.yaml
var exampleStandard []byte

// ExampleStandardYAML is the file behind ExampleStandard, to start a programme's own from.
func ExampleStandardYAML() []byte { return slices.Clone(exampleStandard) }

// ExampleStandard is a standard to start from, labelled as an example: no society minimum for these operations could be sourced, so
// every number in it is for the programme to set.
func ExampleStandard() Standard {
	standard, err := DecodeStandard("example-standard.yaml", exampleStandard)
	if err != nil {
		panic("competency: the embedded example is broken: " + err.Error())
	}
	return standard
}

// DecodeStandard reads a standard. The error is strict.Faults with file, line and field of every mistake.
func DecodeStandard(file string, data []byte) (Standard, error) {
	var standard Standard
	document, err := strict.YAML(file, data, &standard)
	if err != nil {
		return Standard{}, err
	}
	if faults := standard.Validate(); faults.Err() != nil {
		return Standard{}, document.Locate(faults)
	}
	return standard, nil
}

// idForm is lower-case words joined by hyphens.
var idForm = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// Validate reports everything that is out of range or does not belong.
func (s Standard) Validate() strict.Faults {
	var faults strict.Faults
	checkID(&faults, "id", s.ID)
	if length := utf8.RuneCountInString(strings.TrimSpace(s.Title)); length < 3 || length > 200 {
		faults.Add("title", "must be 3 to 200 characters")
	}
	if utf8.RuneCountInString(s.Note) > 2000 {
		faults.Add("note", "must be at most 2000 characters")
	}
	checkRange(&faults, "version", s.Version, 1, 1_000_000)
	if len(s.Requirements) == 0 || len(s.Requirements) > 40 {
		faults.Add("requirements", "must be 1 to 40, not %d", len(s.Requirements))
		return faults
	}
	seen := map[string]bool{}
	for i, r := range s.Requirements {
		field := fmt.Sprintf("requirements[%d]", i)
		faults.Join(field, r.validate())
		if seen[r.ID] {
			faults.Add(field+".id", "%q is used twice: ids name evidence, so each must differ", r.ID)
		}
		seen[r.ID] = true
	}
	return faults
}

// validate reports what is wrong with one requirement.
func (r Requirement) validate() strict.Faults {
	var faults strict.Faults
	checkID(&faults, "id", r.ID)
	switch r.Kind {
	case KindCount:
		checkRange(&faults, "at_least", r.AtLeast, 1, 1000)
	case KindRecency:
		checkRange(&faults, "at_least", r.AtLeast, 1, 1000)
		checkRange(&faults, "within_days", r.WithinDays, 1, 3650)
		if r.Filter.PeriodDays != 0 {
			faults.Add("filter.period_days", "says the same as within_days: leave it out")
		}
	case KindLevel:
		r.validateLevel(&faults)
	case KindPlan:
		r.validatePlan(&faults)
	default:
		faults.Add("kind", "%q is unknown: use count, level, plan or recency", r.Kind)
		return faults
	}
	for _, f := range r.fields() {
		if f.set && !slices.Contains(strings.Fields(f.kinds), r.Kind) {
			faults.Add(f.name, "does not belong to a requirement of kind %s: leave it out", r.Kind)
		}
	}
	faults.Join("filter", r.Filter.validate())
	return faults
}

// setField is a field of a requirement, whether it is set, and the kinds it belongs to.
type setField struct {
	name  string
	set   bool
	kinds string
}

func (r Requirement) fields() []setField {
	return []setField{
		{"filter", !r.Filter.empty(), "count level recency"}, {"at_least", r.AtLeast != 0, "count recency"}, {"within_days", r.WithinDays != 0, "recency"},
		{"scale", r.Scale != "", "level"}, {"level", r.Level != 0, "level"}, {"share", r.Share != 0, "level"}, {"last", r.Last != 0, "level"},
		{"lower_bound", r.LowerBound != 0, "level"}, {"confidence", r.Confidence != 0, "level"}, {"assessors", r.Assessors != 0, "level"},
		{"leave_out_late_recall", r.LeaveOutLateRecall, "level"}, {"letter", r.Letter != "", "plan"}, {"af_patterns", len(r.AFPatterns) > 0, "plan"},
		{"attempt", r.Attempt != "", "plan"}, {"safe_last", r.SafeLast != 0, "plan"},
	}
}

func (r Requirement) validateLevel(faults *strict.Faults) {
	if r.Scale != ScaleHelpGiven && r.Scale != ScaleSupervisionNext {
		faults.Add("scale", "must be %s or %s, not %q", ScaleHelpGiven, ScaleSupervisionNext, r.Scale)
	}
	checkRange(faults, "level", r.Level, 2, 5)
	checkRange(faults, "last", r.Last, 1, 200)
	if !(r.Share > 0 && r.Share <= 1) {
		faults.Add("share", "must be above 0 and at most 1, not %g", r.Share)
	}
	if r.Assessors < 0 || r.Assessors > max(r.Last, 0) {
		faults.Add("assessors", "must be 0 to the window of %d cases, not %d", r.Last, r.Assessors)
	}
	switch {
	case r.LowerBound == 0 && r.Confidence != 0:
		faults.Add("confidence", "without a lower_bound it says nothing: leave it out")
	case r.LowerBound == 0:
	case !(r.LowerBound > 0 && r.LowerBound < 1):
		faults.Add("lower_bound", "must lie between 0 and 1, not %g", r.LowerBound)
	case !(r.Confidence >= 0.5 && r.Confidence < 1):
		faults.Add("confidence", "must be 0.5 or more and below 1, not %g", r.Confidence)
	default:
		if best, err := interval.Wilson(r.Last, r.Last, r.Confidence); err == nil && best.Low < r.LowerBound {
			faults.Add("lower_bound", "cannot be reached: %d good cases of %d give %.2f at most: raise last or lower the bound", r.Last, r.Last, math.Floor(best.Low*100)/100)
		}
	}
}

func (r Requirement) validatePlan(faults *strict.Faults) {
	if letterRank(r.Letter) < 0 {
		faults.Add("letter", "%q is no letter: use one of %s", r.Letter, strings.Join(letters, ", "))
	}
	if len(r.AFPatterns) == 0 {
		faults.Add("af_patterns", "must list at least one AF pattern")
	}
	checkListed(faults, "af_patterns", r.AFPatterns, PatternChoices)
	if r.Attempt != AttemptBest && r.Attempt != AttemptLast {
		faults.Add("attempt", "must be best or last, not %q", r.Attempt)
	}
	if r.SafeLast < 0 || r.SafeLast > 100 {
		faults.Add("safe_last", "must be 0 to 100, not %d", r.SafeLast)
	}
}

// empty reports whether every case passes.
func (f Filter) empty() bool {
	return len(f.Scope)+len(f.Role)+len(f.AFPattern)+len(f.Operation) == 0 && f.PeriodDays == 0
}

func (f Filter) validate() strict.Faults {
	var faults strict.Faults
	checkListed(&faults, "scope", f.Scope, ScopeChoices)
	checkListed(&faults, "role", f.Role, RoleChoices)
	checkListed(&faults, "af_pattern", f.AFPattern, PatternChoices)
	checkListed(&faults, "operation", f.Operation, Operations)
	if f.PeriodDays < 0 || f.PeriodDays > 3650 {
		faults.Add("period_days", "must be 0 to 3650, not %d", f.PeriodDays)
	}
	return faults
}

// checkListed reports values outside a closed list and values given twice.
func checkListed[T ~string](faults *strict.Faults, field string, values []T, list []Choice) {
	for i, value := range values {
		at := fmt.Sprintf("%s[%d]", field, i)
		if !has(list, string(value)) {
			faults.Add(at, "%q is unknown: use one of %s", value, idsOf(list))
		} else if slices.Contains(values[:i], value) {
			faults.Add(at, "%s is listed twice: remove one", value)
		}
	}
}

func checkRange(faults *strict.Faults, field string, value, least, most int) {
	if value < least || value > most {
		faults.Add(field, "must be %d to %d, not %d", least, most, value)
	}
}

func checkID(faults *strict.Faults, field, id string) {
	if !idForm.MatchString(id) || len(id) > 60 {
		faults.Add(field, "must be lower-case words joined by hyphens, at most 60 characters, not %q", id)
	}
}

// letters are the grades from worst to best.
var letters = []string{"F", "D", "C", "B-", "B", "B+", "A-", "A", "A+"}

// letterRank orders letters, F 0; -1 for what is no letter.
func letterRank(letter string) int { return slices.Index(letters, letter) }
