package service

import (
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"isthmus/api/lrs"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/migrations"
	"isthmus/policies"
)

// recordStore is a learning record store: it keeps each statement once, by its id, and answers as it is told to.
type recordStore struct {
	*httptest.Server
	lock   sync.Mutex
	kept   map[string]string
	asked  int
	answer func(asked int) int // the status; 0 keeps the statement, -1 keeps it and never answers
}

func openRecords(t *testing.T) *recordStore {
	r := &recordStore{kept: map[string]string{}}
	r.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, request *http.Request) {
		body, _ := io.ReadAll(request.Body)
		var one struct{ ID string }
		if err := json.Unmarshal(body, &one); err != nil || one.ID == "" || request.URL.Path != "/xapi/statements" {
			t.Errorf("%s %s: %s", request.Method, request.URL, body)
		}
		r.lock.Lock()
		r.asked++
		status := 0
		if r.answer != nil {
			status = r.answer(r.asked)
		}
		before, known := r.kept[one.ID]
		if known && before != string(body) {
			t.Errorf("another statement under one id:\n%s\n%s", before, body)
		}
		if status <= 0 {
			r.kept[one.ID] = string(body)
		}
		r.lock.Unlock()
		switch {
		case status == -1:
			<-request.Context().Done()
		case status > 0:
			w.WriteHeader(status)
		case known:
			w.WriteHeader(http.StatusConflict)
		default:
			_, _ = io.WriteString(w, `["`+one.ID+`"]`)
		}
	}))
	t.Cleanup(r.Close)
	return r
}

func (r *recordStore) count() (kept, asked int) {
	r.lock.Lock()
	defer r.lock.Unlock()
	return len(r.kept), r.asked
}

// tellingTo is a place with two graded plans whose director hands statements over to r.
func tellingTo(t *testing.T, db *store.Store, r *recordStore) (*place, Actor) {
	p := newPlace(t, db)
	p.service.deps.URL = "https://isthmus.example.org"
	p.service.deps.Records = lrs.Store{Endpoint: r.URL + "/xapi", User: "isthmus", Secret: "sesame", Timeout: 300 * time.Millisecond}
	ines := p.join("ines", policies.Trainee)
	for mark := range 2 {
		p.practise(ines, mark)
	}
	director := Actor{Person: "director"}
	if _, err := p.service.ChooseDelivery(t.Context(), director, programme, DeliveryChoice{Deliver: true}); err != nil {
		t.Fatal(err)
	}
	return p, director
}

// practise hands a plan in for practice.
func (p *place) practise(trainee Actor, mark int) {
	p.Helper()
	_, err := p.service.SubmitPlan(p.Context(), trainee, programme, PlanSubmission{Scenario: p.service.starter.list[1].ID, Plan: planMarked(mark, true)})
	p.must(err)
}

// tell writes and hands over until nothing is left to do now.
func (p *place) tell() {
	p.Helper()
	for range 20 {
		told, err := p.service.TellStatements(p.Context())
		p.must(err)
		worked, err := p.service.WorkOnStatements(p.Context())
		p.must(err)
		if !told && !worked {
			return
		}
	}
	p.Fatal("the statements never end")
}

func (p *place) queue(director Actor) DeliveryView {
	p.Helper()
	view, err := p.service.Disclosure(p.Context(), director, programme)
	p.must(err)
	return view.Delivery
}

// entriesOf counts the audit entries of an act.
func (p *place) entriesOf(act string) int {
	p.Helper()
	n := 0
	p.must(p.store.Read(p.Context(), func(tx *store.Tx) error {
		entries, _, err := tx.AuditEntries(programme, store.Page{Limit: 200})
		for _, entry := range entries {
			if entry.Act == act {
				n++
			}
		}
		return err
	}))
	return n
}

// TestStatementsOnce: two processes write and hand over beside one another; each statement reaches the store once, with an audit entry, and nothing
// that was handed over before is written again later.
func TestStatementsOnce(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		r := openRecords(t)
		p, director := tellingTo(t, db, r)
		for range 3 {
			var both sync.WaitGroup
			for range 2 {
				both.Go(func() {
					for range 4 {
						if _, err := p.service.TellStatements(t.Context()); err != nil && !errors.Is(err, store.ErrUnavailable) {
							t.Error(err)
						}
						if _, err := p.service.WorkOnStatements(t.Context()); err != nil && !errors.Is(err, store.ErrUnavailable) {
							t.Error(err)
						}
					}
				})
			}
			both.Wait()
		}
		p.tell()
		if kept, asked := r.count(); kept != 2 || asked != 2 {
			t.Fatalf("%d kept, asked %d times", kept, asked)
		}
		q := p.queue(director)
		if q.Sent != 2 || q.Waiting != 0 || !q.On || !q.Configured || p.entriesOf("statement.send") != 2 || p.entriesOf("statement.write") == 0 {
			t.Errorf("%+v, %d entries", q, p.entriesOf("statement.send"))
		}
		p.advance(48 * time.Hour)
		p.tell()
		if _, asked := r.count(); asked != 2 {
			t.Errorf("asked %d times", asked)
		}
		for _, text := range r.kept {
			if strings.Contains(text, "Ines") || strings.Contains(text, "@") {
				t.Errorf("it names somebody: %s", text)
			}
		}
		if _, err := p.service.ChooseDelivery(t.Context(), director, programme, DeliveryChoice{Deliver: false, After: 1}); err != nil {
			t.Fatal(err)
		}
		p.practise(Actor{Person: "ines"}, 2)
		p.tell()
		if kept, _ := r.count(); kept != 2 {
			t.Error("handed over after it was turned off")
		}
		if _, err := p.service.ChooseDelivery(t.Context(), director, programme, DeliveryChoice{Deliver: true, After: 2}); err != nil {
			t.Fatal(err)
		}
		p.tell()
		if kept, _ := r.count(); kept != 3 {
			t.Error("what happened while it was off is lost")
		}
	})
}

// TestStatementsAgain: whatever the store answers or does not, nothing is lost, nothing is sent more often than its turn comes, and a
// statement that was taken without an answer is not doubled.
func TestStatementsAgain(t *testing.T) {
	always := func(status int) func(int) int { return func(int) int { return status } }
	for _, c := range []struct {
		name    string
		answer  func(int) int
		says    string
		next    time.Duration // until the next try
		refused bool
	}{
		{"its own fault", always(503), "503", time.Minute, false},
		{"a wrong account", always(401), "401", time.Minute, false},
		{"too many requests", always(429), "429", time.Minute, false},
		{"the statement refused", always(400), "400", statementRefused, true},
		{"taken, never answered", always(-1), "did not answer in time", time.Minute, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := openRecords(t)
			r.answer = c.answer
			p, director := tellingTo(t, storetest.Open(t, migrations.SQLite), r)
			p.tellBoth()
			q := p.queue(director)
			if _, asked := r.count(); asked != 2 || q.Waiting != 2 || q.Stuck != 2 || q.Sent != 0 || !strings.Contains(q.Message, c.says) {
				t.Fatalf("asked %d times, %+v", asked, q)
			}
			p.advance(c.next - time.Second)
			p.tellBoth()
			if _, asked := r.count(); asked != 2 {
				t.Errorf("asked %d times before the turn", asked)
			}
			r.lock.Lock()
			r.answer = nil
			r.lock.Unlock()
			p.advance(time.Second)
			p.tell()
			if kept, asked := r.count(); kept != 2 || asked != 4 {
				t.Errorf("%d kept, asked %d times", kept, asked)
			}
			if q := p.queue(director); q.Sent != 2 || q.Waiting != 0 || q.Message != "" {
				t.Errorf("%+v", q)
			}
		})
	}
}

// tellBoth gives each of two statements its turn; a try that fails asks for no hurry.
func (p *place) tellBoth() {
	p.Helper()
	for range 3 {
		p.tell()
	}
}

// TestStatementsDown: while nothing listens the tries get rarer, and one refused statement does not hold the others up.
func TestStatementsDown(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		r := openRecords(t)
		p, director := tellingTo(t, db, r)
		there := p.service.deps.Records
		p.service.deps.Records = lrs.Store{Endpoint: "http://127.0.0.1:1/xapi", User: "u", Secret: "s"}
		for range 6 {
			p.tellBoth()
			p.advance(40 * time.Minute)
		}
		if q := p.queue(director); q.Waiting != 2 || !strings.Contains(q.Message, "cannot be reached") || q.Oldest.IsZero() {
			t.Errorf("%+v", q)
		}
		p.service.deps.Records = there
		first := true
		r.answer = func(int) int {
			if first {
				first = false
				return 400
			}
			return 0
		}
		p.advance(2 * time.Hour)
		p.tellBoth()
		if q := p.queue(director); q.Sent != 1 || q.Waiting != 1 {
			t.Errorf("one refused holds the other up: %+v", q)
		}
		p.advance(statementRefused)
		p.tell()
		if q := p.queue(director); q.Sent != 2 {
			t.Errorf("%+v", q)
		}
	})
}

// TestStatementsOff: without a store, or without the director's word, nothing is written and nothing leaves.
func TestStatementsOff(t *testing.T) {
	r := openRecords(t)
	p, director := tellingTo(t, storetest.Open(t, migrations.SQLite), r)
	if _, err := p.service.ChooseDelivery(t.Context(), director, programme, DeliveryChoice{After: 1}); err != nil {
		t.Fatal(err)
	}
	p.tell()
	p.service.deps.Records = nil
	p.tell()
	var n int
	p.must(p.store.DB().QueryRow("SELECT COUNT(*) FROM statements").Scan(&n))
	if kept, asked := r.count(); n != 0 || kept != 0 || asked != 0 {
		t.Errorf("%d written, %d kept, asked %d times", n, kept, asked)
	}
	if _, err := p.service.ChooseDelivery(t.Context(), director, programme, DeliveryChoice{Deliver: true, After: 2}); err == nil {
		t.Error("begun without a store")
	}
}

// TestStatementAgain: the waits double up to two hours.
func TestStatementAgain(t *testing.T) {
	last := time.Duration(0)
	for tries := 1; tries < 100; tries++ {
		wait := statementAgain(tries)
		if wait < last || wait < time.Minute || wait > 2*time.Hour {
			t.Errorf("try %d waits %v after %v", tries, wait, last)
		}
		last = wait
	}
}
