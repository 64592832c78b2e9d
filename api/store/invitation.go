package store

import (
	"encoding/json"
	"fmt"
	"time"

	"gorm.io/gorm"

	"isthmus/competency"
)

// The states of an invitation.
const (
	InvitationOpen      = "open"
	InvitationAccepted  = "accepted"
	InvitationWithdrawn = "withdrawn"
)

// Invitation asks somebody to join a programme. Its link carries a token of which only the hash is kept.
type Invitation struct {
	ID        string
	Programme competency.ProgrammeID
	Email     string // lower case
	Name      string // a suggestion; empty when unknown
	Terms     []RoleTerm
	TokenHash string `json:"-"` // no trace of it in the audit trail
	Status    string
	CreatedBy competency.PersonID
	CreatedAt time.Time
	ExpiresAt time.Time
	ClosedAt  time.Time // zero while open
	Accepted  competency.PersonID
}

// RoleTerm is a role for a stretch of days; an empty From means from the day it is taken up, an empty Until until further notice.
type RoleTerm struct {
	Role  string         `json:"role"`
	From  competency.Day `json:"from,omitempty"`
	Until competency.Day `json:"until,omitempty"`
	// Viewing is what a reviewer is let see; nil for every other role.
	Viewing *ViewingChoice `json:"viewing,omitempty"`
}

type invitationRow struct {
	ID          string
	ProgrammeID competency.ProgrammeID
	Email       string
	Name        string
	Terms       string
	TokenHash   string
	Status      string
	CreatedBy   competency.PersonID
	CreatedAt   time.Time `gorm:"autoCreateTime:false"`
	ExpiresAt   time.Time
	ClosedAt    *time.Time
	AcceptedBy  *competency.PersonID
}

// TableName names the table.
func (invitationRow) TableName() string { return "invitations" }

// termsText is how terms are kept.
type termsText struct {
	Terms []RoleTerm `json:"terms"`
}

func (r invitationRow) invitation() (Invitation, error) {
	var kept termsText
	if err := json.Unmarshal([]byte(r.Terms), &kept); err != nil {
		return Invitation{}, fmt.Errorf("invitation %s: %w", r.ID, err)
	}
	return Invitation{
		r.ID, r.ProgrammeID, r.Email, r.Name, kept.Terms, r.TokenHash, r.Status, r.CreatedBy, utc(r.CreatedAt), utc(r.ExpiresAt),
		timeOrZero(r.ClosedAt), personOrNone(r.AcceptedBy),
	}, nil
}

// invitationRowOf is the row of an invitation.
func invitationRowOf(i Invitation) (invitationRow, error) {
	terms, err := json.Marshal(termsText{i.Terms})
	return invitationRow{
		i.ID, i.Programme, normalEmail(i.Email), i.Name, string(terms), i.TokenHash, i.Status, i.CreatedBy, utc(i.CreatedAt), utc(i.ExpiresAt),
		utcOrNil(i.ClosedAt), personOrNil(i.Accepted),
	}, err
}

// CreateInvitation keeps a new invitation. The error is ErrDuplicate when the address has an open one in the programme.
func (tx *Tx) CreateInvitation(i Invitation) error {
	row, err := invitationRowOf(i)
	if err != nil {
		return err
	}
	return tx.insert("create invitation", i.Programme, &row)
}

// SaveInvitation changes an open invitation: its terms, its link, or that it is closed. The error is ErrNotFound when the programme has
// no open one of that id.
func (tx *Tx) SaveInvitation(i Invitation) error {
	if err := tx.mayWrite(i.Programme); err != nil {
		return err
	}
	row, err := invitationRowOf(i)
	if err != nil {
		return err
	}
	changed := tx.db.Model(&invitationRow{}).Where("programme_id = ? AND id = ? AND status = ?", i.Programme, i.ID, InvitationOpen).Updates(map[string]any{
		"name": row.Name, "terms": row.Terms, "token_hash": row.TokenHash, "status": row.Status, "expires_at": row.ExpiresAt, "closed_at": row.ClosedAt,
		"accepted_by": row.AcceptedBy,
	})
	if changed.Error == nil && changed.RowsAffected == 0 {
		return translate("save invitation", gorm.ErrRecordNotFound)
	}
	return translate("save invitation", changed.Error)
}

// InvitationByID loads an invitation of a programme. The error is ErrNotFound.
func (tx *Tx) InvitationByID(programme competency.ProgrammeID, id string) (Invitation, error) {
	var row invitationRow
	if err := tx.take("invitation", &row, "programme_id = ? AND id = ?", programme, id); err != nil {
		return Invitation{}, err
	}
	return row.invitation()
}

// InvitationByHash loads the invitation whose link has the token of that hash, in whatever state and programme. The error is ErrNotFound.
func (tx *Tx) InvitationByHash(hash string) (Invitation, error) {
	var row invitationRow
	if err := tx.take("invitation", &row, "token_hash = ?", hash); err != nil {
		return Invitation{}, err
	}
	return row.invitation()
}

// OpenInvitations lists a programme's open invitations, newest first, those past their last day too.
func (tx *Tx) OpenInvitations(programme competency.ProgrammeID) ([]Invitation, error) {
	var rows []invitationRow
	err := tx.db.Where("programme_id = ? AND status = ?", programme, InvitationOpen).Order("created_at DESC, id DESC").Find(&rows).Error
	if err != nil {
		return nil, translate("invitations", err)
	}
	list := make([]Invitation, len(rows))
	for i, row := range rows {
		if list[i], err = row.invitation(); err != nil {
			return nil, err
		}
	}
	return list, nil
}
