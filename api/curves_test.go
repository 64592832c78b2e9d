package api

import (
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

const curveStandard = `id: with-curve
title: With a curve
version: 2
requirements:
  - {id: curve, kind: curve, scale: help_given, level: 4, acceptable_rate: 0.1, inadequate_rate: 0.2, horizon_cases: 100, false_declaration: 0.1, false_alarm: 0.1}
`

// judgedByCurve brings a standard with a learning curve into force on the day everybody joined.
func (w *world) judgedByCurve() {
	w.write(north, func(tx *store.Tx) error {
		standard := store.Standard{Programme: north, Version: 2, InForceFrom: joined, YAML: curveStandard, CreatedBy: "amara", CreatedAt: w.clock.Now()}
		if err := tx.AddStandard(standard); err != nil {
			return err
		}
		return tx.Audit("standard", "2", nil, standard)
	})
}

// TestCurves: the chart's limits and what they are worth, each point with its case, a refusal at one case, a rule of one's own choice, and
// nobody who may not read the standing.
func TestCurves(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.judgedByCurve()
		path, _ := w.signedCase()
		address := in("/trainees/ines/curves")
		var view service.TraineeCurves
		w.as("amara").do("GET", address+"?scale=complete", nil).want(200).into(&view)
		if len(view.Curves) != 1 || view.Chosen == nil || view.Caution == "" || view.Trainee.Name != "Ines" || view.StandardVersion != 2 {
			t.Fatalf("%+v", view)
		}
		one := view.Curves[0]
		// 9.9 % and 83.9 %: testdata/reference.json, A3.lccusum.0.1_0.1
		if len(one.Charts) != 3 || !strings.Contains(one.Standing.Explanation, "declared adequate with a chance of 9.91 %") || !strings.Contains(one.Standing.Explanation, "with 83.9 %") {
			t.Errorf("%d charts, %s", len(one.Charts), one.Standing.Explanation)
		}
		if one.Learning.Fitted != nil || one.Learning.Refused == "" || len(one.Learning.Cases) != 1 || one.Standing.State != competency.NotEnoughData {
			t.Errorf("%+v", one.Learning)
		}
		for _, drawn := range append(one.Charts, view.Chosen.Charts...) {
			if err := drawn.Check(); err != nil {
				t.Error(err)
			}
		}
		if link := one.Charts[0].Layers[2].Points[0].Link; link == "" || !strings.HasSuffix(path, link) {
			t.Errorf("the point leads to %q, the case is %s", link, path)
		}
		w.as("ines").do("GET", address, nil).want(200)
		for _, who := range []string{"kofi", "leila", "jonas"} {
			w.as(who).do("GET", address, nil).want(403)
		}
		for _, query := range []string{"?scale=help_given", "?scale=help_given&level=1", "?scale=bravery", "?level=4", "?on=2999-01-01"} {
			w.as("amara").do("GET", address+query, nil).want(422)
		}
		w.as("amara").do("GET", in("/trainees/mei/curves"), nil).want(404)
	})
}
