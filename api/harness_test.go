package api

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"isthmus/api/service"
	"isthmus/api/signin"
	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/competency"
	"isthmus/policies"
)

// Two programmes that must never see each other. Everybody in them is invented.
const (
	north = competency.ProgrammeID("north")
	south = competency.ProgrammeID("south")
)

// cast is who there is: person, programme, roles. The stranger has every role, in the other programme.
var cast = []struct {
	name      string
	programme competency.ProgrammeID
	roles     []policies.Role
}{
	{"ines", north, []policies.Role{policies.Trainee}},
	{"kofi", north, []policies.Role{policies.Trainee}},
	{"mei", north, []policies.Role{policies.Faculty}},
	{"leila", north, []policies.Role{policies.Faculty}},
	{"amara", north, []policies.Role{policies.Director}},
	{"jonas", north, []policies.Role{policies.Coordinator}},
	{"ruth", north, []policies.Role{policies.Committee}},
	{"yuki", north, []policies.Role{policies.Reviewer}},
	{"oskar", north, []policies.Role{policies.Operator}},
	{"stranger", south, policies.MembershipRoles()},
	{"nobody", "", nil},
}

const (
	joined   = competency.Day("2026-01-05")
	password = "a narrow passage"
)

// hashed is the password's hash, made once: it is slow by design.
var hashed = sync.OnceValue(func() string {
	hash, err := signin.HashPassword(password)
	if err != nil {
		panic(err)
	}
	return hash
})

// fakeClock is a clock that tests set.
type fakeClock struct {
	mutex sync.Mutex
	now   time.Time
}

func (c *fakeClock) Now() time.Time {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	return c.now
}

func (c *fakeClock) advance(d time.Duration) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.now = c.now.Add(d)
}

// world is the whole program with its two programmes in an otherwise empty database.
type world struct {
	testing.TB
	store   *store.Store
	clock   *fakeClock
	server  *server
	handler http.Handler
	log     *bytes.Buffer
	clients map[string]*client
	broken  error // what Ready says
}

func newWorld(tb testing.TB, db *store.Store) *world {
	tb.Helper()
	w := &world{TB: tb, store: db, clock: &fakeClock{now: time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)}, log: &bytes.Buffer{}, clients: map[string]*client{}}
	allow, err := policies.New()
	w.must(err)
	newID := func() string { return uuid.Must(uuid.NewV7()).String() }
	acts, err := service.New(service.Deps{
		Store: db, Authorizer: allow, Model: atrium.Default(), Policy: assessment.DefaultPolicy(), Scenarios: scenarios(), Clock: w.clock.Now, NewID: newID,
	})
	w.must(err)
	deps := Deps{
		Service: acts, Store: db, Authorizer: allow, Ready: func(context.Context) error { return w.broken },
		Web:    http.HandlerFunc(func(rw http.ResponseWriter, r *http.Request) { fmt.Fprint(rw, "web ", r.URL.Path) }),
		Logger: slog.New(slog.NewTextHandler(w.log, nil)), Clock: w.clock.Now, NewID: newID, Version: "test",
		Idle: 2 * time.Hour, SignedIn: 12 * time.Hour, PlainCookies: true,
	}
	server, engine, err := assemble(deps)
	w.must(err)
	w.server, w.handler = server, server.chain(engine)
	w.populate()
	return w
}

// timedID is a scenario whose test takes twenty minutes at most; the test of scenarioID has no limit.
func timedID() assessment.ScenarioID { return pack.Scenarios()[1].ID }

// scenarios are the starter scenarios with the time limits of these tests.
func scenarios() []assessment.Scenario {
	list := slices.Clone(pack.Scenarios())
	list[0].MinutesLimit, list[1].MinutesLimit = 0, 20
	return list
}

// populate adds both programmes with their people and a standard each.
func (w *world) populate() {
	for _, programme := range []competency.ProgrammeID{north, south} {
		w.write(programme, func(tx *store.Tx) error {
			settings := competency.Defaults()
			err := tx.CreateProgramme(store.Programme{ID: programme, Name: string(programme), Settings: settings, CreatedAt: w.clock.Now()})
			if err != nil {
				return err
			}
			return tx.Audit("programme", string(programme), nil, settings)
		})
	}
	for _, person := range cast {
		w.write(person.programme, func(tx *store.Tx) error {
			id := competency.PersonID(person.name)
			err := tx.CreatePerson(store.Person{ID: id, Email: person.name + "@example.org", Name: strings.ToUpper(person.name[:1]) + person.name[1:], PasswordHash: hashed(), CreatedAt: w.clock.Now()})
			if err != nil {
				return err
			}
			for _, role := range person.roles {
				if err := tx.AddMembership(store.Membership{Programme: person.programme, Person: id, Role: string(role), From: joined}); err != nil {
					return err
				}
			}
			return tx.Audit("person", person.name, nil, person.name)
		})
	}
	w.letSee("yuki", store.ViewingChoice{Trainees: []competency.PersonID{"ines", "kofi"}, Figures: store.FiguresRows}, "2026-08-29")
	for programme, by := range map[competency.ProgrammeID]competency.PersonID{north: "amara", south: "stranger"} {
		w.write(programme, func(tx *store.Tx) error {
			standard := store.Standard{
				Programme: programme, Version: competency.ExampleStandard().Version, InForceFrom: joined, YAML: string(competency.ExampleStandardYAML()),
				CreatedBy: by, CreatedAt: w.clock.Now(),
			}
			if err := tx.AddStandard(standard); err != nil {
				return err
			}
			return tx.Audit("standard", "1", nil, standard)
		})
	}
}

// letSee chooses what a reviewer of the north programme may see.
func (w *world) letSee(reviewer competency.PersonID, choice store.ViewingChoice, until competency.Day) {
	w.write(north, func(tx *store.Tx) error {
		row := store.Viewing{ID: uuid.Must(uuid.NewV7()).String(), Programme: north, Person: reviewer, ViewingChoice: choice, Until: until, By: "amara", At: w.clock.Now()}
		if err := tx.AddViewing(row); err != nil {
			return err
		}
		return tx.Audit("viewing", string(reviewer), nil, row)
	})
}

func (w *world) write(programme competency.ProgrammeID, fn func(*store.Tx) error) {
	w.Helper()
	w.must(w.store.Write(w.Context(), store.Act{Programme: programme, Name: "test.prepare", At: w.clock.Now()}, fn))
}

func (w *world) must(err error) {
	w.Helper()
	if err != nil {
		w.Fatal(err)
	}
}

// tables hold what must not change when a request is refused. Sessions and failed sign-ins are no records.
var tables = []string{
	"imports", "import_cases", "import_mappings", "programmes", "people", "memberships", "tokens", "idempotency_keys", "audit_entries", "standards", "standard_moves", "plans", "cases", "case_versions", "case_acts", "sign_offs",
	"follow_ups", "case_keys", "sittings", "scope_policies", "editions", "scenario_versions", "edition_acts", "question_editions", "question_versions", "question_acts", "tests", "test_versions", "panels", "panel_sheets", "test_cuts", "identifier_overrides", "identifier_reviews",
	"invitations", "rotations", "deactivations", "simulations", "statements", "statement_deliveries", "statement_choices", "reports", "viewings", "quiz_attempts",
}

// state counts every table's rows and the changes of all cases.
func (w *world) state() map[string]int {
	w.Helper()
	state := map[string]int{}
	for _, table := range tables {
		var n int
		w.must(w.store.DB().QueryRowContext(w.Context(), "SELECT COUNT(*) FROM "+table).Scan(&n))
		state[table] = n
	}
	var revisions int
	w.must(w.store.DB().QueryRowContext(w.Context(), "SELECT COALESCE(SUM(revision), 0) FROM cases").Scan(&revisions))
	state["revisions"] = revisions
	return state
}

// client is one person's browser or program.
type client struct {
	w       *world
	cookies map[string]string
	token   string
	origin  string // of the page that sends writes; empty for a program
	site    string // Sec-Fetch-Site
}

// anonymous is a client without a sign-in.
func (w *world) anonymous() *client { return &client{w: w, cookies: map[string]string{}} }

// as is the client of a person of the cast, signed in.
func (w *world) as(name string) *client {
	w.Helper()
	if c := w.clients[name]; c != nil {
		return c
	}
	c := w.anonymous()
	c.do("POST", "/api/session", map[string]string{"email": name + "@example.org", "password": password}).want(200)
	w.clients[name] = c
	return c
}

// reply is an answer.
type reply struct {
	w       *world
	request string
	status  int
	header  http.Header
	body    []byte
}

// do sends a request. A body that is a string goes as it is, anything else as JSON. Headers come in pairs.
func (c *client) do(method, path string, body any, headers ...string) *reply {
	c.w.Helper()
	var sent io.Reader
	switch b := body.(type) {
	case nil:
	case string:
		sent = strings.NewReader(b)
	default:
		data, err := json.Marshal(b)
		c.w.must(err)
		sent = bytes.NewReader(data)
	}
	r := httptest.NewRequest(method, path, sent)
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	for name, value := range c.cookies {
		r.AddCookie(&http.Cookie{Name: name, Value: value})
	}
	if c.token != "" {
		r.Header.Set("Authorization", "Bearer "+c.token)
	}
	if c.origin != "" {
		r.Header.Set("Origin", c.origin)
	}
	if c.site != "" {
		r.Header.Set("Sec-Fetch-Site", c.site)
	}
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	recorder := httptest.NewRecorder()
	c.w.handler.ServeHTTP(recorder, r)
	result := recorder.Result()
	for _, cookie := range result.Cookies() {
		if cookie.MaxAge < 0 {
			delete(c.cookies, cookie.Name)
			continue
		}
		c.cookies[cookie.Name] = cookie.Value
	}
	return &reply{w: c.w, request: method + " " + path, status: result.StatusCode, header: result.Header, body: recorder.Body.Bytes()}
}

// want fails the test when the status is another one; it returns the reply.
func (r *reply) want(status int) *reply {
	r.w.Helper()
	if r.status != status {
		r.w.Fatalf("%s = %d, want %d: %s\n%s", r.request, r.status, status, r.body, r.w.log)
	}
	return r
}

// into reads the body.
func (r *reply) into(v any) *reply {
	r.w.Helper()
	if err := json.Unmarshal(r.body, v); err != nil {
		r.w.Fatalf("%s: %v: %s", r.request, err, r.body)
	}
	return r
}

// problem reads the body as a problem and checks its form.
func (r *reply) problem() Problem {
	r.w.Helper()
	var p Problem
	r.into(&p)
	if r.header.Get("Content-Type") != problemType || p.Status != r.status || p.Title == "" || !strings.HasPrefix(p.Type, "/problems/") || p.RequestID == "" {
		r.w.Errorf("%s: no proper problem: %s %s", r.request, r.header.Get("Content-Type"), r.body)
	}
	return p
}

func (r *reply) etag() string { return r.header.Get("ETag") }

// in is a path in the north programme.
func in(rest string) string { return "/api/programmes/" + string(north) + rest }

// biatrial is a record of a complete biatrial set, supervised by mei.
func biatrial() competency.Record {
	names := []atrium.LesionID{
		atrium.LeftPulmonaryVeinIsolation, atrium.RightPulmonaryVeinIsolation, atrium.RoofLine, atrium.FloorLine, atrium.MitralIsthmusLine,
		atrium.CoronarySinusLesion, atrium.LeftAppendageLine, atrium.IntercavalLine, atrium.FreeWallLine, atrium.RightAppendageLine, atrium.CavotricuspidIsthmusLine,
	}
	record := competency.Record{
		Supervisor: "mei", Site: "Main site", OperatedOn: "2026-05-28", AF: af.History{ContinuousMonths: 6, Ends: af.DoesNotEnd, RhythmControlPursued: true},
		LeftAtriumBand: "50-54", Operation: "mitral", Approach: "sternotomy", Urgency: "elective", OnBypass: true, LeftAtriumOpened: true,
		Appendage: competency.AppendageDelivered{State: atrium.AppendageExcised, Method: "excision-and-suture", Result: "closed"},
		Events:    []string{}, Note: "Clamp applied twice at the roof.",
	}
	for _, name := range names {
		lesion := atrium.Lesion{Name: name, Energy: atrium.BipolarRF, Applications: 2}
		if name == atrium.LeftPulmonaryVeinIsolation || name == atrium.RightPulmonaryVeinIsolation {
			lesion.Block = atrium.ExitBlock
		}
		record.Lesions = append(record.Lesions, lesion)
	}
	record.Steps = stepsBy(record, competency.ByTrainee)
	return record
}

// stepsBy says that somebody performed every step.
func stepsBy(record competency.Record, performer competency.Performer) []competency.Step {
	var steps []competency.Step
	for _, step := range competency.StepsOf(record.Lesions, record.Appendage) {
		steps = append(steps, competency.Step{Step: step, PerformedBy: performer})
	}
	return steps
}

// statement is what a supervisor states of a record.
func statement(record competency.Record) competency.Statement {
	return competency.Statement{
		Steps: stepsBy(record, competency.ByTrainee), HelpGiven: 4, SupervisionNext: 3, ComplicationsAgreed: true,
		Keep: "Exit block tested before the clamp came off.", Change: "Name the gap aloud before closing.",
	}
}

type recordOf struct {
	Record competency.Record `json:"record"`
}

// draft creates a case of ines.
func (w *world) draft(record competency.Record) *reply {
	w.Helper()
	return w.as("ines").do("POST", in("/cases"), recordOf{record}).want(201)
}

// submitted creates a case of ines and submits it.
func (w *world) submitted(record competency.Record) (path, etag string) {
	w.Helper()
	made := w.draft(record)
	path = made.header.Get("Location")
	return path, w.as("ines").do("POST", path+"/submission", nil, "If-Match", made.etag()).want(200).etag()
}
