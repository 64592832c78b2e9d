package report

import "strings"

const (
	cellGap  = 3.0 // between columns, mm
	together = 8   // a row of at most so many lines is kept on one page
)

// laid is a table with its columns' places on the page.
type laid struct {
	Table
	x, wide []float64
}

// table paints rows under a head that every page repeats. A cell wraps; a row that is higher than the rest of the page goes on on the next.
func (p *paper) table(t Table) {
	if len(t.Rows) == 0 {
		p.say(t.Empty, bodyStyle)
		return
	}
	at := layTable(t)
	p.need(headStyle.high()*2 + p.rowHigh(at, t.Rows[0])) // a head never stands alone at the foot
	p.head(at)
	for _, row := range t.Rows {
		p.row(at, row)
	}
}

func layTable(t Table) laid {
	at := laid{Table: t}
	total := 0.0
	for _, c := range t.Columns {
		total += c.Width
	}
	free, x := inner-cellGap*float64(len(t.Columns)-1), side
	for _, c := range t.Columns {
		wide := free * c.Width / total
		at.x, at.wide = append(at.x, x), append(at.wide, wide)
		x += wide + cellGap
	}
	return at
}

func (p *paper) head(at laid) {
	cells, most := make([][]string, len(at.Columns)), 1
	for i, c := range at.Columns {
		cells[i] = p.lines(c.Name, headStyle, at.wide[i])
		most = max(most, len(cells[i]))
	}
	for k := range most {
		for i := range cells {
			p.cell(at, i, cells[i], k, headStyle)
		}
		p.y += headStyle.high()
	}
	p.y += 0.8
	p.line(side, p.y, sheetWide-side, p.y, quiet, 0.3)
	p.y += 0.8
}

// rowHigh is how high a row is, as far as it is kept together.
func (p *paper) rowHigh(at laid, row []string) float64 {
	most := 1
	for i, text := range row {
		most = max(most, len(p.lines(text, cellStyle, at.wide[i])))
	}
	return float64(min(most, together)) * cellStyle.high()
}

func (p *paper) row(at laid, row []string) {
	cells, most := make([][]string, len(row)), 1
	for i, text := range row {
		cells[i] = p.lines(text, cellStyle, at.wide[i])
		most = max(most, len(cells[i]))
	}
	if most <= together {
		p.turn(at, float64(most)*cellStyle.high()+1.6)
	}
	for k := range most {
		p.turn(at, cellStyle.high()+1.6)
		for i := range cells {
			p.cell(at, i, cells[i], k, cellStyle)
		}
		p.y += cellStyle.high()
	}
	p.y += 0.8
	p.line(side, p.y, sheetWide-side, p.y, rule, 0.2)
	p.y += 0.8
}

// turn begins a new page with the head when less than so much is left.
func (p *paper) turn(at laid, high float64) {
	if p.y+high > bottom {
		p.page()
		p.head(at)
	}
}

// cell writes line k of a cell, where it has one.
func (p *paper) cell(at laid, i int, lines []string, k int, s style) {
	if k >= len(lines) || strings.TrimSpace(lines[k]) == "" {
		return
	}
	x := at.x[i]
	if at.Columns[i].Right {
		x += at.wide[i] - p.width(lines[k], s)
	}
	p.write(x, p.y, lines[k], s)
}
