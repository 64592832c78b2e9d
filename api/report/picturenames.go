package report

import (
	"slices"
	"strconv"
	"strings"

	"isthmus/api/chart"
)

// names writes the layers' names right of the drawing, each with a stroke of its own kind, as near to its end as the others allow.
func (p *paper) names(f field) {
	type name struct {
		chart.Layer
		y     float64
		lines []string
	}
	var names []name
	for i, l := range f.Layers {
		if l.Shape == chart.Dots && slices.ContainsFunc(f.Layers[:i], func(line chart.Layer) bool { return line.Name == l.Name }) {
			continue // the marks of a line that is named
		}
		if _, ofLine := areaOf(f.Chart, l); ofLine {
			continue // the area about a line that is named; the sentence above says what it is
		}
		last := l.Points[len(l.Points)-1]
		y := f.py(last.Y)
		if l.Shape == chart.Upright {
			y = f.y
		}
		names = append(names, name{l, min(max(y, f.y), f.y+f.high) - 1.6, p.lines(l.Name, chartStyle, chartNames-8)})
	}
	slices.SortStableFunc(names, func(a, b name) int {
		switch {
		case a.y < b.y:
			return -1
		case a.y > b.y:
			return 1
		}
		return 0
	})
	foot := f.y + f.high + 3
	for i := len(names) - 1; i >= 0; i-- { // up from the foot, so that all stay beside the drawing
		high := float64(len(names[i].lines)) * chartStyle.high()
		names[i].y = min(names[i].y, foot-high)
		foot = names[i].y
	}
	x, free := f.x+f.wide+2, f.y-6
	for _, n := range names {
		y := max(n.y, free)
		p.sample(x, y+1.6, n.Layer)
		for i, line := range n.lines {
			p.write(x+6, y+float64(i)*chartStyle.high(), line, chartStyle)
		}
		free = y + float64(len(n.lines))*chartStyle.high()
	}
}

// sample draws a short piece of a layer, as a key.
func (p *paper) sample(x, y float64, l chart.Layer) {
	s := strokes[l.Role]
	p.pdf.SetDrawColor(s.color[0], s.color[1], s.color[2])
	p.pdf.SetFillColor(s.color[0], s.color[1], s.color[2])
	p.pdf.SetLineWidth(s.wide)
	switch l.Shape {
	case chart.Dots:
		p.pdf.Circle(x+2, y, 0.85, "F")
	case chart.Band, chart.Stairs:
		p.pdf.SetAlpha(0.16, "Normal")
		p.pdf.Rect(x, y-1.2, 4.4, 2.4, "F")
		p.pdf.SetAlpha(1, "Normal")
	default:
		p.pdf.SetDashPattern(s.dash, 0)
		p.pdf.Line(x, y, x+4.4, y)
		p.pdf.SetDashPattern(nil, 0)
	}
}

// areaOf tells what an area about a line is, when its name begins with that of the line.
func areaOf(c chart.Chart, area chart.Layer) (string, bool) {
	if depthOf(area.Shape) != 0 {
		return "", false
	}
	for _, line := range c.Layers {
		if what, found := strings.CutPrefix(area.Name, line.Name+", "); found && line.Role == area.Role {
			return what, true
		}
	}
	return "", false
}

// shaded says what the areas about the lines are, once for all.
func shaded(c chart.Chart) string {
	for _, l := range c.Layers {
		if what, found := areaOf(c, l); found {
			return " Shaded: " + what + "."
		}
	}
	return ""
}

// riskRows are the layers with numbers of those still followed.
func riskRows(c chart.Chart) []chart.Layer {
	return slices.DeleteFunc(slices.Clone(c.Layers), func(l chart.Layer) bool { return len(l.AtRisk) == 0 })
}

// riskHigh is the room that the numbers of those still followed take under a chart.
func riskHigh(c chart.Chart) float64 {
	if rows := riskRows(c); len(rows) > 0 {
		return float64(len(rows)+1)*chartStyle.high() + 1.5
	}
	return 0
}

// atRisk writes how many are still followed under the ticks, a row for each layer, its name where the lines have theirs.
func (p *paper) atRisk(f field) {
	rows := riskRows(f.Chart)
	if len(rows) == 0 {
		return
	}
	p.write(f.x, p.y, "Still followed", chartStyle)
	p.y += chartStyle.high()
	for _, row := range rows {
		for _, at := range ticks(f.X, 8) {
			if month := int(at); float64(month) == at && month < len(row.AtRisk) {
				text := strconv.Itoa(row.AtRisk[month])
				p.write(f.px(at)-p.width(text, chartStyle)/2, p.y, text, chartStyle)
			}
		}
		x := f.x + f.wide + 2
		p.sample(x, p.y+1.6, row)
		name := row.Name
		if most := chartNames - 8; p.width(name, chartStyle) > most {
			name = name[:p.fitting(name, chartStyle, most-2)] + "..."
		}
		p.write(x+6, p.y, name, chartStyle)
		p.y += chartStyle.high()
	}
	p.y += 1.5
}
