package store

import (
	"encoding/json"
	"fmt"

	"isthmus/competency"
)

// phrasesFrom is how many of an assessor's newest signatures phrases are taken from.
const phrasesFrom = 200

// Statements lists what an assessor stated in a programme, newest signature first, the newest 200 at most.
func (tx *Tx) Statements(programme competency.ProgrammeID, assessor competency.PersonID) ([]competency.Statement, error) {
	var texts []string
	err := tx.db.Model(&signOffRow{}).Where("programme_id = ? AND assessor_id = ?", programme, assessor).
		Order("signed_at DESC, id DESC").Limit(phrasesFrom).Pluck("statement", &texts).Error
	if err != nil {
		return nil, translate("statements", err)
	}
	list := make([]competency.Statement, len(texts))
	for i, text := range texts {
		if err := json.Unmarshal([]byte(text), &list[i]); err != nil {
			return nil, fmt.Errorf("statements of %s: %w", assessor, err)
		}
	}
	return list, nil
}
