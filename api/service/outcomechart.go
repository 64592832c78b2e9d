package service

import (
	"fmt"
	"math"

	"isthmus/api/chart"
	"isthmus/competency/funnel"
	"isthmus/competency/outcome"
)

// groupRoles are the strokes of groups in their order.
var groupRoles = []chart.Role{chart.Main, chart.Second, chart.Third, chart.Fourth, chart.Expect}

// monthsUntil is how far an axis of months reaches: whole years, one at least.
func monthsUntil(longest float64) float64 { return 12 * math.Max(1, math.Ceil(longest/12)) }

// freedomChart draws the curves with their limits and who is still followed; nil when there is none.
func (o *Outcomes) freedomChart(f outcome.Freedom) *chart.Chart {
	drawn := chart.Chart{
		ID: "freedom-by-" + string(f.By), Title: "Free from atrial arrhythmia, by " + by(f.By), Says: f.Says, Of: "operations",
		X: chart.Axis{Label: "Months after the operation", Unit: chart.Months}, Y: chart.Axis{Label: "Free off drugs", Unit: chart.Share, Max: 1},
		Notes: o.notes(outcome.FreedomMethod+".", outcome.FreedomRule),
	}
	var bands, lines []chart.Layer
	longest := 0.0
	for _, g := range f.Groups {
		if g.Refused == "" {
			longest = math.Max(longest, g.Until())
		}
	}
	drawn.X.Max = monthsUntil(longest)
	for i, g := range f.Groups {
		if g.Refused != "" {
			continue
		}
		role, figure := groupRoles[i%len(groupRoles)], "freedom."+string(f.By)+"."+g.ID+".failed"
		name := outcome.Words(g.ID)
		band := chart.Layer{Shape: chart.Stairs, Role: role, Name: name + ", 95 % limits", Points: []chart.Point{chart.Point{Y: 1}.Within(1, 1)}}
		line := chart.Layer{Shape: chart.Step, Role: role, Name: name, Points: []chart.Point{{Y: 1}}, AtRisk: g.AtRisk(int(drawn.X.Max))}
		dots := chart.Layer{Shape: chart.Dots, Role: role, Name: name}
		last, low, high := 1.0, 1.0, 1.0
		for _, s := range g.Curve.Steps {
			last = s.Survival
			point := chart.Point{X: s.Time, Y: s.Survival}
			line.Points = append(line.Points, point)
			n := s.AtRisk
			point.N, point.Link = &n, o.behind(figure)
			point.Says = fmt.Sprintf("month %.0f: %s of %d followed, %s free", s.Time, plural(s.Events, "event"), s.AtRisk, percentWords(s.Survival))
			if o.Outside {
				point.N, point.Says = nil, fmt.Sprintf("month %.0f: %s free", s.Time, percentWords(s.Survival))
			}
			if !math.IsNaN(s.Low) {
				low, high = s.Low, s.High
				band.Points = append(band.Points, chart.Point{X: s.Time, Y: s.Survival}.Within(low, high))
			}
			dots.Points = append(dots.Points, point)
		}
		if until := g.Until(); until > line.Points[len(line.Points)-1].X {
			line.Points = append(line.Points, chart.Point{X: until, Y: last})
			if last > 0 {
				band.Points = append(band.Points, chart.Point{X: until, Y: last}.Within(low, high))
			}
		}
		drawn.N += g.N
		lines = append(lines, line)
		if len(dots.Points) > 0 {
			bands, lines = append(bands, band), append(lines, dots)
		}
	}
	drawn.Layers = append(bands, lines...)
	return drawnOrNone(drawn)
}

// pacemakerChart draws the cumulative incidence of a pacemaker by scope.
func (o *Outcomes) pacemakerChart() *chart.Chart {
	p := o.Pacemakers.Pacemakers
	drawn := chart.Chart{
		ID: "pacemaker-by-scope", Title: "With a pacemaker, by scope delivered", Says: p.Says, Of: "operations",
		X: chart.Axis{Label: "Months after the operation", Unit: chart.Months}, Y: chart.Axis{Label: "Share with a pacemaker", Unit: chart.Share},
		Notes: o.notes(outcome.PacemakerMethod+".", outcome.PacemakerRule),
	}
	longest, highest := 0.0, 0.1
	for _, g := range p.Groups {
		if g.Refused == "" {
			longest = math.Max(longest, g.Until())
		}
	}
	drawn.X.Max = monthsUntil(longest)
	var bands, lines []chart.Layer
	for i, g := range p.Groups {
		if g.Refused != "" {
			continue
		}
		role, name := groupRoles[i%len(groupRoles)], outcome.Words(g.ID)
		band := chart.Layer{Shape: chart.Stairs, Role: role, Name: name + ", 95 % limits"}
		line := chart.Layer{Shape: chart.Step, Role: role, Name: name, Points: []chart.Point{{}}, AtRisk: g.AtRisk(int(drawn.X.Max))}
		dots := chart.Layer{Shape: chart.Dots, Role: role, Name: name}
		last := chart.Point{}
		for _, s := range g.Steps {
			if s.Events == 0 {
				continue // a death
			}
			low, high := outcome.IncidenceLimits(s)
			last = chart.Point{X: s.Time, Y: s.Share}
			line.Points = append(line.Points, last)
			if !math.IsNaN(low) {
				last = last.Within(low, high)
				band.Points = append(band.Points, last)
				highest = math.Max(highest, high)
			}
			n := s.AtRisk
			dot := chart.Point{
				X: s.Time, Y: s.Share, N: &n, Link: o.behind("pacemaker." + g.ID + ".failed"),
				Says: fmt.Sprintf("month %.1f: %s of %d followed, %s with a pacemaker", s.Time, plural(s.Events, "event"), s.AtRisk, percentWords(s.Share)),
			}
			if o.Outside {
				dot.N, dot.Says = nil, fmt.Sprintf("month %.1f: %s with a pacemaker", s.Time, percentWords(s.Share))
			}
			dots.Points = append(dots.Points, dot)
		}
		if until := g.Until(); until > last.X {
			last.X = until
			line.Points = append(line.Points, chart.Point{X: until, Y: last.Y})
			if last.Low != nil {
				band.Points = append(band.Points, last)
			}
		}
		drawn.N += g.N
		lines = append(lines, line)
		if len(dots.Points) > 0 {
			lines = append(lines, dots)
		}
		if len(band.Points) > 0 {
			bands = append(bands, band)
		}
	}
	drawn.Layers, drawn.Y.Max = append(bands, lines...), math.Min(1, math.Ceil(20*highest)/20)
	return drawnOrNone(drawn)
}

// funnelChart draws units in the funnel of their numbers; nil when they are not compared.
func (o *Outcomes) funnelChart(u outcome.Units) *chart.Chart {
	most, n := 0, 0
	dots := chart.Layer{Shape: chart.Dots, Role: chart.Main, Name: upperFirst(by(u.By))}
	for _, row := range u.Rows {
		if row.N == 0 || row.Hidden {
			continue
		}
		most, n = max(most, row.N), n+row.N
		says := fmt.Sprintf("%s: %d of %d free, %s", row.Name, row.Free, row.N, percentWords(row.Share))
		if row.Place != "" {
			says += ", " + row.Place
		}
		dots.Points = append(dots.Points, chart.Point{X: float64(row.N), Y: row.Share, Says: says, Link: o.behind("units." + string(u.By) + "." + row.ID)})
	}
	if u.Refused != "" || len(dots.Points) == 0 || most == 0 {
		return nil
	}
	widest := most + max(3, most/10)
	inner := chart.Layer{Shape: chart.Band, Role: chart.Limit, Name: "95 % limits"}
	outer := chart.Layer{Shape: chart.Band, Role: chart.Expect, Name: "99.8 % limits"}
	for cases := outcome.LeastDrawn; cases <= widest; cases += max(1, widest/80) {
		for _, edge := range []struct {
			layer *chart.Layer
			tail  float64
		}{{&inner, funnel.Inner}, {&outer, funnel.Outer}} {
			low, err := u.Limit(cases, edge.tail)
			high, err2 := u.Limit(cases, 1-edge.tail)
			if err == nil && err2 == nil && low <= u.Target && u.Target <= high {
				edge.layer.Points = append(edge.layer.Points, chart.Point{X: float64(cases), Y: u.Target}.Within(low, high))
			}
		}
	}
	drawn := chart.Chart{
		ID: "funnel-by-" + string(u.By), Title: fmt.Sprintf("Free at month %d, by %s", u.Month, by(u.By)), Says: u.Says, N: n, Of: "operations",
		X: chart.Axis{Label: "Operations known", Unit: chart.Count, Max: float64(widest)}, Y: chart.Axis{Label: "Free", Unit: chart.Share, Max: 1},
		Notes: []string{"Limits: " + u.Limits + ", about the share of all of them together. " + u.Remark},
	}
	for _, layer := range []chart.Layer{outer, inner} {
		if len(layer.Points) > 0 {
			drawn.Layers = append(drawn.Layers, layer)
		}
	}
	drawn.Layers = append(drawn.Layers, chart.Layer{Shape: chart.Rule, Role: chart.Limit, Name: "All together", Points: []chart.Point{{Y: u.Target}}}, dots)
	return &drawn
}

// runningChart draws observed less expected operation by operation.
func (o *Outcomes) runningChart() *chart.Chart {
	r := o.Running.Running
	if r.Refused != "" || len(r.Steps) == 0 {
		return nil
	}
	line := chart.Layer{Shape: chart.Line, Role: chart.Main, Name: "Observed less expected", Points: []chart.Point{{}}}
	dots := chart.Layer{Shape: chart.Dots, Role: chart.Main, Name: "Operation"}
	reach := 1.0
	for i, s := range r.Steps {
		p := chart.Point{X: float64(i + 1), Y: s.Sum}
		line.Points = append(line.Points, p)
		p.Link, p.Says = "/cases/"+string(s.Case), fmt.Sprintf("operation %d, free, sum %.1f", i+1, s.Sum)
		if s.Failed {
			p.Mark, p.Says = chart.Bad, fmt.Sprintf("operation %d, an event where %s was expected, sum %.1f", i+1, percentWords(s.Risk), s.Sum)
		}
		dots.Points = append(dots.Points, p)
		reach = math.Max(reach, math.Ceil(math.Abs(s.Sum)))
	}
	return &chart.Chart{
		ID: "observed-less-expected", Title: fmt.Sprintf("Events by month %d, observed less expected", r.Month), Says: r.Says, N: r.N, Of: "operations",
		X: chart.Axis{Label: "Operation", Unit: chart.Count, Max: float64(max(r.N, 10))}, Y: chart.Axis{Label: "Events more or fewer than expected", Min: -reach, Max: reach},
		Layers: []chart.Layer{{Shape: chart.Rule, Role: chart.Limit, Name: "As expected", Points: []chart.Point{{}}}, line, dots},
		Notes:  []string{"A cross is an event: up where there were more than expected.", outcome.ExpectedRule},
	}
}

// notes are what is said under a curve.
func (o *Outcomes) notes(says ...string) []string {
	if o.Outside {
		says = append(says, outcome.LagRule)
	}
	return says
}

// drawnOrNone gives a chart with something in it.
func drawnOrNone(c chart.Chart) *chart.Chart {
	if len(c.Layers) == 0 {
		return nil
	}
	return &c
}

// by names a grouping.
func by(by outcome.By) string {
	switch by {
	case outcome.ByScope:
		return "scope delivered"
	case outcome.ByPattern:
		return "AF pattern"
	case outcome.BySupervisor:
		return "supervising surgeon"
	}
	return "site"
}
