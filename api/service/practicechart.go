package service

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"isthmus/api/chart"
	"isthmus/competency"
)

// practiceCharts draw the share that did less than the policy asks for by quarter, operations and plans apart; none for a side without any.
func practiceCharts(p ScopePractice) []chart.Chart {
	charts := []chart.Chart{}
	for _, side := range []struct {
		id, title, of, when string
		counted             competency.Practice
	}{{Operated, "Operated: less than the policy asks for", "operations", "operation", p.Operated}, {Planned, "Planned: less than the policy asks for", "first tries", "plan", p.Planned}} {
		if quarters := slices.DeleteFunc(slices.Clone(side.counted.Quarters), func(q competency.PeriodPractice) bool { return q.Less.N == 0 }); len(quarters) > 0 {
			drawn := quarterChart(quarters, func(of string) string { return p.link(side.id, of) })
			drawn.ID, drawn.Title, drawn.N, drawn.Of = side.id+"-by-quarter", side.title, side.counted.Less.N, side.of
			drawn.X.Label = fmt.Sprintf("Quarter of the %s (1 is %s)", side.when, quarterWords(quarters[0].Name))
			drawn.Says = fmt.Sprintf("%d of %d %s did less than the policy asks for.", side.counted.Less.Hits, side.counted.Less.N, side.of)
			charts = append(charts, drawn)
		}
	}
	return charts
}

// quarterChart draws quarters, an empty one leaving its place free.
func quarterChart(quarters []competency.PeriodPractice, link func(of string) string) chart.Chart {
	first, last := quarterNumber(quarters[0].Name), quarterNumber(quarters[len(quarters)-1].Name)
	dots := chart.Layer{Shape: chart.Dots, Role: chart.Main, Name: "less than the policy asks for"}
	least := chart.Layer{Shape: chart.Dots, Role: chart.Second, Name: "less than the least it accepts"}
	for _, q := range quarters {
		x := float64(quarterNumber(q.Name) - first + 1)
		says := func(s competency.PracticeShare) string {
			return fmt.Sprintf("%s: %d of %d", quarterWords(q.Name), s.Hits, s.N)
		}
		dots.Points = append(dots.Points, chart.Point{X: x, Y: *q.Less.Share, N: &q.Less.N, Says: says(q.Less), Link: link(q.Less.Of)}.Within(*q.Less.Low, *q.Less.High))
		least.Points = append(least.Points, chart.Point{X: x, Y: *q.Below.Share, N: &q.Below.N, Says: says(q.Below), Link: link(q.Below.Of)})
	}
	return chart.Chart{
		X: chart.Axis{Label: "Quarter", Unit: chart.Count, Max: float64(max(last-first+2, 4))}, Y: chart.Axis{Label: "Share", Unit: chart.Share, Max: 1},
		Layers: []chart.Layer{least, dots},
		Notes:  []string{fmt.Sprintf("Bars are %s intervals (%s).", percentWords(competency.PracticeLevel), competency.PracticeMethod)},
	}
}

// quarterNumber counts quarters from the year 0, so that an empty one keeps its place.
func quarterNumber(name string) int {
	year, quarter, _ := strings.Cut(name, "-Q")
	y, _ := strconv.Atoi(year)
	q, _ := strconv.Atoi(quarter)
	return 4*y + q
}

// quarterWords write 2026-Q1 as 2026 Q1.
func quarterWords(name string) string { return strings.ReplaceAll(name, "-", " ") }

// link is where the list behind a number is shown.
func (p ScopePractice) link(side, of string) string {
	query := url.Values{"on": {string(p.On)}, "side": {side}, "of": {of}}
	if p.From != "" {
		query.Set("from", string(p.From))
	}
	if p.Site != "" {
		query.Set("site", p.Site)
	}
	if p.Pattern != "" {
		query.Set("pattern", string(p.Pattern))
	}
	return "/practice?" + query.Encode()
}
