package report

import (
	"fmt"
	"math"
	"slices"
	"unicode"
	"unicode/utf8"

	"isthmus/api/chart"
)

// Places of a chart in millimetres: high is that of the drawing, names the room right of it for the names of lines.
const (
	chartHigh  = 50.0
	chartLeft  = 13.0
	chartNames = 34.0
)

// field is the rectangle of a chart's axes on the page.
type field struct {
	chart.Chart
	x, y, wide, high float64
}

func (f field) px(x float64) float64 { return f.x + f.wide*(x-f.X.Min)/(f.X.Max-f.X.Min) }
func (f field) py(y float64) float64 { return f.y + f.high*(1-(y-f.Y.Min)/(f.Y.Max-f.Y.Min)) }

// stroke is how the lines of a role look: colour and dashes together, so that neither stands alone.
type stroke struct {
	color colour
	wide  float64
	dash  []float64
}

var strokes = map[chart.Role]stroke{
	chart.Main:   {act, 0.5, nil},
	chart.Second: {quiet, 0.4, []float64{1.6, 1}},
	chart.Third:  {warn, 0.4, []float64{0.8, 0.8}},
	chart.Fourth: {ink, 0.4, []float64{3.6, 1, 0.5, 1}},
	chart.Limit:  {ink, 0.3, []float64{3.2, 1.2}},
	chart.Alarm:  {warn, 0.5, []float64{0.6, 0.9}},
	chart.Expect: {ink, 0.3, []float64{2, 0.9, 0.5, 0.9}},
}

// chart paints a chart with its title, its sentence, n and its notes; they stay on one page with it.
func (p *paper) chart(c chart.Chart) {
	counted := fmt.Sprintf("n = %d %s. Up: %s. Across: %s.", c.N, c.Of, c.Y.Label, c.X.Label) + shaded(c)
	small := len(p.lines(counted, quietStyle, inner))
	for _, note := range c.Notes {
		small += len(p.lines(note, quietStyle, inner))
	}
	says := p.lines(c.Says, bodyStyle, inner)
	p.need(thirdStyle.high() + float64(len(says))*bodyStyle.high() + float64(small)*quietStyle.high() + chartHigh + 10.5 + riskHigh(c))
	p.say(c.Title, thirdStyle)
	p.say(c.Says, bodyStyle)
	p.say(counted, quietStyle)
	p.y += 3.5
	f := field{Chart: c, x: side + chartLeft, y: p.y, wide: inner - chartLeft - chartNames, high: chartHigh}
	p.axes(f)
	p.pdf.ClipRect(f.x-2, f.y-2, f.wide+4, f.high+4, false) // marks at the edge stay whole
	for depth := range 3 {
		for _, layer := range c.Layers {
			if depthOf(layer.Shape) == depth {
				p.layer(f, layer)
			}
		}
	}
	p.pdf.ClipEnd()
	p.names(f)
	p.y = f.y + f.high + 7
	p.atRisk(f)
	for _, note := range c.Notes {
		p.say(capital(note), quietStyle)
	}
}

// depthOf puts areas behind lines, and marks in front.
func depthOf(shape chart.Shape) int {
	switch shape {
	case chart.Band, chart.Stairs:
		return 0
	case chart.Dots:
		return 2
	}
	return 1
}

// capital begins a sentence.
func capital(text string) string {
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:]
}

func (p *paper) axes(f field) {
	for _, at := range ticks(f.Y, 5) {
		y := f.py(at)
		p.line(f.x, y, f.x+f.wide, y, rule, 0.15)
		text := tickWords(f.Y, at)
		p.write(f.x-1.5-p.width(text, chartStyle), y-1.6, text, chartStyle)
	}
	for _, at := range ticks(f.X, 8) {
		x := f.px(at)
		p.line(x, f.y+f.high, x, f.y+f.high+1, quiet, 0.2)
		text := tickWords(f.X, at)
		p.write(x-p.width(text, chartStyle)/2, f.y+f.high+1.6, text, chartStyle)
	}
	p.line(f.x, f.y+f.high, f.x+f.wide, f.y+f.high, quiet, 0.3)
	p.line(f.x, f.y, f.x, f.y+f.high, quiet, 0.3)
}

// ticks are round numbers on an axis, about so many.
func ticks(a chart.Axis, about float64) []float64 {
	rough := (a.Max - a.Min) / about
	if a.Unit == chart.Months {
		return multiples(a, monthStep(rough))
	}
	step := math.Pow(10, math.Floor(math.Log10(rough)))
	for _, times := range []float64{2, 2.5, 2} { // 1, 2, 5, 10
		if step >= rough {
			break
		}
		step *= times
	}
	if a.Unit == chart.Count {
		step = max(1, math.Round(step))
	}
	return multiples(a, step)
}

// monthStep is the quarter, half or number of years next above a rough step.
func monthStep(rough float64) float64 {
	for _, months := range []float64{3, 6, 12, 24, 60} {
		if months >= rough {
			return months
		}
	}
	return 120
}

func multiples(a chart.Axis, step float64) []float64 {
	var at []float64
	for i := math.Ceil(a.Min/step - 1e-9); i*step <= a.Max+step*1e-9; i++ {
		at = append(at, i*step)
	}
	return at
}

func tickWords(a chart.Axis, at float64) string {
	at += 0 // never -0
	if a.Unit == chart.Share {
		return fmt.Sprintf("%.4g %%", 100*at)
	}
	return fmt.Sprintf("%.4g", at)
}

// layer paints one layer.
func (p *paper) layer(f field, l chart.Layer) {
	s := strokes[l.Role]
	p.pdf.SetDrawColor(s.color[0], s.color[1], s.color[2])
	p.pdf.SetFillColor(s.color[0], s.color[1], s.color[2])
	p.pdf.SetLineWidth(s.wide)
	p.pdf.SetDashPattern(s.dash, 0)
	switch l.Shape {
	case chart.Line, chart.Step:
		p.path(f, l)
	case chart.Band, chart.Stairs:
		p.band(f, l)
	case chart.Rule:
		y := f.py(l.Points[0].Y)
		p.pdf.Line(f.x, y, f.x+f.wide, y)
	case chart.Upright:
		x := f.px(l.Points[0].X)
		p.pdf.Line(x, f.y, x, f.y+f.high)
	case chart.Dots:
		p.pdf.SetDashPattern(nil, 0)
		for _, point := range l.Points {
			p.mark(f, point)
		}
	}
	p.pdf.SetDashPattern(nil, 0)
}

func (p *paper) path(f field, l chart.Layer) {
	first := l.Points[0]
	p.pdf.MoveTo(f.px(first.X), f.py(first.Y))
	before := f.py(first.Y)
	for _, point := range l.Points[1:] {
		x, y := f.px(point.X), f.py(point.Y)
		if l.Shape == chart.Step {
			p.pdf.LineTo(x, before)
		}
		p.pdf.LineTo(x, y)
		before = y
	}
	p.pdf.DrawPath("D")
}

// band fills between the two edges; those of stairs hold until the next point, so that on the way back the rise comes first.
func (p *paper) band(f field, l chart.Layer) {
	stairs := l.Shape == chart.Stairs
	p.pdf.SetAlpha(0.16, "Normal")
	p.pdf.MoveTo(f.px(l.Points[0].X), f.py(*l.Points[0].High))
	for i, point := range l.Points[1:] {
		if stairs {
			p.pdf.LineTo(f.px(point.X), f.py(*l.Points[i].High))
		}
		p.pdf.LineTo(f.px(point.X), f.py(*point.High))
	}
	for i, point := range slices.Backward(l.Points) {
		if stairs && i < len(l.Points)-1 {
			p.pdf.LineTo(f.px(l.Points[i+1].X), f.py(*point.Low))
		}
		p.pdf.LineTo(f.px(point.X), f.py(*point.Low))
	}
	p.pdf.ClosePath()
	p.pdf.DrawPath("F")
	p.pdf.SetAlpha(1, "Normal")
}

// mark paints a dot, a cross for a failure, a square round it for a signal, and its interval.
func (p *paper) mark(f field, point chart.Point) {
	x, y := f.px(point.X), f.py(point.Y)
	p.pdf.SetLineWidth(0.35)
	if point.Low != nil {
		p.pdf.Line(x, f.py(*point.Low), x, f.py(*point.High))
	}
	const r = 0.85
	if point.Mark == chart.Bad || point.Mark == chart.BadSignal {
		p.pdf.Line(x-r, y-r, x+r, y+r)
		p.pdf.Line(x-r, y+r, x+r, y-r)
	} else {
		p.pdf.Circle(x, y, r, "F")
	}
	if point.Mark == chart.Signal || point.Mark == chart.BadSignal {
		p.pdf.Rect(x-1.9, y-1.9, 3.8, 3.8, "D")
	}
}
