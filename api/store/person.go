package store

import (
	"strings"
	"time"

	"gorm.io/gorm"

	"isthmus/competency"
)

// Person is an account.
type Person struct {
	ID           competency.PersonID
	Email        string // lower case
	Name         string
	PasswordHash string // empty: cannot sign in with a password
	Epoch        int    // 1 at first, rises with every new password; a session of an older epoch is over
	CreatedAt    time.Time
}

type personRow struct {
	ID           competency.PersonID
	Email        string
	Name         string
	PasswordHash string
	Epoch        int
	CreatedAt    time.Time `gorm:"autoCreateTime:false"`
}

// TableName names the table.
func (personRow) TableName() string { return "people" }

func (r personRow) person() Person {
	return Person{ID: r.ID, Email: r.Email, Name: r.Name, PasswordHash: r.PasswordHash, Epoch: r.Epoch, CreatedAt: utc(r.CreatedAt)}
}

// normalEmail is an address as accounts are found by: lower case, without spaces round it.
func normalEmail(email string) string { return strings.ToLower(strings.TrimSpace(email)) }

// CreatePerson adds an account at epoch 1, or at p's own when that is higher. The error is ErrDuplicate when id or address is taken.
func (tx *Tx) CreatePerson(p Person) error {
	row := personRow{
		ID: p.ID, Email: normalEmail(p.Email), Name: p.Name, PasswordHash: p.PasswordHash, Epoch: max(p.Epoch, 1), CreatedAt: utc(p.CreatedAt),
	}
	return tx.insert("create account", "", &row)
}

// PersonByID loads an account. The error is ErrNotFound.
func (tx *Tx) PersonByID(id competency.PersonID) (Person, error) {
	var row personRow
	err := tx.take("account", &row, "id = ?", id)
	return row.person(), err
}

// PersonByEmail loads the account with an address, in any case. The error is ErrNotFound.
func (tx *Tx) PersonByEmail(email string) (Person, error) {
	var row personRow
	err := tx.take("account", &row, "email = ?", normalEmail(email))
	return row.person(), err
}

// SetPassword replaces an account's password hash and raises its epoch. The error is ErrNotFound.
func (tx *Tx) SetPassword(id competency.PersonID, hash string) error {
	if err := tx.mayWrite(""); err != nil {
		return err
	}
	changed := tx.db.Model(&personRow{}).Where("id = ?", id).Updates(map[string]any{"password_hash": hash, "epoch": gorm.Expr("epoch + 1")})
	if changed.Error == nil && changed.RowsAffected == 0 {
		return translate("set password", gorm.ErrRecordNotFound)
	}
	return translate("set password", changed.Error)
}

// EndSignIns ends every session of an account by raising its epoch, and its tokens. The error is ErrNotFound.
func (tx *Tx) EndSignIns(id competency.PersonID) error {
	if err := tx.mayWrite(""); err != nil {
		return err
	}
	changed := tx.db.Model(&personRow{}).Where("id = ?", id).Update("epoch", gorm.Expr("epoch + 1"))
	if changed.Error == nil && changed.RowsAffected == 0 {
		return translate("end sign-ins", gorm.ErrRecordNotFound)
	}
	if changed.Error != nil {
		return translate("end sign-ins", changed.Error)
	}
	revoked := tx.db.Model(&tokenRow{}).Where("person_id = ? AND revoked_at IS NULL", id).Update("revoked_at", tx.act.At)
	return translate("end sign-ins", revoked.Error)
}

// Accounts lists every account by address: for the operator, who sees no trainee's record by it.
func (tx *Tx) Accounts() ([]Person, error) {
	var rows []personRow
	if err := tx.db.Order("email").Find(&rows).Error; err != nil {
		return nil, translate("accounts", err)
	}
	list := make([]Person, len(rows))
	for i, row := range rows {
		list[i] = row.person()
	}
	return list, nil
}

// personOrNil is nil for nobody, which the database can tell from an account that is not there.
func personOrNil(id competency.PersonID) *competency.PersonID {
	if id == "" {
		return nil
	}
	return &id
}

// personOrNone is the empty id for nil.
func personOrNone(id *competency.PersonID) competency.PersonID {
	if id == nil {
		return ""
	}
	return *id
}
