package service

import (
	"fmt"
	"math"

	"isthmus/api/chart"
	"isthmus/competency"
	"isthmus/competency/curve"
)

// percentWords writes a share the way sentences do.
func percentWords(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }

// pathChart draws the chart case by case: up at each success while learning, up at each failure while watching, from 0 again after a signal.
func pathChart(id string, c *competency.Chart) chart.Chart {
	n := len(c.Points)
	line, dots := make([]chart.Point, 0, n+1), make([]chart.Point, 0, n)
	highest := max(c.AdequateLimit, c.AlarmLimit)
	line = append(line, chart.Point{})
	watched := false
	for i, p := range c.Points {
		x := float64(p.N)
		highest = max(highest, p.Value)
		line = append(line, chart.Point{X: x, Y: p.Value})
		dots = append(dots, chart.Point{X: x, Y: p.Value, Mark: markOf(p), Says: pointWords(p), Link: "/cases/" + string(p.Case)})
		if p.Signal && i < n-1 {
			line = append(line, chart.Point{X: x})
		}
		watched = watched || p.Watching || p.Signal
	}
	drawn := chart.Chart{
		ID: id + "-chart", Title: "Case by case", Says: "Cases in the order of operation; a cross is a failure, a square a signal. It begins again from 0 after each signal.",
		N: n, Of: "cases", X: chart.Axis{Label: "Case", Unit: chart.Count, Max: float64(max(n, 10))},
		Y: chart.Axis{Label: "Score (log likelihood ratio)", Max: 1.08 * highest},
		Layers: []chart.Layer{
			{Shape: chart.Rule, Role: chart.Limit, Name: "Adequate from here", Points: []chart.Point{{Y: c.AdequateLimit}}},
			{Shape: chart.Line, Role: chart.Main, Name: "Score", Points: line},
			{Shape: chart.Dots, Role: chart.Main, Name: "Case", Points: dots},
		},
		Notes: []string{c.Method + "."},
	}
	if watched {
		drawn.Layers = append(drawn.Layers, chart.Layer{Shape: chart.Rule, Role: chart.Alarm, Name: "Alarm from here", Points: []chart.Point{{Y: c.AlarmLimit}}})
	}
	return drawn
}

func markOf(p competency.ChartPoint) chart.Mark {
	switch {
	case p.Failure && p.Signal:
		return chart.BadSignal
	case p.Failure:
		return chart.Bad
	case p.Signal:
		return chart.Signal
	}
	return chart.Good
}

func pointWords(p competency.ChartPoint) string {
	words := fmt.Sprintf("case %d, success", p.N)
	if p.Failure {
		words = fmt.Sprintf("case %d, failure", p.N)
	}
	switch {
	case p.Signal && p.Watching:
		words += ", alarm"
	case p.Signal:
		words += ", declared adequate"
	case p.Watching:
		words += ", watching"
	}
	return fmt.Sprintf("%s, score %.2f", words, p.Value)
}

// promiseChart draws the chance of being declared adequate by each case, for somebody inadequate and somebody adequate: exact, by renewal.
func promiseChart(id string, c *competency.Chart) (chart.Chart, error) {
	drawn := chart.Chart{
		ID: id + "-limit", Title: "What the limit is worth", N: c.Horizon, Of: "cases to the horizon",
		Says: fmt.Sprintf("The chance of being declared adequate by a case: %s within %d cases for somebody who fails in %s.", percentWords(c.FalseDeclaration), c.Horizon, percentWords(c.InadequateRate)),
		X:    chart.Axis{Label: "Case", Unit: chart.Count, Max: float64(c.Horizon)}, Y: chart.Axis{Label: "Chance of having been declared adequate", Unit: chart.Share, Max: 1},
		Notes: []string{"Exact for cases that are independent and share one failure rate."},
	}
	weights, err := curve.Learning(c.AcceptableRate, c.InadequateRate-c.AcceptableRate)
	if err != nil {
		return drawn, err
	}
	for _, who := range []struct {
		rate float64
		role chart.Role
	}{{c.AcceptableRate, chart.Main}, {c.InadequateRate, chart.Second}} {
		by, err := curve.SignalBy(who.rate, weights, c.AdequateLimit, c.Horizon)
		if err != nil {
			return drawn, err
		}
		layer := chart.Layer{Shape: chart.Step, Role: who.role, Name: "fails in " + percentWords(who.rate), Points: []chart.Point{{}}}
		for i, share := range by {
			layer.Points = append(layer.Points, chart.Point{X: float64(i + 1), Y: min(1, share)})
		}
		drawn.Layers = append(drawn.Layers, layer)
	}
	return drawn, nil
}

// fittedCharts draw the shares of successive cases and the curve fitted to them; none without cases. evidence is the address where the cases are.
func fittedCharts(id string, l competency.Learning, evidence string) []chart.Chart {
	if len(l.Blocks) == 0 {
		return []chart.Chart{}
	}
	n := len(l.Cases)
	drawn := chart.Chart{
		ID: id + "-fit", Title: "How the chance of a success grew", Says: fmt.Sprintf("%d of %d cases were successes.", l.Successes, n), N: n, Of: "cases",
		X: chart.Axis{Label: "Case", Unit: chart.Count, Max: float64(max(n, 10))}, Y: chart.Axis{Label: "Share of successes", Unit: chart.Share, Max: 1},
	}
	blocks := chart.Layer{Shape: chart.Dots, Role: chart.Second, Name: "five cases at a time"}
	for _, b := range l.Blocks {
		size := b.To - b.From + 1
		p := chart.Point{X: float64(b.From+b.To) / 2, Y: b.Share, N: &size, Says: fmt.Sprintf("cases %d to %d: %d successes", b.From, b.To, b.Hits), Link: evidence}
		blocks.Points = append(blocks.Points, p.Within(b.Low, b.High))
	}
	if f := l.Fitted; f != nil {
		band := chart.Layer{Shape: chart.Band, Role: chart.Main, Name: percentWords(f.Level) + " limits of the curve"}
		line := chart.Layer{Shape: chart.Line, Role: chart.Main, Name: "fitted curve"}
		for _, p := range f.Points {
			band.Points = append(band.Points, chart.Point{X: p.N, Y: p.Share}.Within(p.Low, p.High))
			line.Points = append(line.Points, chart.Point{X: p.N, Y: p.Share})
		}
		drawn.Layers = append(drawn.Layers, band, line, chart.Layer{Shape: chart.Rule, Role: chart.Limit, Name: "target", Points: []chart.Point{{Y: f.Target}}})
		if f.At != nil && *f.At <= 3*float64(n) {
			drawn.X.Max = max(drawn.X.Max, math.Ceil(*f.At)+1)
			drawn.Layers = append(drawn.Layers, chart.Layer{Shape: chart.Upright, Role: chart.Expect, Name: fmt.Sprintf("case %.0f", math.Ceil(*f.At)), Points: []chart.Point{{X: *f.At}}})
		}
		drawn.Says += " " + f.Says
		drawn.Notes = []string{f.Method + ". The outcomes are taken as independent given the case number."}
	}
	drawn.Layers = append(drawn.Layers, blocks)
	return []chart.Chart{drawn}
}
