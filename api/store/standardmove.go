package store

import (
	"time"

	"isthmus/competency"
)

// StandardMove is a director's word that a trainee is judged by another version of the standard from a day on. It never changes.
type StandardMove struct {
	Programme competency.ProgrammeID `json:"-"`
	Trainee   competency.PersonID    `json:"trainee"`
	Number    int                    `json:"number"` // of the trainee's moves, from 1
	Version   int                    `json:"version"`
	From      competency.Day         `json:"from"`
	Reason    string                 `json:"reason"`
	MovedBy   competency.PersonID    `json:"moved_by"`
	MovedAt   time.Time              `json:"moved_at"`
}

type standardMoveRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	TraineeID   competency.PersonID    `gorm:"primaryKey"`
	Number      int                    `gorm:"primaryKey;autoIncrement:false"`
	Version     int
	FromDay     competency.Day
	Reason      string
	MovedBy     competency.PersonID
	MovedAt     time.Time
}

// TableName names the table.
func (standardMoveRow) TableName() string { return "standard_moves" }

// AddStandardMove adds a trainee's next move. The error is ErrDuplicate when somebody else was faster, ErrReference when the programme has
// no such version.
func (tx *Tx) AddStandardMove(m StandardMove) error {
	row := standardMoveRow{m.Programme, m.Trainee, m.Number, m.Version, m.From, m.Reason, m.MovedBy, utc(m.MovedAt)}
	return tx.insert("add move of standard", m.Programme, &row)
}

// StandardMoves lists the moves of a trainee, or of everybody when trainee is empty, by trainee, then in the order they take effect.
func (tx *Tx) StandardMoves(programme competency.ProgrammeID, trainee competency.PersonID) ([]StandardMove, error) {
	query := tx.db.Where("programme_id = ?", programme)
	if trainee != "" {
		query = query.Where("trainee_id = ?", trainee)
	}
	var rows []standardMoveRow
	if err := query.Order("trainee_id, from_day, number").Find(&rows).Error; err != nil {
		return nil, translate("moves of standard", err)
	}
	moves := make([]StandardMove, len(rows))
	for i, r := range rows {
		moves[i] = StandardMove{r.ProgrammeID, r.TraineeID, r.Number, r.Version, r.FromDay, r.Reason, r.MovedBy, utc(r.MovedAt)}
	}
	return moves, nil
}
