package store

import (
	"slices"

	"gorm.io/gorm"

	"isthmus/competency"
)

// Membership is a role of a person in a programme for a stretch of days, both included; an empty Until means until further notice.
type Membership struct {
	Programme     competency.ProgrammeID
	ProgrammeName string // filled when loaded
	Person        competency.PersonID
	Role          string
	From, Until   competency.Day
	KeptOut       bool `json:"-"` // filled when loaded: the person is deactivated in the programme
}

// Member is a person with the roles held in one programme.
type Member struct {
	ID    competency.PersonID
	Name  string
	Email string
	Roles []string       // sorted
	Since competency.Day // the first day of the earliest membership asked for
}

type membershipRow struct {
	ProgrammeID competency.ProgrammeID `gorm:"primaryKey"`
	PersonID    competency.PersonID    `gorm:"primaryKey"`
	Role        string                 `gorm:"primaryKey"`
	FromDay     competency.Day         `gorm:"primaryKey"`
	UntilDay    competency.Day
}

// TableName names the table.
func (membershipRow) TableName() string { return "memberships" }

// onDay holds for the memberships of a day, notKeptOut for those of members who are not deactivated; acting needs both, while a cohort of
// an earlier day stays what it was.
const (
	onDay = "m.from_day <= ? AND (m.until_day = '' OR m.until_day >= ?)"

	notKeptOut = "NOT EXISTS (SELECT 1 FROM deactivations k WHERE k.programme_id = m.programme_id AND k.person_id = m.person_id AND k.status = 'in-force')"
)

// AddMembership gives a person a role. The error is ErrDuplicate when the same role begins on that day already, ErrReference when
// programme or person is not there.
func (tx *Tx) AddMembership(m Membership) error {
	row := membershipRow{ProgrammeID: m.Programme, PersonID: m.Person, Role: m.Role, FromDay: m.From, UntilDay: m.Until}
	return tx.insert("add membership", m.Programme, &row)
}

// EndMembership sets the last day of the role that is open-ended. The error is ErrNotFound when there is none.
func (tx *Tx) EndMembership(programme competency.ProgrammeID, person competency.PersonID, role string, until competency.Day) error {
	if err := tx.mayWrite(programme); err != nil {
		return err
	}
	changed := tx.db.Model(&membershipRow{}).
		Where("programme_id = ? AND person_id = ? AND role = ? AND until_day = ''", programme, person, role).Update("until_day", until)
	if changed.Error == nil && changed.RowsAffected == 0 {
		return translate("end membership", gorm.ErrRecordNotFound)
	}
	return translate("end membership", changed.Error)
}

// membershipWithName is a membership with its programme's name.
type membershipWithName struct {
	Row           membershipRow `gorm:"embedded"`
	ProgrammeName string
	KeptOut       bool
}

// Memberships lists all of a person's memberships, past and future ones too, by programme.
func (tx *Tx) Memberships(person competency.PersonID) ([]Membership, error) {
	var rows []membershipWithName
	err := tx.db.Table("memberships AS m").Select("m.*, p.name AS programme_name, NOT ("+notKeptOut+") AS kept_out").Joins("JOIN programmes p ON p.id = m.programme_id").
		Where("m.person_id = ?", person).Order("p.name, m.programme_id, m.role, m.from_day").Find(&rows).Error
	if err != nil {
		return nil, translate("memberships", err)
	}
	list := make([]Membership, len(rows))
	for i, named := range rows {
		r := named.Row
		list[i] = Membership{r.ProgrammeID, named.ProgrammeName, r.PersonID, r.Role, r.FromDay, r.UntilDay, named.KeptOut}
	}
	return list, nil
}

// MembershipsIn lists all memberships of a programme, past and future ones too, of one person when given, by person, role and first day.
func (tx *Tx) MembershipsIn(programme competency.ProgrammeID, person competency.PersonID) ([]Membership, error) {
	query := tx.db.Where("programme_id = ?", programme)
	if person != "" {
		query = query.Where("person_id = ?", person)
	}
	var rows []membershipRow
	if err := query.Order("person_id, role, from_day").Find(&rows).Error; err != nil {
		return nil, translate("memberships", err)
	}
	list := make([]Membership, len(rows))
	for i, r := range rows {
		list[i] = Membership{Programme: r.ProgrammeID, Person: r.PersonID, Role: r.Role, From: r.FromDay, Until: r.UntilDay}
	}
	return list, nil
}

// SetMembershipEnd sets the last day of the role that begins on m's first day to m's last one. The error is ErrNotFound when there is none.
func (tx *Tx) SetMembershipEnd(m Membership) error {
	if err := tx.mayWrite(m.Programme); err != nil {
		return err
	}
	changed := tx.db.Model(&membershipRow{}).
		Where("programme_id = ? AND person_id = ? AND role = ? AND from_day = ?", m.Programme, m.Person, m.Role, m.From).Update("until_day", m.Until)
	if changed.Error == nil && changed.RowsAffected == 0 {
		return translate("set membership end", gorm.ErrRecordNotFound)
	}
	return translate("set membership end", changed.Error)
}

// RolesOn lists the roles a person can act in on a day in a programme, sorted; none for who is no member then, or is kept out by now.
func (tx *Tx) RolesOn(programme competency.ProgrammeID, person competency.PersonID, day competency.Day) ([]string, error) {
	roles := []string{}
	err := tx.db.Table("memberships AS m").Distinct("m.role").Where("m.programme_id = ? AND m.person_id = ?", programme, person).
		Where(onDay, day, day).Where(notKeptOut).Order("m.role").Pluck("m.role", &roles).Error
	return roles, translate("roles", err)
}

// Terms lists the stretches for which a person holds a role in a programme, earliest first.
func (tx *Tx) Terms(programme competency.ProgrammeID, person competency.PersonID, role string) ([]competency.Term, error) {
	var rows []membershipRow
	err := tx.db.Where("programme_id = ? AND person_id = ? AND role = ?", programme, person, role).Order("from_day").Find(&rows).Error
	if err != nil {
		return nil, translate("terms", err)
	}
	terms := make([]competency.Term, len(rows))
	for i, r := range rows {
		terms[i] = competency.Term{From: r.FromDay, Until: r.UntilDay}
	}
	return terms, nil
}

// memberRow is one role of one member.
type memberRow struct {
	ID      competency.PersonID
	Name    string
	Email   string
	Role    string
	FromDay competency.Day
}

// People lists a programme's members by name: those with a role, or with any when role is empty; on a day, or ever when on is empty.
func (tx *Tx) People(programme competency.ProgrammeID, role string, on competency.Day) ([]Member, error) {
	query := tx.db.Table("memberships AS m").Select("p.id, p.name, p.email, m.role, m.from_day").Joins("JOIN people p ON p.id = m.person_id").
		Where("m.programme_id = ?", programme)
	if role != "" {
		query = query.Where("m.role = ?", role)
	}
	if on != "" {
		query = query.Where(onDay, on, on)
	}
	var rows []memberRow
	if err := query.Order("p.name, p.id, m.role, m.from_day").Find(&rows).Error; err != nil {
		return nil, translate("people", err)
	}
	members := []Member{}
	for _, r := range rows {
		if n := len(members); n == 0 || members[n-1].ID != r.ID {
			members = append(members, Member{ID: r.ID, Name: r.Name, Email: r.Email, Since: r.FromDay})
		}
		last := &members[len(members)-1]
		last.Since = min(last.Since, r.FromDay)
		if !slices.Contains(last.Roles, r.Role) {
			last.Roles = append(last.Roles, r.Role)
		}
	}
	return members, nil
}

// Names gives the names of all who are or were members of a programme.
func (tx *Tx) Names(programme competency.ProgrammeID) (map[competency.PersonID]string, error) {
	var rows []struct {
		ID   competency.PersonID
		Name string
	}
	err := tx.db.Table("people AS p").Select("p.id, p.name").
		Where("EXISTS (SELECT 1 FROM memberships m WHERE m.person_id = p.id AND m.programme_id = ?)", programme).Find(&rows).Error
	names := make(map[competency.PersonID]string, len(rows))
	for _, r := range rows {
		names[r.ID] = r.Name
	}
	return names, translate("names", err)
}
