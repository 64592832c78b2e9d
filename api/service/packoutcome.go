package service

import (
	"fmt"

	"isthmus/api/chart"
	"isthmus/api/report"
	"isthmus/competency"
	"isthmus/competency/outcome"
)

// outcomeSection is what became of the programme's operations, with the follow-up it rests on first.
func (h *scene) outcomeSection(on competency.Day) (report.Section, error) {
	section := report.Section{Title: "What became of the operations", NewPage: true}
	o, err := h.outcomes(OutcomeChoice{On: string(on)})
	if err != nil {
		return section, err
	}
	if o.Operations == 0 {
		section.Blocks = []report.Block{text("No operation was signed off by the day.")}
		return section, nil
	}
	section.Blocks = []report.Block{text(o.Causal), completenessTable(o.Completeness)}
	for _, told := range []struct {
		says  string
		chart *chart.Chart
		table report.Block
	}{
		{o.Scopes.Says, o.Scopes.Chart, freedomTable(o.Scopes.Freedom, o.Month)},
		{o.ByPattern.Says, o.ByPattern.Chart, freedomTable(o.ByPattern.Freedom, o.Month)},
		{o.Pacemakers.Says, o.Pacemakers.Chart, pacemakerTable(o.Pacemakers.Pacemakers, o.Month)},
	} {
		if told.chart == nil {
			section.Blocks = append(section.Blocks, text(told.says))
			continue
		}
		section.Blocks = append(section.Blocks, report.Block{Chart: told.chart}, told.table)
	}
	section.Blocks = append(section.Blocks, quietText("What counts as free: "+o.Success))
	return section, nil
}

// completenessTable says how much of the follow-up that is due is done.
func completenessTable(rows []outcome.Completeness) report.Block {
	columns := []report.Column{{Name: "Follow-up at month", Width: 3}, {Name: "Done of those due", Width: 2, Right: true}, {Name: "Share, 95 % limits", Width: 3, Right: true}}
	cells := make([][]string, len(rows))
	for i, c := range rows {
		month, share := "All together", "none due"
		if c.Month > 0 {
			month = fmt.Sprint(c.Month)
		}
		if c.Due > 0 {
			share = fmt.Sprintf("%s (%s to %s)", percentWords(c.Share), percentWords(c.Low), percentWords(c.High))
		}
		cells[i] = []string{month, fmt.Sprintf("%d of %d", c.Done, c.Due), share}
	}
	return tableOf("No follow-up is due.", columns, cells)
}

// groupColumns head a table of groups at a month.
func groupColumns(group, share string, month int) []report.Column {
	return []report.Column{
		{Name: upperFirst(group), Width: 3}, {Name: "Operations", Width: 1.3, Right: true}, {Name: "Events", Width: 1, Right: true},
		{Name: fmt.Sprintf("%s at month %d, 95 %% limits", share, month), Width: 3, Right: true}, {Name: "Followed so long", Width: 1.6, Right: true},
	}
}

func freedomTable(f outcome.Freedom, month int) report.Block {
	rows := make([][]string, len(f.Groups))
	for i, g := range f.Groups {
		rows[i] = groupRow(g.ID, g.N, g.Events, g.At, g.Refused)
	}
	return tableOf("No operation has been followed.", groupColumns(by(f.By), "Free", month), rows)
}

func pacemakerTable(p outcome.Pacemakers, month int) report.Block {
	rows := make([][]string, len(p.Groups))
	for i, g := range p.Groups {
		rows[i] = groupRow(g.ID, g.N, g.Events, g.At, g.Refused)
	}
	return tableOf("No operation has been followed.", groupColumns(by(p.By), "With a pacemaker", month), rows)
}

// groupRow says how a group stands at the month, or why that is not known.
func groupRow(id string, n, events int, at *outcome.At, refused string) []string {
	share, followed := "nobody followed so long", ""
	switch {
	case refused != "":
		share = refused
	case at != nil:
		share, followed = percentWords(at.Share), fmt.Sprint(at.AtRisk)
		if at.Low != nil {
			share += fmt.Sprintf(" (%s to %s)", percentWords(*at.Low), percentWords(*at.High))
		}
	}
	return []string{upperFirst(outcome.Words(id)), fmt.Sprint(n), fmt.Sprint(events), share, followed}
}
