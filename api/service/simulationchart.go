package service

import (
	"fmt"
	"unicode"
	"unicode/utf8"

	"isthmus/api/chart"
	"isthmus/competency/interval"
	"isthmus/competency/simulate"
)

// chartPlaces is how many places of a curve the table beside a chart lists, at most.
const chartPlaces = 50

// simulationCharts draw, one a group, the share declared ready by each operation, with limits and where the group becomes adequate.
func simulationCharts(plan simulate.Plan, result simulate.Result) []chart.Chart {
	drawn := make([]chart.Chart, len(plan.Mix.Groups))
	for g, group := range plan.Mix.Groups {
		first := result.Outcomes[0].Groups[g]
		c := chart.Chart{
			ID: fmt.Sprintf("simulation-%d", g+1), Title: upperFirst(group.Name), N: first.Trainees, Of: "made-up trainees", Says: groupWords(plan, group, result, g),
			X: chart.Axis{Label: "Operation", Unit: chart.Count, Max: float64(plan.Cases)}, Y: chart.Axis{Label: "Share declared ready by then", Unit: chart.Share, Max: 1},
			Notes: []string{"Limits are Wilson intervals at 95 %: what the number of made-up trainees leaves open."},
		}
		for i, role := range []chart.Role{chart.Main, chart.Second}[:len(result.Outcomes)] {
			c.Layers = append(c.Layers, sharesBy(result.Outcomes[i].Groups[g], role, triedName(result, i))...)
		}
		if at := first.AdequateFrom; at > 1 {
			c.Layers = append(c.Layers, chart.Layer{Shape: chart.Upright, Role: chart.Expect, Name: "adequate from here", Points: []chart.Point{{X: float64(at)}}})
		}
		drawn[g] = c
	}
	return drawn
}

// triedName tells the standards of a simulation apart.
func triedName(result simulate.Result, i int) string {
	if len(result.Outcomes) == 2 && result.Outcomes[0].Version == result.Outcomes[1].Version {
		return []string{"the first", "the second"}[i]
	}
	return fmt.Sprintf("version %d", result.Outcomes[i].Version)
}

// sharesBy are the curve of one group and its limits.
func sharesBy(g simulate.GroupResult, role chart.Role, name string) []chart.Layer {
	line := chart.Layer{Shape: chart.Step, Role: role, Name: name, Points: []chart.Point{{}}}
	band := chart.Layer{Shape: chart.Band, Role: role, Name: "95 % limits, " + name}
	step := max(1, len(g.By)/chartPlaces)
	for n := step; n <= len(g.By); n += step {
		p, err := interval.Wilson(g.By[n-1], g.Trainees, 0.95)
		if err != nil {
			continue // a group of nobody has no curve
		}
		line.Points = append(line.Points, chart.Point{X: float64(n), Y: p.Estimate})
		band.Points = append(band.Points, chart.Point{X: float64(n), Y: p.Estimate}.Within(p.Low, p.High))
	}
	if len(band.Points) == 0 {
		return nil
	}
	return []chart.Layer{band, line}
}

// groupWords say what a group is and what became of it.
func groupWords(plan simulate.Plan, group simulate.Group, result simulate.Result, g int) string {
	curve, last := group.Curve, plan.Cases
	text := fmt.Sprintf("Fails in %s of the first operations and %s of the %dth.", percentWords(curve.At(1)), percentWords(curve.At(last)), last)
	if first := percentWords(curve.At(1)); first == percentWords(curve.At(last)) {
		text = fmt.Sprintf("Fails in %s throughout.", first)
	}
	for i, o := range result.Outcomes {
		r := o.Groups[g]
		if r.Declared.Estimate == nil {
			return text + " Nobody was made up in this group."
		}
		text += fmt.Sprintf(" %s declares %s ready within %d operations", upperFirst(triedName(result, i)), percentWords(*r.Declared.Estimate), last)
		if r.Cases.Median != nil {
			text += fmt.Sprintf(", half of them all by operation %.0f", *r.Cases.Median)
		}
		text += "."
	}
	return text
}

// upperFirst begins a name as a title begins.
func upperFirst(name string) string {
	r, size := utf8.DecodeRuneInString(name)
	return string(unicode.ToUpper(r)) + name[size:]
}
