package xapi

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"isthmus/competency"
)

var (
	uuids      = regexp.MustCompile(`^[0-9a-f]{8}-[0-9a-f]{4}-[1-8][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$`) // variant 2 of RFC 4122 (Data 2.4.1, 4.4)
	iris       = regexp.MustCompile(`^(https?|mailto|urn|tag):[^\s<>"{}|\\^` + "`" + `]+$`)                      // absolute (Data 4.3; 2.4.4.1: a fragment is none)
	timestamps = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3,}(Z|[+-]\d{2}:\d{2})$`)          // RFC 3339, milliseconds or more, with a zone (Data 4.5)
	languages  = regexp.MustCompile(`^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$`)                                          // RFC 5646 (Data 4.2)
)

// allowed are the properties of each object, and those required; what is not here must not be sent (Data 2.2: no other properties).
var allowed = map[string]struct{ all, required []string }{
	"statement":  {[]string{"id", "actor", "verb", "object", "result", "context", "timestamp", "stored", "authority", "version", "attachments"}, []string{"actor", "verb", "object"}}, // 2.4
	"agent":      {[]string{"objectType", "name", "mbox", "mbox_sha1sum", "openid", "account"}, nil},                                                                                  // 2.4.2.1
	"account":    {[]string{"homePage", "name"}, []string{"homePage", "name"}},                                                                                                        // 2.4.2.4
	"verb":       {[]string{"id", "display"}, []string{"id", "display"}},                                                                                                              // 2.4.3: display SHOULD be used by all
	"activity":   {[]string{"objectType", "id", "definition"}, []string{"id"}},                                                                                                        // 2.4.4.1
	"definition": {[]string{"name", "description", "type", "moreInfo", "extensions"}, []string{"name", "description", "type"}},                                                        // all three recommended
	"ref":        {[]string{"objectType", "id"}, []string{"objectType", "id"}},                                                                                                        // 2.4.4.3
	"result":     {[]string{"score", "success", "completion", "response", "duration", "extensions"}, nil},                                                                             // 2.4.5
	"score":      {[]string{"scaled", "raw", "min", "max"}, nil},                                                                                                                      // 2.4.5.1
	"context":    {[]string{"registration", "instructor", "team", "contextActivities", "revision", "platform", "language", "statement", "extensions"}, nil},                           // 2.4.6
	"activities": {[]string{"parent", "grouping", "category", "other"}, nil},                                                                                                          // 2.4.6.2
}

// checker gathers breaches of the specification.
type checker struct{ faults []string }

func (c *checker) add(format string, args ...any) {
	c.faults = append(c.faults, fmt.Sprintf(format, args...))
}

// object reads an object and checks which properties it has. No value may be null (Data 2.2).
func (c *checker) object(where, kind string, value any) map[string]any {
	object, ok := value.(map[string]any)
	if !ok {
		c.add("%s is no object", where)
		return map[string]any{}
	}
	for name, inside := range object {
		if !slices.Contains(allowed[kind].all, name) || inside == nil {
			c.add("%s.%s does not belong there", where, name)
		}
	}
	for _, name := range allowed[kind].required {
		if object[name] == nil {
			c.add("%s.%s is missing", where, name)
		}
	}
	return object
}

// text reads a text and checks its form.
func (c *checker) text(where string, value any, form *regexp.Regexp) {
	if text, ok := value.(string); !ok || !form.MatchString(text) {
		c.add("%s is %v", where, value)
	}
}

// languageMap checks Data 4.2.
func (c *checker) languageMap(where string, value any) {
	object, ok := value.(map[string]any)
	if !ok || len(object) == 0 {
		c.add("%s is no language map", where)
	}
	for language, text := range object {
		if words, ok := text.(string); !languages.MatchString(language) || !ok || words == "" {
			c.add("%s.%s: %v", where, language, text)
		}
	}
}

// extensions checks Data 4.1: every key is an IRI.
func (c *checker) extensions(where string, value any) {
	object, ok := value.(map[string]any)
	if value != nil && !ok {
		c.add("%s is no map", where)
	}
	for key := range object {
		c.text(where+" key", key, iris)
	}
}

// agent checks Data 2.4.2.1 and 2.4.2.3: exactly one identifier; and our own rule, that it is the account, without a name.
func (c *checker) agent(where string, value any) {
	agent := c.object(where, "agent", value)
	identifiers := 0
	for _, name := range []string{"mbox", "mbox_sha1sum", "openid", "account"} {
		if agent[name] != nil {
			identifiers++
		}
	}
	if identifiers != 1 || agent["account"] == nil || agent["name"] != nil || agent["objectType"] != "Agent" {
		c.add("%s must be known by an account alone: %v", where, agent)
	}
	account := c.object(where+".account", "account", agent["account"])
	c.text(where+".account.homePage", account["homePage"], iris)
}

func (c *checker) activity(where string, value any) {
	activity := c.object(where, "activity", value)
	if activity["objectType"] != "Activity" {
		c.add("%s is of another type", where)
	}
	c.text(where+".id", activity["id"], iris)
	definition := c.object(where+".definition", "definition", activity["definition"])
	c.languageMap(where+".name", definition["name"])
	c.languageMap(where+".description", definition["description"])
	c.text(where+".type", definition["type"], iris)
}

// result checks Data 2.4.5 and 2.4.5.1.
func (c *checker) result(value any) {
	result := c.object("result", "result", value)
	for _, name := range []string{"success", "completion"} {
		if _, isBool := result[name].(bool); result[name] != nil && !isBool {
			c.add("result.%s is no boolean", name)
		}
	}
	c.extensions("result.extensions", result["extensions"])
	if result["score"] == nil {
		return
	}
	score := c.object("score", "score", result["score"])
	scaled, raw, least, most := score["scaled"].(float64), score["raw"].(float64), score["min"].(float64), score["max"].(float64)
	if scaled < -1 || scaled > 1 || least >= most || raw < least || raw > most {
		c.add("score %v", score)
	}
}

// context checks Data 2.4.6 and 2.4.6.2.
func (c *checker) context(value any) {
	context := c.object("context", "context", value)
	if context["instructor"] != nil {
		c.agent("instructor", context["instructor"])
	}
	for name, list := range c.object("contextActivities", "activities", context["contextActivities"]) {
		items, ok := list.([]any) // SHOULD be a list
		if !ok || len(items) == 0 {
			c.add("contextActivities.%s is no list", name)
		}
		for i, item := range items {
			c.activity(fmt.Sprintf("%s[%d]", name, i), item)
		}
	}
	c.extensions("context.extensions", context["extensions"])
}

// faultsOf finds every breach of the specification in a statement as JSON.
func faultsOf(text []byte, now time.Time) []string {
	var value any
	var c checker
	if err := json.Unmarshal(text, &value); err != nil {
		return []string{err.Error()}
	}
	s := c.object("statement", "statement", value)
	c.text("id", s["id"], uuids)
	c.text("timestamp", s["timestamp"], timestamps)
	if at, err := time.Parse(time.RFC3339Nano, fmt.Sprint(s["timestamp"])); err != nil || at.After(now) { // 2.4.7: no future time
		c.add("timestamp %v", s["timestamp"])
	}
	for _, name := range []string{"stored", "authority", "version"} { // set by the store (2.4.8, 2.4.9); SHOULD NOT be set (2.4.10)
		if s[name] != nil {
			c.add("%s is the store's to set", name)
		}
	}
	c.agent("actor", s["actor"])
	verb := c.object("verb", "verb", s["verb"])
	c.text("verb.id", verb["id"], iris)
	c.languageMap("verb.display", verb["display"])
	object, _ := s["object"].(map[string]any)
	if (verb["id"] == verbVoided) != (object["objectType"] == "StatementRef") { // 2.3.2
		c.add("a voiding statement refers to a statement, and no other does here")
	}
	if object["objectType"] == "StatementRef" {
		c.text("object.id", c.object("object", "ref", object)["id"], uuids)
	} else {
		c.activity("object", object)
	}
	if s["result"] != nil {
		c.result(s["result"])
	}
	if s["context"] != nil {
		c.context(s["context"])
	}
	return c.faults
}

var (
	now   = time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)
	place = Place{URL: "https://isthmus.example.org", Programme: "0198c0de-0000-7000-8000-00000000000a", Caution: "For education."}
)

// TestValidatorFinds: the checks above refuse what the specification refuses.
func TestValidatorFinds(t *testing.T) {
	good := place.Plan(Plan{ID: "p", Trainee: "ines", Scenario: "first", ScenarioVersion: 1, Attempt: 1, Score: 80, Letter: "B", At: now})
	for name, spoil := range map[string]func(*Statement){
		"no UUID":           func(s *Statement) { s.ID = "1" },
		"no verb":           func(s *Statement) { s.Verb.ID = "" },
		"a relative verb":   func(s *Statement) { s.Verb.ID = "/verbs/scored" },
		"no display":        func(s *Statement) { s.Verb.Display = nil },
		"no home page":      func(s *Statement) { s.Actor.Account.HomePage = "isthmus" },
		"no time zone":      func(s *Statement) { s.Timestamp = "2026-06-01T09:00:00.000" },
		"only seconds":      func(s *Statement) { s.Timestamp = "2026-06-01T09:00:00Z" },
		"the future":        func(s *Statement) { s.Timestamp = "2026-06-01T09:00:01.000Z" },
		"too high a score":  func(s *Statement) { s.Result.Score.Scaled = 1.01 },
		"above its max":     func(s *Statement) { s.Result.Score.Raw = 101 },
		"an extension":      func(s *Statement) { s.Result.Extensions = map[string]any{"letter": "B"} },
		"voids an activity": func(s *Statement) { s.Verb.ID = verbVoided },
		"no language":       func(s *Statement) { s.Verb.Display = LanguageMap{"english language": "scored"} },
		"no grouping":       func(s *Statement) { s.Context.ContextActivities.Grouping = nil },
	} {
		s := good
		result, score, context := *good.Result, *good.Result.Score, *good.Context
		activities := *good.Context.ContextActivities
		result.Score, context.ContextActivities, s.Result, s.Context = &score, &activities, &result, &context
		spoil(&s)
		text, _ := json.Marshal(s)
		if len(faultsOf(text, now)) == 0 {
			t.Errorf("%s passes: %s", name, text)
		}
	}
}

// statements draws one of each kind.
func statements(t *rapid.T) []Statement {
	at := now.Add(-time.Duration(rapid.Int64Range(0, 1e9).Draw(t, "microseconds before")) * time.Microsecond)
	slug := rapid.StringMatching(`[a-z0-9]{1,8}(-[a-z0-9]{1,8}){0,3}`)
	person := func(name string) competency.PersonID {
		return competency.PersonID(rapid.StringMatching(`[0-9a-f]{8}`).Draw(t, name))
	}
	record := rapid.StringMatching(`[0-9a-f]{8}`)
	return []Statement{
		place.Plan(Plan{ID: competency.PlanID(record.Draw(t, "plan")), Trainee: person("trainee"), Scenario: slug.Draw(t, "scenario"), ScenarioVersion: rapid.IntRange(1, 9).Draw(t, "version"),
			Attempt: rapid.IntRange(1, 99).Draw(t, "attempt"), Score: rapid.Float64Range(0, 100).Draw(t, "score"), Letter: "A-", Unsafe: rapid.Bool().Draw(t, "unsafe"), At: at}),
		place.Quiz(Quiz{ID: competency.QuizID(record.Draw(t, "quiz")), Trainee: person("quizzed"), Mode: rapid.SampledFrom([]string{"practice", "daily", "test"}).Draw(t, "mode"),
			Score: rapid.Float64Range(-3, 20).Draw(t, "points"), Max: 20, Cut: 70, At: at}),
		place.SignOff(SignOff{ID: competency.SignOffID(record.Draw(t, "sign-off")), Trainee: person("trainee"), Assessor: person("assessor"), Role: competency.RolePrimary,
			HelpGiven: 4, SupervisionNext: 3, At: at}),
		place.Decision(Decision{ID: competency.DecisionID(record.Draw(t, "decision")), Trainee: person("trainee"), Signer: person("signer"), Outcome: competency.OutcomeContinue, Standard: 2, At: at}),
		place.Void(Void{SignOff: competency.SignOffID(record.Draw(t, "void")), By: person("by"), At: at}),
	}
}

// TestStatements: every statement keeps the specification, names nobody and carries the caution where it carries a verdict.
func TestStatements(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, s := range statements(t) {
			text, err := json.Marshal(s)
			if err != nil {
				t.Fatal(err)
			}
			for _, fault := range faultsOf(text, now) {
				t.Errorf("%s\n%s", fault, text)
			}
			if strings.Contains(string(text), "@") || strings.Contains(string(text), "mailto") {
				t.Errorf("a mail address: %s", text)
			}
			if s.Verb.ID != verbVoided && s.Context.Extensions["https://isthmus.example.org/xapi/extensions/caution"] != place.Caution {
				t.Errorf("no caution: %s", text)
			}
		}
	})
}

// TestVocabulary: the verbs and kinds of activity are those of ADL's public vocabulary, as its own client library lists them
// (github.com/adlnet/xAPIWrapper, src/verbs.js and src/activitytypes.js), or an address of our own.
func TestVocabulary(t *testing.T) {
	verbs := []string{"answered", "asked", "attempted", "attended", "commented", "completed", "exited", "experienced", "failed", "imported", "initialized", "interacted", "launched",
		"mastered", "passed", "preferred", "progressed", "registered", "responded", "resumed", "scored", "shared", "suspended", "terminated", "voided"}
	kinds := []string{"assessment", "attempt", "course", "file", "interaction", "lesson", "link", "media", "meeting", "module", "objective", "performance", "profile", "question", "simulation"}
	known := func(iri, base string, names []string) bool {
		name, isADL := strings.CutPrefix(iri, base)
		return isADL && slices.Contains(names, name) || strings.HasPrefix(iri, place.URL+"/xapi/")
	}
	rapid.Check(t, func(t *rapid.T) {
		for _, s := range statements(t) {
			if !known(s.Verb.ID, "http://adlnet.gov/expapi/verbs/", verbs) {
				t.Errorf("verb %s", s.Verb.ID)
			}
			if d := s.Object.Definition; d != nil && !known(d.Type, "http://adlnet.gov/expapi/activities/", kinds) {
				t.Errorf("kind %s", d.Type)
			}
		}
	})
}

// TestIDs: the same record gives the same id and another one another; a void names the statement it takes back.
func TestIDs(t *testing.T) {
	signed := SignOff{ID: "s1", Trainee: "ines", Assessor: "mei", At: now}
	if once, again := place.SignOff(signed).ID, place.SignOff(signed).ID; once != again {
		t.Error("the same signature has two ids")
	}
	if void := place.Void(Void{SignOff: "s1", By: "mei", At: now}); void.Object.ID != place.SignOff(signed).ID || void.ID == void.Object.ID {
		t.Errorf("%+v", void)
	}
	elsewhere := place
	elsewhere.Programme = "another"
	ids := []string{place.SignOff(signed).ID, elsewhere.SignOff(signed).ID, place.Plan(Plan{ID: "s1"}).ID, place.Decision(Decision{ID: "s1"}).ID}
	slices.Sort(ids)
	if len(slices.Compact(ids)) != 4 {
		t.Error("two records share an id")
	}
	passed, failed, practised := place.Quiz(Quiz{Mode: "test", Score: 14, Max: 20, Cut: 70}), place.Quiz(Quiz{Mode: "test", Score: 13.9, Max: 20, Cut: 70}), place.Quiz(Quiz{Mode: "practice", Max: 5})
	if !*passed.Result.Success || *failed.Result.Success || practised.Result.Success != nil || passed.Result.Score.Scaled != 0.7 {
		t.Errorf("a test has a success at its cut, practice none: %+v, %+v, %+v", passed.Result, failed.Result, practised.Result)
	}
	if place.Plan(Plan{Unsafe: true}).Result.Success == nil || place.Plan(Plan{}).Result.Success != nil {
		t.Error("success is told of an unsafe plan alone")
	}
}
