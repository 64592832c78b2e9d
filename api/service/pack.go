package service

import (
	"fmt"

	"isthmus/api/report"
	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// pack writes what a committee has before it: the cohort on a page, what became of the operations, then every trainee, those who need action first.
func (h *scene) pack(one store.Report, ready func(int) error) (written, error) {
	if _, err := h.gatherAll(); err != nil {
		return written{}, err
	}
	cohort, err := h.cohort(CohortQuery{On: string(one.On)})
	if err != nil {
		return written{}, err
	}
	line, err := h.standards()
	if err != nil {
		return written{}, err
	}
	standard, err := line.at(one.On)
	if err != nil {
		return written{}, err
	}
	doc := h.cover(one, "Meeting pack", "Cohort of "+dayOf(one.On), standardWords(standard))
	outcomes, err := h.outcomeSection(one.On)
	if err != nil {
		return written{}, err
	}
	doc.Sections = append(doc.Sections, cohortSection(cohort), outcomes)
	for i, t := range cohort.Trainees {
		section, err := h.traineeSection(t, one)
		if err != nil {
			return written{}, err
		}
		doc.Sections = append(doc.Sections, section)
		if err := ready(i + 1); err != nil {
			return written{}, err
		}
	}
	doc.Sections = append(doc.Sections, h.howToVerify())
	return h.painted(doc, "meeting-pack-"+string(one.On)+".pdf")
}

// cohortSection is the cohort on a page.
func cohortSection(c Cohort) report.Section {
	rows := make([][]string, len(c.Trainees))
	for i, t := range c.Trainees {
		met := 0
		for _, line := range t.Lines {
			if line.State == competency.Met {
				met++
			}
		}
		rows[i] = []string{t.Name, dayOf(t.Since), fmt.Sprintf("%d of %d", met, len(t.Lines)), t.Overall, t.Attention}
	}
	h := c.Headline
	columns := []report.Column{{Name: "Trainee", Width: 2.5}, {Name: "Since", Width: 2.4}, {Name: "Met", Width: 1.1}, {Name: "Overall", Width: 5.4}, {Name: "What is needed", Width: 3.6}}
	return report.Section{Title: "The cohort", Blocks: []report.Block{
		tableOf("Nobody was a trainee on the day.", columns, rows), text(h.ScopeLeftOut.Says),
		text(fmt.Sprintf("Cases waited a median of %g days for their sign-off (n = %d). %d wait today, %d of them past the programme's limit for late recall.",
			h.SignOffWait.MedianDays, h.SignOffWait.N, h.SignOffWait.Waiting, h.SignOffWait.Late)),
	}}
}

// traineeSection is one trainee's page: standing, the first chart of each curve, and the decision that stands. Votes are not in it: whoever
// has not voted must not see how others did.
func (h *scene) traineeSection(t CohortTrainee, one store.Report) (report.Section, error) {
	section := report.Section{Title: t.Name, NewPage: true}
	j, err := h.judge(t.ID, one.On)
	if err != nil {
		return section, err
	}
	section.Blocks = append(section.Blocks, text("Trainee since "+dayOf(t.Since)+", judged by "+standardWords(j.standard)+"."))
	if t.Attention != "" {
		section.Blocks = append(section.Blocks, text(t.Attention))
	}
	section.Blocks = append(section.Blocks, standingBlocks(j.standing, waitingIn(j.evidence))...)
	for i, r := range j.standard.Requirements {
		if r.Kind != competency.KindCurve {
			continue
		}
		if c := requiredCurve(r, j.standing.Requirements[i], j.evidence, t.ID, one.On); len(c.Charts) > 0 {
			section.Blocks = append(section.Blocks, report.Block{Chart: &c.Charts[0]})
		}
	}
	if h.mayTrainee(policies.Decision, policies.Read, t.ID) != nil {
		return section, nil
	}
	decisions, err := h.tx.Decisions(h.programme.ID, store.DecisionFilter{Trainee: t.ID})
	if err != nil {
		return section, err
	}
	for _, d := range decisions {
		if competency.DayOf(d.SignedAt) > one.On {
			continue
		}
		section.Blocks = append(section.Blocks, report.Block{Heading: "The decision that stands"}, report.Block{Facts: []report.Fact{
			{Name: "Outcome", Value: chosen(competency.Outcomes, d.Outcome)}, {Name: "Reasons", Value: d.Reasons},
		}}, report.Block{Signature: &report.Signature{Name: d.SignerName, At: d.SignedAt, Meaning: d.Meaning}})
		break
	}
	return section, nil
}
