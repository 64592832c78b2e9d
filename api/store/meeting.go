package store

import (
	"time"

	"isthmus/competency"
)

// Meeting is a committee's meeting. It never changes.
type Meeting struct {
	ID        competency.MeetingID
	Programme competency.ProgrammeID
	HeldOn    competency.Day
	Note      string
	Trainees  []competency.PersonID // in their turn
	Members   []competency.PersonID
	CreatedBy competency.PersonID
	CreatedAt time.Time
}

type meetingRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	ID          competency.MeetingID   `gorm:"primaryKey"`
	HeldOn      competency.Day
	Note        string
	CreatedBy   competency.PersonID
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
}

// TableName names the table.
func (meetingRow) TableName() string { return "meetings" }

type meetingTraineeRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	MeetingID   competency.MeetingID   `gorm:"primaryKey"`
	TraineeID   competency.PersonID    `gorm:"primaryKey"`
	Place       int
}

// TableName names the table.
func (meetingTraineeRow) TableName() string { return "meeting_trainees" }

type meetingMemberRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	MeetingID   competency.MeetingID   `gorm:"primaryKey"`
	PersonID    competency.PersonID    `gorm:"primaryKey"`
	Place       int
}

// TableName names the table.
func (meetingMemberRow) TableName() string { return "meeting_members" }

type conflictRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	MeetingID   competency.MeetingID   `gorm:"primaryKey"`
	TraineeID   competency.PersonID    `gorm:"primaryKey"`
	PersonID    competency.PersonID    `gorm:"primaryKey"`
	Reason      string
	DeclaredAt  time.Time
}

// TableName names the table.
func (conflictRow) TableName() string { return "meeting_conflicts" }

type voteRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	MeetingID   competency.MeetingID   `gorm:"primaryKey"`
	TraineeID   competency.PersonID    `gorm:"primaryKey"`
	PersonID    competency.PersonID    `gorm:"primaryKey"`
	Number      int                    `gorm:"primaryKey;autoIncrement:false"`
	Outcome     competency.Outcome
	Remark      string
	VotedAt     time.Time
}

// TableName names the table.
func (voteRow) TableName() string { return "meeting_votes" }

// AddMeeting keeps a meeting for good. The error is ErrDuplicate when the id is taken or somebody is named twice, ErrReference for a person there is none of.
func (tx *Tx) AddMeeting(m Meeting) error {
	row := meetingRow{m.Programme, m.ID, m.HeldOn, m.Note, m.CreatedBy, utc(m.CreatedAt)}
	if err := tx.insert("add meeting", m.Programme, &row); err != nil {
		return err
	}
	for i, trainee := range m.Trainees {
		if err := tx.insert("add trainee of a meeting", m.Programme, &meetingTraineeRow{m.Programme, m.ID, trainee, i + 1}); err != nil {
			return err
		}
	}
	for i, member := range m.Members {
		if err := tx.insert("add member of a meeting", m.Programme, &meetingMemberRow{m.Programme, m.ID, member, i + 1}); err != nil {
			return err
		}
	}
	return nil
}

// MeetingByID loads a meeting. The error is ErrNotFound.
func (tx *Tx) MeetingByID(programme competency.ProgrammeID, id competency.MeetingID) (Meeting, error) {
	var row meetingRow
	if err := tx.take("meeting", &row, "programme_id = ? AND id = ?", programme, id); err != nil {
		return Meeting{}, err
	}
	list, err := tx.withSeats([]meetingRow{row})
	if err != nil {
		return Meeting{}, err
	}
	return list[0], nil
}

// Meetings lists a programme's meetings, the latest day first.
func (tx *Tx) Meetings(programme competency.ProgrammeID) ([]Meeting, error) {
	var rows []meetingRow
	if err := tx.db.Where("programme_id = ?", programme).Order("held_on DESC, id DESC").Find(&rows).Error; err != nil {
		return nil, translate("meetings", err)
	}
	return tx.withSeats(rows)
}

// withSeats puts trainees and members beside meetings of one programme.
func (tx *Tx) withSeats(rows []meetingRow) ([]Meeting, error) {
	list, at, ids := make([]Meeting, len(rows)), map[competency.MeetingID]int{}, make([]competency.MeetingID, len(rows))
	for i, r := range rows {
		list[i] = Meeting{ID: r.ID, Programme: r.ProgrammeID, HeldOn: r.HeldOn, Note: r.Note, CreatedBy: r.CreatedBy, CreatedAt: utc(r.CreatedAt)}
		at[r.ID], ids[i] = i, r.ID
	}
	if len(rows) == 0 {
		return list, nil
	}
	var trainees []meetingTraineeRow
	if err := tx.db.Where("programme_id = ? AND meeting_id IN ?", rows[0].ProgrammeID, ids).Order("place").Find(&trainees).Error; err != nil {
		return nil, translate("trainees of meetings", err)
	}
	for _, r := range trainees {
		list[at[r.MeetingID]].Trainees = append(list[at[r.MeetingID]].Trainees, r.TraineeID)
	}
	var members []meetingMemberRow
	if err := tx.db.Where("programme_id = ? AND meeting_id IN ?", rows[0].ProgrammeID, ids).Order("place").Find(&members).Error; err != nil {
		return nil, translate("members of meetings", err)
	}
	for _, r := range members {
		list[at[r.MeetingID]].Members = append(list[at[r.MeetingID]].Members, r.PersonID)
	}
	return list, nil
}

// AddConflict keeps a declared conflict of interest. The error is ErrDuplicate when the member declared one before.
func (tx *Tx) AddConflict(programme competency.ProgrammeID, meeting competency.MeetingID, trainee competency.PersonID, c competency.Conflict) error {
	return tx.insert("add conflict", programme, &conflictRow{programme, meeting, trainee, c.Member, c.Reason, utc(c.DeclaredAt)})
}

// AddVote keeps a vote as the member's next about the trainee.
func (tx *Tx) AddVote(programme competency.ProgrammeID, meeting competency.MeetingID, trainee competency.PersonID, v competency.Vote) error {
	var before int64
	err := tx.db.Model(&voteRow{}).Where("programme_id = ? AND meeting_id = ? AND trainee_id = ? AND person_id = ?", programme, meeting, trainee, v.Member).Count(&before).Error
	if err != nil {
		return translate("votes", err)
	}
	return tx.insert("add vote", programme, &voteRow{programme, meeting, trainee, v.Member, int(before) + 1, v.Outcome, v.Remark, utc(v.VotedAt)})
}

// Ballots loads what was declared and voted in a meeting, by trainee: conflicts and votes in the order they came.
func (tx *Tx) Ballots(programme competency.ProgrammeID, meeting competency.MeetingID) (map[competency.PersonID]competency.Ballot, error) {
	ballots := map[competency.PersonID]competency.Ballot{}
	var conflicts []conflictRow
	if err := tx.db.Where("programme_id = ? AND meeting_id = ?", programme, meeting).Order("declared_at, person_id").Find(&conflicts).Error; err != nil {
		return nil, translate("conflicts", err)
	}
	for _, r := range conflicts {
		b := ballots[r.TraineeID]
		b.Conflicts = append(b.Conflicts, competency.Conflict{Member: r.PersonID, Reason: r.Reason, DeclaredAt: utc(r.DeclaredAt)})
		ballots[r.TraineeID] = b
	}
	var votes []voteRow
	if err := tx.db.Where("programme_id = ? AND meeting_id = ?", programme, meeting).Order("person_id, number").Find(&votes).Error; err != nil {
		return nil, translate("votes", err)
	}
	for _, r := range votes {
		b := ballots[r.TraineeID]
		b.Votes = append(b.Votes, competency.Vote{Member: r.PersonID, Outcome: r.Outcome, Remark: r.Remark, VotedAt: utc(r.VotedAt)})
		ballots[r.TraineeID] = b
	}
	return ballots, nil
}
