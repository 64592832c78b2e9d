package main

import (
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"sync"
	"testing"
	"time"
)

// TestExportsByHand: the director reads what leaves and what was taken out, takes the statements by the keyboard, and finds the act in the audit
// trail; nothing is delivered, because nobody named a store.
func TestExportsByHand(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{1280, 390} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "amara")
		v.see("Noor Eriksen")
		v.visit("/exports")
		v.see("No patient and nothing of an operation")
		v.see("This installation has no learning record store")
		v.see("Every operation here looks like at least 4 others")
		v.see("Operations as FHIR")
		v.see("People as OneRoster")
		v.audit("exports")
		v.tabTo("Take all statements")
		v.keys(" ")
		v.see("statements saved.")
		v.visit("/audit")
		v.see("disclosure")
	}
}

// TestDeliveryByHand: the director of an installation with a store begins the delivery; the program hands over all there is, each once.
func TestDeliveryByHand(t *testing.T) {
	var lock sync.Mutex
	taken := map[string]int{}
	records := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		var one struct{ ID string }
		_, secret, _ := r.BasicAuth()
		if err := json.Unmarshal(body, &one); err != nil || secret != "sesame" {
			t.Errorf("%v: %s", err, body)
		}
		lock.Lock()
		defer lock.Unlock()
		taken[one.ID]++
		w.WriteHeader(http.StatusNoContent)
	}))
	defer records.Close()
	folder := t.TempDir()
	if _, err := openDemo(t.Context(), folder, wallClock()); err != nil {
		t.Fatal(err)
	}
	config := Config{
		Database: "sqlite:" + filepath.Join(folder, demoDatabase), Cookies: "plain", Idle: 2 * time.Hour, SignedIn: 12 * time.Hour,
		Listen: "127.0.0.1:0", URL: "https://isthmus.example.org", XAPI: records.URL, XAPIUser: "isthmus", XAPISecret: "sesame",
	}
	if err := config.Validate(); err != nil {
		t.Fatal(err)
	}
	program, err := assemble(context.Background(), config, wallClock, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	defer program.close()
	defer program.work(context.Background())()
	server := httptest.NewServer(program.handler)
	defer server.Close()
	v := newVisitor(t, openBrowser(t), server.URL, 1280)
	signIn(v, "amara")
	v.see("Noor Eriksen")
	v.visit("/exports")
	v.see("Begun, every statement there is goes to the store")
	v.tabTo("Begin the delivery")
	v.keys(" ")
	v.see("Chosen by Amara")
	v.see("End the delivery")
	for range 40 {
		var told, waiting int
		row := program.store.DB().QueryRow("SELECT COUNT(*), COALESCE(SUM(state = 'waiting'), 0) FROM statement_deliveries")
		if err := row.Scan(&told, &waiting); err != nil {
			t.Fatal(err)
		}
		if told > 0 && waiting == 0 {
			break
		}
		time.Sleep(500 * time.Millisecond)
	}
	v.visit("/exports")
	v.see("Taken by the store")
	v.audit("exports, delivering")
	lock.Lock()
	defer lock.Unlock()
	for id, n := range taken {
		if n != 1 {
			t.Errorf("%s was handed over %d times", id, n)
		}
	}
	if len(taken) < 20 {
		t.Errorf("%d statements", len(taken))
	}
}
