package store

import (
	"time"

	"gorm.io/gorm"

	"isthmus/competency"
)

// Token is a bearer token, of which only the hash is kept.
type Token struct {
	ID        string
	Person    competency.PersonID
	Name      string
	Hash      string
	CreatedAt time.Time
	ExpiresAt time.Time
	RevokedAt time.Time // zero while it is good
}

type tokenRow struct {
	ID        string
	PersonID  competency.PersonID
	Name      string
	Hash      string
	CreatedAt time.Time `gorm:"autoCreateTime:false"`
	ExpiresAt time.Time
	RevokedAt *time.Time
}

// TableName names the table.
func (tokenRow) TableName() string { return "tokens" }

func (r tokenRow) token() Token {
	return Token{r.ID, r.PersonID, r.Name, r.Hash, utc(r.CreatedAt), utc(r.ExpiresAt), timeOrZero(r.RevokedAt)}
}

// CreateToken keeps a new token. The error is ErrDuplicate when id or hash is taken.
func (tx *Tx) CreateToken(t Token) error {
	row := tokenRow{t.ID, t.Person, t.Name, t.Hash, utc(t.CreatedAt), utc(t.ExpiresAt), utcOrNil(t.RevokedAt)}
	return tx.insert("create token", "", &row)
}

// TokenByHash loads a token, good or not: the caller looks at its times. The error is ErrNotFound.
func (tx *Tx) TokenByHash(hash string) (Token, error) {
	var row tokenRow
	err := tx.take("token", &row, "hash = ?", hash)
	return row.token(), err
}

// Tokens lists a person's tokens, newest first, the ended ones too.
func (tx *Tx) Tokens(person competency.PersonID) ([]Token, error) {
	var rows []tokenRow
	if err := tx.db.Where("person_id = ?", person).Order("created_at DESC, id DESC").Find(&rows).Error; err != nil {
		return nil, translate("tokens", err)
	}
	list := make([]Token, len(rows))
	for i, row := range rows {
		list[i] = row.token()
	}
	return list, nil
}

// RevokeToken ends a person's token at the act's time; revoking it again changes nothing. The error is ErrNotFound when the person has
// no such token.
func (tx *Tx) RevokeToken(person competency.PersonID, id string) error {
	if err := tx.mayWrite(""); err != nil {
		return err
	}
	changed := tx.db.Model(&tokenRow{}).Where("id = ? AND person_id = ?", id, person).
		Update("revoked_at", gorm.Expr("COALESCE(revoked_at, ?)", tx.act.At))
	if changed.Error == nil && changed.RowsAffected == 0 {
		return translate("revoke token", gorm.ErrRecordNotFound)
	}
	return translate("revoke token", changed.Error)
}
