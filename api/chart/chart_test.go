package chart

import (
	"math"
	"strings"
	"testing"
)

func whole() Chart {
	return Chart{
		ID: "curve", Title: "Learning curve", Says: "Seven of nine were successes.", N: 9, Of: "cases",
		X: Axis{Label: "Case", Unit: Count, Min: 0, Max: 10}, Y: Axis{Label: "Score", Max: 3},
		Layers: []Layer{{Shape: Line, Role: Main, Name: "Score", Points: []Point{{X: 1, Y: 0.3}, Point{X: 2, Y: 0.9}.Within(0.4, 1.2)}}},
	}
}

func TestCheck(t *testing.T) {
	if err := whole().Check(); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, want string
		spoil      func(*Chart)
	}{
		{"no sentence", "needs an id", func(c *Chart) { c.Says = "" }},
		{"no length", "cannot be drawn", func(c *Chart) { c.X.Max = 0 }},
		{"an axis of no numbers", "cannot be drawn", func(c *Chart) { c.Y.Max = math.NaN() }},
		{"nothing drawn", "needs a name and points", func(c *Chart) { c.Layers[0].Points = nil }},
		{"no number", "no number", func(c *Chart) { c.Layers[0].Points[0].Y = math.Inf(1) }},
		{"half an interval", "two ends", func(c *Chart) { c.Layers[0].Points[1].High = nil }},
		{"stairs without edges", "two ends", func(c *Chart) { c.Layers[0].Shape = Stairs }},
		{"a band without edges", "two ends", func(c *Chart) { c.Layers[0].Shape = Band }},
		{"an interval beside its value", "does not hold", func(c *Chart) { c.Layers[0].Points[1].Y = 2 }},
	} {
		t.Run(c.name, func(t *testing.T) {
			chart := whole()
			c.spoil(&chart)
			if err := chart.Check(); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v, want %q", err, c.want)
			}
		})
	}
}
