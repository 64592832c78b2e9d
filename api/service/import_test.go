package service

import (
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/casefile"
	"isthmus/migrations"
	"isthmus/policies"
)

// TestImportAgainstUndo: an import that is worked off at the moment it is undone is either done, and the undo is told that it came too
// late, or undone, and then there is no case of it. Two processes work at once, and one of them has it.
func TestImportAgainstUndo(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		p := newPlace(t, db)
		p.join("mei", policies.Faculty)
		done, undone := 0, 0
		for round := range 200 {
			ines := p.join(fmt.Sprintf("ines%d", round), policies.Trainee)
			file := []byte("operated_on,site,operation\n2026-05-01,Main site,mitral\n2026-05-02,Main site,mitral\n")
			view, err := p.service.Import(t.Context(), ines, programme, ImportCreation{ImportFile: ImportFile{File: file}})
			p.must(err)
			var all sync.WaitGroup
			var undo error
			start := make(chan struct{})
			for range 2 {
				all.Go(func() {
					<-start
					_, err := p.service.WorkOnImports(t.Context())
					if err != nil {
						t.Errorf("round %d: %v", round, err)
					}
				})
			}
			all.Go(func() {
				<-start
				time.Sleep(time.Duration(round%20) * 200 * time.Microsecond) // so that either comes first now and then
				_, undo = p.service.UndoImport(t.Context(), ines, programme, view.ID, view.Revision)
			})
			close(start)
			all.Wait()
			after, err := p.service.ImportByID(t.Context(), ines, programme, view.ID)
			p.must(err)
			cases, err := p.service.Cases(t.Context(), ines, programme, CaseFilter{}, store.Page{})
			p.must(err)
			switch {
			case undo == nil && after.State == store.ImportUndone && len(cases.Items) == 0:
				undone++
			case errors.Is(undo, ErrStale) && after.State == store.ImportDone && len(cases.Items) == 2:
				done++
			default:
				t.Fatalf("round %d: the undo says %v, the import is %s with %d cases", round, undo, after.State, len(cases.Items))
			}
		}
		if done == 0 || undone == 0 {
			t.Logf("one always wins: %d done, %d undone", done, undone)
		}
		report, err := db.VerifyAudit(t.Context())
		if err != nil || !report.Sound() {
			t.Errorf("audit: %+v, %v", report, err)
		}
	})
}

// TestImportTakenOver: what a process began and never ended another takes up once the lease is over, and the first can save nothing more.
func TestImportTakenOver(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		p := newPlace(t, db)
		ines := p.join("ines", policies.Trainee)
		_, err := p.service.Import(t.Context(), ines, programme, ImportCreation{ImportFile: ImportFile{File: []byte("operated_on\n2026-05-01\n")}})
		p.must(err)
		lost, _, found, err := db.LeaseImport(t.Context(), "dead", p.clock(), p.clock().Add(importLease))
		if err != nil || !found {
			t.Fatal(found, err)
		}
		if worked, err := p.service.WorkOnImports(t.Context()); worked || err != nil {
			t.Fatalf("a leased import was worked on: %v", err)
		}
		p.advance(importLease + time.Second)
		if worked, err := p.service.WorkOnImports(t.Context()); !worked || err != nil {
			t.Fatalf("nobody took it over: %v", err)
		}
		err = p.service.workOff(t.Context(), lost, "dead", []casefile.Entry{{Row: 2, Trainee: "ines"}})
		wantErr(t, err, errLeaseLost)
		list, err := p.service.Cases(t.Context(), ines, programme, CaseFilter{}, store.Page{})
		if err != nil || len(list.Items) != 1 {
			t.Errorf("%d cases, %v", len(list.Items), err)
		}
	})
}

// TestImportFails: who is no member any more when it is worked off imports nothing, and the import says why.
func TestImportFails(t *testing.T) {
	db := storetest.Open(t, migrations.SQLite)
	p := newPlace(t, db)
	ines := p.join("ines", policies.Trainee)
	view, err := p.service.Import(t.Context(), ines, programme, ImportCreation{ImportFile: ImportFile{File: []byte("operated_on\n2026-05-01\n")}})
	p.must(err)
	p.must(db.Write(t.Context(), store.Act{Programme: programme, Name: "test", At: p.clock()}, func(tx *store.Tx) error {
		return errors.Join(tx.EndMembership(programme, "ines", string(policies.Trainee), "2026-05-31"), tx.Audit("membership", "ines", nil, nil))
	}))
	if worked, err := p.service.WorkOnImports(t.Context()); !worked || err != nil {
		t.Fatal(worked, err)
	}
	p.must(db.Read(t.Context(), func(tx *store.Tx) error {
		i, err := tx.ImportByID(programme, view.ID)
		if i.State != store.ImportFailed || !strings.Contains(i.Message, "no member") {
			t.Errorf("%+v", i)
		}
		return err
	}))
}

// BenchmarkImport imports 10,000 complete rows of eleven lesion sets as submitted cases, from the bytes of the file to the last commit.
func BenchmarkImport(b *testing.B) {
	for _, format := range []casefile.Format{casefile.CSV, casefile.XLSX} {
		b.Run(string(format), func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				p := newPlace(b, storetest.Open(b, migrations.SQLite))
				p.service.deps.Model = atrium.Default()
				ines := p.join("ines", policies.Trainee)
				p.join("mei", policies.Faculty)
				file, err := casefile.Write(format, manyCases(10_000))
				p.must(err)
				b.StartTimer()
				_, err = p.service.Import(b.Context(), ines, programme, ImportCreation{ImportFile: ImportFile{File: file, Submit: true}})
				p.must(err)
				_, err = p.service.WorkOnImports(b.Context())
				p.must(err)
			}
		})
	}
}

// manyCases makes a log of complete cases with eleven different lesion sets.
func manyCases(n int) []casefile.Listed {
	catalogue := atrium.Catalogue()
	log := make([]casefile.Listed, n)
	for i := range log {
		r := competency.Record{
			Site: "Main site", OperatedOn: fmt.Sprintf("2026-0%d-%02d", 1+i%5, 1+i%28), AF: af.History{ContinuousMonths: 6, Ends: af.DoesNotEnd, RhythmControlPursued: true},
			LeftAtriumBand: "50-54", Operation: "mitral", Approach: "sternotomy", Urgency: "elective", OnBypass: true, LeftAtriumOpened: true,
			Appendage: competency.AppendageDelivered{State: atrium.AppendageExcised, Method: "excision-and-suture", Result: "closed"}, Note: fmt.Sprintf("Operation %c of the list.", 'a'+i%26),
		}
		for k := range 1 + i%11 {
			r.Lesions = append(r.Lesions, atrium.Lesion{Name: catalogue[k].ID, Energy: atrium.Cryo, Applications: 1})
		}
		for _, id := range competency.StepsOf(r.Lesions, r.Appendage) {
			r.Steps = append(r.Steps, competency.Step{Step: id, PerformedBy: competency.ByTrainee})
		}
		log[i] = casefile.Listed{Trainee: "ines@example.org", Supervisor: "mei@example.org", Record: r, Status: competency.CaseDraft}
	}
	return log
}
