package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"isthmus/api/chart"
	"isthmus/api/needs"
	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/assessment/atrium"
)

// packPages has the demo's meeting pack written and reads it page by page with Poppler.
func packPages(t *testing.T, d openedDemo) []string {
	t.Helper()
	reader := needs.Tool(t, "pdftotext")
	view, err := d.service.OrderReport(t.Context(), d.director, d.programme, service.ReportOrder{Kind: store.MeetingPack, IdempotencyKey: "pack"})
	if err != nil {
		t.Fatal(err)
	}
	for worked := true; worked; {
		if worked, err = d.service.WorkOnReports(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	file, err := d.service.FileOfReport(t.Context(), d.director, d.programme, view.ID)
	if err != nil {
		t.Fatal(err)
	}
	at := filepath.Join(t.TempDir(), "pack.pdf")
	if err := os.WriteFile(at, file.Data, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(reader, "-layout", at, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
}

// TestMeetingPackTellsOutcomes: the pack's curves carry the limits, and the numbers still followed and the groups' figures are those of the page,
// which TestOutcomesAgain computes a second way. Every page has programme, day, standard and caution.
func TestMeetingPackTellsOutcomes(t *testing.T) {
	d := filledDemo(t)
	o, err := d.service.Outcomes(t.Context(), d.director, d.programme, service.OutcomeChoice{})
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]string{}
	for i, page := range packPages(t, d) {
		flat := strings.Join(strings.Fields(page), " ")
		for _, must := range []string{demoProgramme, "As of 4 May 2026", "Northmere standard (example thresholds), version 1", atrium.Caution} {
			if !strings.Contains(flat, must) {
				t.Errorf("page %d lacks %q", i+1, must)
			}
		}
		for _, drawn := range []*chart.Chart{o.Scopes.Chart, o.ByPattern.Chart, o.Pacemakers.Chart} {
			if strings.Contains(flat, drawn.Title+" "+drawn.Says) {
				told[drawn.ID] = flat
			}
		}
	}
	for _, drawn := range []*chart.Chart{o.Scopes.Chart, o.ByPattern.Chart, o.Pacemakers.Chart} {
		page, rows := told[drawn.ID], 0
		if !strings.Contains(page, "Shaded: 95 % limits.") {
			t.Errorf("%s: on no page with its limits: %q", drawn.ID, page)
		}
		_, page, _ = strings.Cut(page, "Still followed ")
		for _, layer := range drawn.Layers {
			if len(layer.AtRisk) == 0 {
				continue
			}
			numbers := ""
			for month := 0; month < len(layer.AtRisk); month += 3 {
				numbers += fmt.Sprintf("%d ", layer.AtRisk[month])
			}
			if rows++; !strings.Contains(page, numbers) {
				t.Errorf("%s, %s: the page lacks the row %q: %s", drawn.ID, layer.Name, numbers, page)
			}
		}
		if rows < 2 {
			t.Errorf("%s: %d rows of those still followed", drawn.ID, rows)
		}
	}
	for _, g := range o.Scopes.Groups {
		if g.At != nil && g.At.Low != nil {
			row := fmt.Sprintf("%d %d %.0f %% (%.0f %% to %.0f %%) %d", g.N, g.Events, 100*g.At.Share, 100**g.At.Low, 100**g.At.High, g.At.AtRisk)
			if !strings.Contains(told[o.Scopes.Chart.ID], row) {
				t.Errorf("%s: the page lacks %q", g.ID, row)
			}
		}
	}
}
