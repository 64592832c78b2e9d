package competency

import (
	_ "embed"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// The kinds of requirement.
const (
	KindCount   = "count"   // at least n signed-off cases
	KindLevel   = "level"   // a rating at a level or above in a share of the last cases, with its uncertainty
	KindPlan    = "plan"    // grades of plans across AF patterns, and none unsafe lately
	KindRecency = "recency" // cases within a number of days; else lapsed

	KindCompleteness = "completeness" // every intended line complete and block tested in a share of the last cases
	KindCurve        = "curve"        // the learning curve signalled adequate, and no alarm since

	KindFollowUp      = "follow-up"     // a share of the due cases has a rhythm follow-up on record
	KindQuiz          = "quiz"          // quizzes at or above their cut in so many topics
	KindDependability = "dependability" // the ratings themselves can be trusted: phi of the programme's variance components
)

// The scales a level requirement can rest on, and what counts as a success on a learning curve.
const (
	ScaleHelpGiven       = "help_given"
	ScaleSupervisionNext = "supervision_next"
	ScaleComplete        = "complete" // curve only: every line complete and block tested
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
	Example      bool          `json:"example,omitempty" yaml:"example,omitempty"` // made to be replaced: its numbers are nobody's recommendation
	Note         string        `json:"note,omitempty" yaml:"note,omitempty"`
	Requirements []Requirement `json:"requirements" yaml:"requirements"`
}

// Requirement is one line of a standard. Which fields it has follows from its kind.
type Requirement struct {
	ID                 string       `json:"id" yaml:"id"`
	Kind               string       `json:"kind" yaml:"kind"`
	Filter             Filter       `json:"filter,omitzero" yaml:"filter,omitempty"`                                // all but plan and quiz: which cases
	AtLeast            int          `json:"at_least,omitempty" yaml:"at_least,omitempty"`                           // count, recency: cases; follow-up: due cases; quiz: topics
	WithinDays         int          `json:"within_days,omitempty" yaml:"within_days,omitempty"`                     // recency
	Scale              string       `json:"scale,omitempty" yaml:"scale,omitempty"`                                 // level, curve, dependability: help_given or supervision_next; curve: complete too
	Level              int          `json:"level,omitempty" yaml:"level,omitempty"`                                 // level, curve: 2 to 5
	Share              float64      `json:"share,omitempty" yaml:"share,omitempty"`                                 // level, completeness, follow-up: 0 to 1
	Last               int          `json:"last,omitempty" yaml:"last,omitempty"`                                   // level, completeness, dependability: the window, in cases
	LowerBound         float64      `json:"lower_bound,omitempty" yaml:"lower_bound,omitempty"`                     // level, completeness: 0 to 1; none when left out
	Confidence         float64      `json:"confidence,omitempty" yaml:"confidence,omitempty"`                       // with lower_bound: of the two-sided Wilson interval whose lower limit is meant
	Assessors          int          `json:"assessors,omitempty" yaml:"assessors,omitempty"`                         // level: different assessors in the window
	LeaveOutLateRecall bool         `json:"leave_out_late_recall,omitempty" yaml:"leave_out_late_recall,omitempty"` // level, curve
	Letter             string       `json:"letter,omitempty" yaml:"letter,omitempty"`                               // plan
	AFPatterns         []af.Pattern `json:"af_patterns,omitempty" yaml:"af_patterns,omitempty"`                     // plan: each must be reached
	Attempt            string       `json:"attempt,omitempty" yaml:"attempt,omitempty"`                             // plan, quiz: best or last
	SafeLast           int          `json:"safe_last,omitempty" yaml:"safe_last,omitempty"`                         // plan: none unsafe among so many latest plans
	AcceptableRate     float64      `json:"acceptable_rate,omitempty" yaml:"acceptable_rate,omitempty"`             // curve: the failure rate of an adequate operator
	InadequateRate     float64      `json:"inadequate_rate,omitempty" yaml:"inadequate_rate,omitempty"`             // curve: the failure rate that is not adequate
	HorizonCases       int          `json:"horizon_cases,omitempty" yaml:"horizon_cases,omitempty"`                 // curve: over so many cases the two errors hold
	FalseDeclaration   float64      `json:"false_declaration,omitempty" yaml:"false_declaration,omitempty"`         // curve: at most this chance that inadequate passes
	FalseAlarm         float64      `json:"false_alarm,omitempty" yaml:"false_alarm,omitempty"`                     // curve: at most this chance that adequate alarms
	Month              int          `json:"month,omitempty" yaml:"month,omitempty"`                                 // follow-up: after the operation
	Topics             []string     `json:"topics,omitempty" yaml:"topics,omitempty"`                               // quiz: ids
	Phi                float64      `json:"phi,omitempty" yaml:"phi,omitempty"`                                     // dependability: 0 to 1
}

// Filter says which cases a requirement looks at; an empty list lets every value pass.
type Filter struct {
	Scope      []atrium.Scope `json:"scope,omitempty" yaml:"scope,omitempty"`
	Role       []Role         `json:"role,omitempty" yaml:"role,omitempty"`
	AFPattern  []af.Pattern   `json:"af_pattern,omitempty" yaml:"af_pattern,omitempty"`
	Operation  []string       `json:"operation,omitempty" yaml:"operation,omitempty"`
	PeriodDays int            `json:"period_days,omitempty" yaml:"period_days,omitempty"` // operated within so many days; 0 is any time
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

// empty reports whether every case passes.
func (f Filter) empty() bool {
	return len(f.Scope)+len(f.Role)+len(f.AFPattern)+len(f.Operation) == 0 && f.PeriodDays == 0
}

// checkListed reports values outside a closed list and values given twice.
func checkListed(faults *strict.Faults, field string, values []string, list []Choice) {
	for i, value := range values {
		at := fmt.Sprintf("%s[%d]", field, i)
		if !has(list, value) {
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
