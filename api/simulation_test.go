package api

import (
	"context"
	"net/http"
	"reflect"
	"strings"
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/competency/simulate"
)

// simulationOrder is an order of 1,000 trainees on the programme's first version.
func simulationOrder() map[string]any {
	mix, _ := simulate.MixOf(nil, "2026-06-01")
	return map[string]any{"standards": []any{map[string]any{"version": 1}}, "mix": mix, "trainees": 1000, "cases": 60, "adequate": 0.2}
}

// simulation orders one and gives its id.
func (w *world) simulation() string {
	w.Helper()
	path := w.as("amara").do("POST", in("/simulations"), simulationOrder()).want(http.StatusAccepted).header.Get("Location")
	return path[strings.LastIndex(path, "/")+1:]
}

// simulated works off every simulation that waits.
func (w *world) simulated() {
	w.Helper()
	for {
		worked, err := w.server.Service.WorkOnSimulations(w.Context())
		w.must(err)
		if !worked {
			return
		}
	}
}

// TestSimulation: ordered once, worked off, the same figures as the domain gives for the plan that was kept, and again with its seed.
func TestSimulation(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		var start service.SimulationStart
		w.as("amara").do("GET", in("/simulation-start"), nil).want(200).into(&start)
		if start.N != 0 || len(start.Mix.Groups) != 3 || start.Says == "" {
			t.Errorf("to begin with: %+v", start)
		}
		order := simulationOrder()
		made := w.as("amara").do("POST", in("/simulations"), order, "Idempotency-Key", "once").want(http.StatusAccepted)
		w.as("amara").do("POST", in("/simulations"), order, "Idempotency-Key", "once").want(http.StatusAccepted)
		path := made.header.Get("Location")
		var whole service.SimulationWhole
		w.as("amara").do("GET", path, nil).want(200).into(&whole)
		if whole.State != "waiting" || whole.Result != nil || !reflect.DeepEqual(whole.May, []string{"cancel"}) {
			t.Errorf("before the work: %+v", whole.SimulationView)
		}
		w.simulated()
		w.as("ruth").do("GET", path, nil).want(200).into(&whole) // the committee reads it
		if whole.State != "done" || whole.Ready != 1000 || whole.Result == nil || whole.Caution == "" || whole.Result.Caution == "" || len(whole.May) != 0 {
			t.Fatalf("after the work: %+v", whole.SimulationView)
		}
		want, err := simulate.Run(context.Background(), whole.Plan, nil)
		w.must(err)
		if !reflect.DeepEqual(*whole.Result, want) {
			t.Error("the plan that was kept gives other figures")
		}
		for _, c := range whole.Charts {
			if err := c.Check(); err != nil {
				t.Error(err)
			}
		}
		order["seed"] = whole.Plan.Seed
		order["standards"] = []any{map[string]any{"version": 1}, map[string]any{"yaml": string(competency.ExampleStandardYAML())}}
		path = w.as("amara").do("POST", in("/simulations"), order).want(http.StatusAccepted).header.Get("Location")
		w.simulated()
		var two service.SimulationWhole
		w.as("amara").do("GET", path, nil).want(200).into(&two)
		if !reflect.DeepEqual(two.Result.Outcomes[0], whole.Result.Outcomes[0]) {
			t.Error("the same seed gives another draw")
		}
		if len(two.Result.Comparison) != 3 || len(two.Result.Outcomes) != 2 {
			t.Errorf("compared: %+v", two.Result.Comparison)
		}
		var list service.List[service.SimulationView]
		w.as("amara").do("GET", in("/simulations"), nil).want(200).into(&list)
		if len(list.Items) != 2 || list.Items[0].ID != two.ID {
			t.Errorf("list: %+v", list.Items)
		}
		report, err := w.store.VerifyAudit(w.Context())
		if err != nil || !report.Sound() {
			t.Errorf("audit: %+v, %v", report, err)
		}
	})
}

// TestSimulationCancelled: one that waits is given up and not worked off; one that is over stays.
func TestSimulationCancelled(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	made := w.as("amara").do("POST", in("/simulations"), simulationOrder()).want(http.StatusAccepted)
	path := made.header.Get("Location")
	w.as("ruth").do("POST", path+"/cancel", nil, "If-Match", made.etag()).want(403)
	w.as("amara").do("POST", path+"/cancel", nil, "If-Match", made.etag()).want(200)
	w.simulated()
	var whole service.SimulationWhole
	w.as("amara").do("GET", path, nil).want(200).into(&whole)
	if whole.State != "cancelled" || whole.Result != nil {
		t.Errorf("%+v", whole.SimulationView)
	}
	w.as("amara").do("POST", path+"/cancel", nil, "If-Match", `"2"`).want(409)
}

// TestSimulationFaults: every fault names its place in the order, and nothing is kept.
func TestSimulationFaults(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	before := w.state()
	for field, change := range map[string]func(map[string]any){
		"body.trainees":             func(o map[string]any) { o["trainees"] = 5 },
		"body.standards[0].version": func(o map[string]any) { o["standards"] = []any{map[string]any{"version": 9}} },
		"body.standards[0].yaml.title": func(o map[string]any) {
			o["standards"] = []any{map[string]any{"yaml": "id: x\nversion: 1\nrequirements: []\ntitle: \"\"\n"}}
		},
		"body.adequate": func(o map[string]any) { o["adequate"] = 0 },
	} {
		order := simulationOrder()
		change(order)
		problem := w.as("amara").do("POST", in("/simulations"), order).want(422).problem()
		found := false
		for _, e := range problem.Errors {
			found = found || e.Location == field
		}
		if !found {
			t.Errorf("%s is not named: %+v", field, problem.Errors)
		}
	}
	w.as("ines").do("POST", in("/simulations"), simulationOrder()).want(403)
	w.unchanged(before, "refused simulations")
}
