// Package xapi writes what happened to a trainee as statements of the Experience API 1.0.3 (IEEE 9274.1.1 keeps the form): plain structs that
// become JSON. Sections beside the rules are those of the specification's parts two (Data) and three (Communication),
// https://github.com/adlnet/xAPI-Spec. It knows no network and no clock. A new kind of event is one more function of Place.
package xapi

import (
	"strings"
	"time"

	"github.com/google/uuid"

	"isthmus/competency"
)

// Version is the version of the specification that a request names (Communication 3.3: X-Experience-API-Version).
const Version = "1.0.3"

// Statement is one thing that happened (Data 2.4). It never changes: only another one voids it (Data 2.3.1, 2.3.2).
type Statement struct {
	ID        string   `json:"id"` // UUID (Data 2.4.1); the same record always gives the same one
	Actor     Agent    `json:"actor"`
	Verb      Verb     `json:"verb"`
	Object    Object   `json:"object"`
	Result    *Result  `json:"result,omitempty"`
	Context   *Context `json:"context,omitempty"`
	Timestamp string   `json:"timestamp"` // RFC 3339 in UTC with three decimals or more (Data 4.5)
}

// Agent is a person by their account here, never by mail (Data 2.4.2.1, 2.4.2.3). The account's name is an opaque id: who has no access to
// the program cannot tell who it is (Data 2.4.2.4).
type Agent struct {
	ObjectType string  `json:"objectType"`
	Account    Account `json:"account"`
}

// Account is an account on a system (Data 2.4.2.4).
type Account struct {
	HomePage string `json:"homePage"`
	Name     string `json:"name"`
}

// Verb is what was done (Data 2.4.3).
type Verb struct {
	ID      string      `json:"id"`
	Display LanguageMap `json:"display"`
}

// LanguageMap is a text by language (Data 4.2).
type LanguageMap map[string]string

// Object is an activity (Data 2.4.4.1) or a reference to a statement (Data 2.4.4.3), which has no definition.
type Object struct {
	ObjectType string      `json:"objectType"`
	ID         string      `json:"id"`
	Definition *Definition `json:"definition,omitempty"`
}

// Definition says what an activity is, in fixed words: no text that a person wrote.
type Definition struct {
	Name        LanguageMap `json:"name"`
	Description LanguageMap `json:"description"`
	Type        string      `json:"type"`
}

// Result is a measured outcome (Data 2.4.5).
type Result struct {
	Score      *Score         `json:"score,omitempty"`
	Success    *bool          `json:"success,omitempty"`
	Completion *bool          `json:"completion,omitempty"`
	Extensions map[string]any `json:"extensions,omitempty"` // by IRI (Data 4.1)
}

// Score is a score (Data 2.4.5.1): scaled within -1 to 1, raw within min to max.
type Score struct {
	Scaled float64 `json:"scaled"`
	Raw    float64 `json:"raw"`
	Min    float64 `json:"min"`
	Max    float64 `json:"max"`
}

// Context is what gives a statement more meaning (Data 2.4.6).
type Context struct {
	Instructor        *Agent         `json:"instructor,omitempty"`
	ContextActivities *Activities    `json:"contextActivities,omitempty"`
	Extensions        map[string]any `json:"extensions,omitempty"`
}

// Activities are related activities (Data 2.4.6.2): the programme is the grouping of all.
type Activities struct {
	Grouping []Object `json:"grouping"`
}

// Page is the answer to a query for statements (Communication 2.1.3, Data 2.5): a page of them, and the address of the next one.
type Page struct {
	Statements []Statement `json:"statements"`
	More       string      `json:"more,omitempty"`
}

// The verbs and kinds of activity taken from ADL's public vocabulary (profiles.adlnet.gov, "ADL vocabulary").
const (
	verbScored    = "http://adlnet.gov/expapi/verbs/scored"
	verbCompleted = "http://adlnet.gov/expapi/verbs/completed"
	verbVoided    = "http://adlnet.gov/expapi/verbs/voided" // reserved (Data 2.3.2)

	typeSimulation  = "http://adlnet.gov/expapi/activities/simulation"
	typeAssessment  = "http://adlnet.gov/expapi/activities/assessment"
	typePerformance = "http://adlnet.gov/expapi/activities/performance"
	typeObjective   = "http://adlnet.gov/expapi/activities/objective"
	typeCourse      = "http://adlnet.gov/expapi/activities/course"
)

// Place is where the statements come from: every address of our own begins with its URL, which must not change.
type Place struct {
	URL       string // without a slash at the end
	Programme competency.ProgrammeID
	Caution   string // goes with every verdict
}

// iri is an address of our own.
func (p Place) iri(parts ...string) string { return p.URL + "/xapi/" + strings.Join(parts, "/") }

// extension is the key of a value that the specification has no property for.
func (p Place) extension(name string) string { return p.iri("extensions", name) }

// id is a UUID of version 5 (RFC 9562) of what a record is here: sending it again gives the same statement, at whatever address the program is.
func (p Place) id(kind, record string) string {
	return uuid.NewSHA1(uuid.NameSpaceURL, []byte("urn:uuid:"+string(p.Programme)+"#"+kind+"/"+record)).String()
}

func (p Place) agent(person competency.PersonID) Agent {
	return Agent{ObjectType: "Agent", Account: Account{HomePage: p.URL, Name: string(person)}}
}

// activity is an activity of ours. It is a course when it is the programme itself.
func (p Place) activity(kind, name, description string, parts ...string) Object {
	return Object{ObjectType: "Activity", ID: p.iri(parts...), Definition: &Definition{Name: english(name), Description: english(description), Type: kind}}
}

// context is the context of every statement about a trainee.
func (p Place) context(instructor *Agent, more map[string]any) *Context {
	extensions := map[string]any{p.extension("caution"): p.Caution}
	for name, value := range more {
		extensions[p.extension(name)] = value
	}
	programme := p.activity(typeCourse, "Training programme", "Training in the surgical ablation of atrial fibrillation.", "programmes", string(p.Programme))
	return &Context{Instructor: instructor, ContextActivities: &Activities{Grouping: []Object{programme}}, Extensions: extensions}
}

func english(text string) LanguageMap { return LanguageMap{"en": text} }

// stamp writes an instant in UTC. A millisecond is the least that a store keeps; ours keeps microseconds.
func stamp(at time.Time) string { return at.UTC().Format("2006-01-02T15:04:05.000000Z07:00") }
