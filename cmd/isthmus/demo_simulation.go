package main

import (
	"isthmus/api/service"
	"isthmus/competency"
)

// tellSimulation tries the demo's standard against the example one, the evening before today.
func (t *demoTeller) tellSimulation() {
	t.later(t.at(1, 18, 0), func() error {
		start, err := t.service.StartSimulation(t.ctx, t.as("amara"), t.programme)
		if err != nil {
			return err
		}
		order := service.SimulationOrder{
			Standards: []service.TriedStandard{{Version: 1}, {YAML: string(competency.ExampleStandardYAML())}},
			Mix:       start.Mix, Trainees: 3000, Cases: 150, Adequate: 0.2,
		}
		if _, err := t.service.Simulate(t.ctx, t.as("amara"), t.programme, order); err != nil {
			return err
		}
		_, err = t.service.WorkOnSimulations(t.ctx)
		return err
	})
}
