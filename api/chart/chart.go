// Package chart describes a chart once for every place it is shown: the page, print, the files people take away, and reports. A chart
// here is data: what is drawn, in which role, with its axes, numbers, words and links. Whoever draws it chooses size and colour by role,
// and never by what the numbers mean. It knows no noun of the domain.
package chart

import (
	"fmt"
	"math"
)

// Chart is one chart with all that its readers need: a sentence before the picture, n, axes with units, and the layers from back to
// front. Every number a layer shows stands in its points, so that the table beside the picture is made from the same data.
type Chart struct {
	ID     string   `json:"id"`    // names downloaded files: lower-case words joined by hyphens
	Title  string   `json:"title"` // a few words
	Says   string   `json:"says"`  // one sentence: what the chart shows
	N      int      `json:"n"`
	Of     string   `json:"of"` // what is counted: cases, people
	X      Axis     `json:"x"`
	Y      Axis     `json:"y"`
	Layers []Layer  `json:"layers"`
	Notes  []string `json:"notes,omitempty"` // methods, limits and sources, each a sentence
}

// Axis is one direction of a chart.
type Axis struct {
	Label string  `json:"label"`
	Unit  Unit    `json:"unit,omitempty"`
	Min   float64 `json:"min"`
	Max   float64 `json:"max"`
}

// Unit says how an axis's numbers are written.
type Unit string

// The units.
const (
	Plain  Unit = ""
	Share  Unit = "share"  // 0 to 1, written in per cent
	Count  Unit = "count"  // whole numbers only
	Months Unit = "months" // ticks at quarters, halves and whole years
)

// Shape is how a layer is drawn.
type Shape string

// The shapes.
const (
	Line    Shape = "line"    // straight from point to point
	Step    Shape = "step"    // level until the next point
	Band    Shape = "band"    // the area between low and high of each point
	Stairs  Shape = "stairs"  // a band that is level until the next point
	Dots    Shape = "dots"    // a mark at each point, with its interval where it has one
	Rule    Shape = "rule"    // one level line across the chart at the first point's y
	Upright Shape = "upright" // one line up the chart at the first point's x
)

// Role is what a layer is for; it decides colour and stroke together, so that neither stands alone.
type Role string

// The roles.
const (
	Main   Role = "main"   // what the chart is about
	Second Role = "second" // what it is compared with
	Third  Role = "third"
	Fourth Role = "fourth"
	Limit  Role = "limit"  // a line to reach or to stay within
	Alarm  Role = "alarm"  // a line that must not be reached
	Expect Role = "expect" // what is expected, or drawn on from the data
)

// Layer is one thing drawn.
type Layer struct {
	Shape  Shape   `json:"shape"`
	Role   Role    `json:"role"`
	Name   string  `json:"name"` // written beside it, and the heading of its columns in the table
	Points []Point `json:"points"`
	// AtRisk is how many are still followed at 0, 1, 2 and so on of the first axis: written in a row under the chart, at its ticks.
	AtRisk []int `json:"at_risk,omitempty"`
}

// Mark is the sign drawn at a dot; signs differ in shape.
type Mark string

// The marks.
const (
	Good      Mark = ""           // a full dot
	Bad       Mark = "bad"        // a cross
	Signal    Mark = "signal"     // a square round the dot
	BadSignal Mark = "bad-signal" // a square round the cross
)

// Point is one place of a layer. Low and High are its interval, or the edges of a band.
type Point struct {
	X    float64  `json:"x"`
	Y    float64  `json:"y"`
	Low  *float64 `json:"low,omitempty"`
	High *float64 `json:"high,omitempty"`
	N    *int     `json:"n,omitempty"`
	Mark Mark     `json:"mark,omitempty"`
	Says string   `json:"says,omitempty"` // read out and shown when the point is chosen
	Link string   `json:"link,omitempty"` // the evidence behind it: an address within the application
}

// Within gives a point its interval.
func (p Point) Within(low, high float64) Point {
	p.Low, p.High = &low, &high
	return p
}

// Check reports what would make a chart misleading or impossible to draw: no words, an axis without length, numbers that are none,
// an interval that does not hold its value.
func (c Chart) Check() error {
	if c.ID == "" || c.Title == "" || c.Says == "" || c.Of == "" {
		return fmt.Errorf("chart %q needs an id, a title, a sentence and what it counts", c.ID)
	}
	for _, axis := range []Axis{c.X, c.Y} {
		if axis.Label == "" || !(axis.Min < axis.Max) || math.IsInf(axis.Max-axis.Min, 0) {
			return fmt.Errorf("chart %s: the axis %q from %v to %v cannot be drawn", c.ID, axis.Label, axis.Min, axis.Max)
		}
	}
	for _, layer := range c.Layers {
		if layer.Name == "" || len(layer.Points) == 0 {
			return fmt.Errorf("chart %s: a %s needs a name and points", c.ID, layer.Shape)
		}
		for i, p := range layer.Points {
			if err := p.check(layer.Shape); err != nil {
				return fmt.Errorf("chart %s, %s, point %d: %w", c.ID, layer.Name, i+1, err)
			}
		}
	}
	return nil
}

func (p Point) check(shape Shape) error {
	for _, value := range []float64{p.X, p.Y, orZero(p.Low), orZero(p.High)} {
		if math.IsNaN(value) || math.IsInf(value, 0) {
			return fmt.Errorf("%v is no number", value)
		}
	}
	if (p.Low == nil) != (p.High == nil) || ((shape == Band || shape == Stairs) && p.Low == nil) {
		return fmt.Errorf("an interval has two ends")
	}
	const slack = 1e-9 // rounding of the ends
	if p.Low != nil && (*p.Low > p.Y+slack || *p.High < p.Y-slack) {
		return fmt.Errorf("the interval %v to %v does not hold %v", *p.Low, *p.High, p.Y)
	}
	return nil
}

func orZero(value *float64) float64 {
	if value == nil {
		return 0
	}
	return *value
}
