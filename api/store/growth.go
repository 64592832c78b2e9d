package store

import (
	"encoding/json"

	"isthmus/assessment"
	"isthmus/competency"
)

// PlansOf loads every plan of a trainee whole, in order of time, except those for one scenario; an empty id leaves out none.
func (tx *Tx) PlansOf(programme competency.ProgrammeID, trainee competency.PersonID, without assessment.ScenarioID) ([]PlanRow, error) {
	var rows []planWithName
	err := tx.db.Table("plans AS p").Select(summaryColumns+", p.plan, p.grade").Joins("JOIN people t ON t.id = p.trainee_id").
		Where("p.programme_id = ? AND p.trainee_id = ? AND p.scenario <> ?", programme, trainee, without).
		Order("p.submitted_at, p.id").Find(&rows).Error
	list := make([]PlanRow, len(rows))
	for i, row := range rows {
		list[i] = PlanRow{PlanSummary: row.summary(), Plan: json.RawMessage(row.Row.Plan), Grade: json.RawMessage(row.Row.Grade)}
	}
	return list, translate("plans of a trainee", err)
}
