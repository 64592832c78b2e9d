package main

import (
	"context"
	"log/slog"
	"math"
	"math/rand/v2"
	"net/http/httptest"
	"path/filepath"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// serveDemoTaken serves the demo after made-up people have taken a test of ten questions, the fourth of them with a wrong key.
func serveDemoTaken(t *testing.T, people int) string {
	t.Helper()
	return serveDemoAfter(t, func(s *store.Store, programme competency.ProgrammeID) {
		storetest.Taken(t, s, programme, wallClock(), people, 10, func(r *rand.Rand, p, i int) bool {
			chance := 1 / (1 + math.Exp(-(float64(p-people/2)/float64(people)*4 - float64(i-5)/2.5)))
			return (r.Float64() < chance) != (i == 3)
		})
	})
}

// serveDemoAfter serves the demo after something was written straight into its database.
func serveDemoAfter(t *testing.T, write func(s *store.Store, programme competency.ProgrammeID)) string {
	t.Helper()
	folder, ctx := t.TempDir(), context.Background()
	book, err := openDemo(ctx, folder, wallClock())
	if err != nil {
		t.Fatal(err)
	}
	url := "sqlite:" + filepath.Join(folder, demoDatabase)
	s, err := store.Open(ctx, store.Config{URL: url})
	if err != nil {
		t.Fatal(err)
	}
	write(s, book.Programme)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	config := Config{Database: url, Cookies: "plain", Idle: 2 * time.Hour, SignedIn: 12 * time.Hour}
	program, err := assemble(ctx, config, wallClock, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	server, stop := httptest.NewServer(program.handler), program.work(ctx)
	t.Cleanup(func() { server.Close(); stop(); program.close() })
	return server.URL
}

// TestItemAnalysisInBrowser: faculty sees which questions to look at first and why, and goes from there to the question.
func TestItemAnalysisInBrowser(t *testing.T) {
	browser := openBrowser(t)
	base := serveDemoTaken(t, 60)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "mei")
		v.see("Inbox")
		v.visit("/item-analysis?test=Fixed+form")
		v.see("600 first answers of 60 trainees to 10 questions.")
		v.see("Backwards.")
		v.see("standard error of measurement")
		v.see("People and questions on one scale")
		v.see("What each number right is worth")
		v.see("For education. Not advice on a patient.")
		v.audit("how questions work")
	}
	v := newVisitor(t, browser, serveDemoTaken(t, 9), 390)
	signIn(v, "mei")
	v.see("Inbox")
	v.visit("/item-analysis?test=Fixed+form")
	v.see("Withheld: 9 so far; it takes 10.")
	v.audit("how questions work, of few")
}
