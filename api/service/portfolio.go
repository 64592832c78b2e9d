package service

import (
	"fmt"
	"strings"

	"isthmus/api/report"
	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// portfolio writes one trainee's portfolio: standing, curves, cases, plans, decisions and signatures.
func (h *scene) portfolio(one store.Report) (written, error) {
	j, err := h.judge(one.Trainee, one.On)
	if err != nil {
		return written{}, err
	}
	name, err := h.name(one.Trainee)
	if err != nil {
		return written{}, err
	}
	records, err := h.signedRecords(one.Trainee, one.On)
	if err != nil {
		return written{}, err
	}
	doc := h.cover(one, "Portfolio", name, standardWords(j.standard))
	doc.Sections = append(doc.Sections, report.Section{Title: "Standing", Blocks: standingBlocks(j.standing, waitingIn(j.evidence))})
	doc.Sections = append(doc.Sections, report.Section{Title: "Learning curves", Blocks: curveBlocks(j, one)})
	if limit := h.programme.Settings.Filled().SmallCells; one.Outside {
		doc.Sections = append(doc.Sections, report.Section{Title: "Cases in numbers", Blocks: countBlocks(records, limit)})
	} else {
		doc.Sections = append(doc.Sections, report.Section{Title: "Signed-off cases", Blocks: caseBlocks(records)})
	}
	for _, add := range []func(store.Report) (report.Section, error){h.planSection, h.decisionSection} {
		section, err := add(one)
		if err != nil {
			return written{}, err
		}
		doc.Sections = append(doc.Sections, section)
	}
	doc.Sections = append(doc.Sections, report.Section{Title: "Signatures on cases", Blocks: signatureBlocks(records, one.Outside)}, h.howToVerify())
	return h.painted(doc, fmt.Sprintf("portfolio-%s-%s.pdf", fileWords(name), one.On))
}

// curveBlocks draw the curves the standard asks for.
func curveBlocks(j judgement, one store.Report) []report.Block {
	var blocks []report.Block
	for i, r := range j.standard.Requirements {
		if r.Kind != competency.KindCurve {
			continue
		}
		c := requiredCurve(r, j.standing.Requirements[i], j.evidence, one.Trainee, one.On)
		blocks = append(blocks, report.Block{Heading: c.Standing.Says}, text(stateWords[c.Standing.State]+". "+c.Standing.Explanation))
		for k := range c.Charts {
			blocks = append(blocks, report.Block{Chart: &c.Charts[k]})
		}
	}
	if blocks == nil {
		return []report.Block{text("The standard asks for no learning curve.")}
	}
	return blocks
}

// planSection lists the graded plans handed in up to the day.
func (h *scene) planSection(one store.Report) (report.Section, error) {
	section := report.Section{Title: "Graded plans"}
	if err := h.mayTrainee(policies.Plan, policies.Read, one.Trainee); err != nil {
		section.Blocks = []report.Block{text("Whoever made this report does not read plans.")}
		return section, nil
	}
	var rows [][]string
	page := store.Page{Limit: 200}
	for {
		plans, next, err := h.tx.Plans(h.programme.ID, store.PlanFilter{Trainee: one.Trainee}, page)
		if err != nil {
			return section, err
		}
		for _, p := range h.summariesOfPlans(plans) {
			if competency.DayOf(p.SubmittedAt) > one.On {
				continue
			}
			grade := fmt.Sprintf("%s (%.0f)", p.Letter, p.Score)
			if p.Unsafe {
				grade += ", unsafe"
			}
			rows = append(rows, []string{instantWords(p.SubmittedAt), p.ScenarioTitle, chosen(competency.PatternChoices, p.Pattern), string(p.Mode), fmt.Sprint(p.Attempt), grade})
		}
		if next == "" {
			break
		}
		page.After = next
	}
	columns := []report.Column{
		{Name: "Handed in", Width: 3}, {Name: "Scenario", Width: 5}, {Name: "AF", Width: 2.4}, {Name: "As", Width: 1.6}, {Name: "Attempt", Width: 1.4, Right: true}, {Name: "Grade", Width: 2.4},
	}
	section.Blocks = []report.Block{tableOf("No plan was graded.", columns, rows)}
	return section, nil
}

// decisionSection tells every decision, newest first.
func (h *scene) decisionSection(one store.Report) (report.Section, error) {
	section := report.Section{Title: "Decisions"}
	if err := h.mayTrainee(policies.Decision, policies.Read, one.Trainee); err != nil {
		section.Blocks = []report.Block{text("Whoever made this report does not read decisions.")}
		return section, nil
	}
	rows, err := h.tx.Decisions(h.programme.ID, store.DecisionFilter{Trainee: one.Trainee})
	if err != nil {
		return section, err
	}
	for _, row := range rows {
		if competency.DayOf(row.SignedAt) > one.On {
			continue
		}
		view, err := h.decisionView(row.ID)
		if err != nil {
			return section, err
		}
		section.Blocks = append(section.Blocks, report.Block{Heading: "Decision of " + dayWords(row.SignedAt)})
		section.Blocks = append(section.Blocks, decisionBlocks(view)...)
	}
	if section.Blocks == nil {
		section.Blocks = []report.Block{text("No decision was recorded.")}
	}
	return section, nil
}

// fileWords makes a name fit for a file: letters a to z and digits, joined by hyphens.
func fileWords(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	if len(words) == 0 {
		return "report"
	}
	return strings.Join(words, "-")
}
