package main

import (
	"bufio"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"net/mail"
	"slices"
	"strings"
	"text/tabwriter"

	"isthmus/api/signin"
	"isthmus/api/store"
	"isthmus/competency"
	"isthmus/policies"
)

// UserCmd adds and lists accounts and resets passwords. It shows no trainee's record.
type UserCmd struct {
	Add           UserAddCmd   `cmd:"" help:"Add an account, or a role to one that is there."`
	ResetPassword UserResetCmd `cmd:"" help:"Give an account a new password; its sign-ins end and its tokens are revoked."`
	List          UserListCmd  `cmd:"" help:"List the accounts."`
}

// UserAddCmd adds an account with a role in a programme.
type UserAddCmd struct {
	Email     string `required:"" help:"E-mail address, which is the name to sign in with."`
	Name      string `help:"Name as others see it; needed for a new account."`
	Programme string `required:"" placeholder:"ID" help:"Programme (isthmus programme list)."`
	Role      string `required:"" enum:"trainee,faculty,director,coordinator,committee,reviewer" help:"One of ${enum}."`
	From      string `placeholder:"YYYY-MM-DD" help:"First day of the role; today when left out."`
	Until     string `placeholder:"YYYY-MM-DD" help:"Last day of the role; open when left out."`
	Password  string `enum:"ask,generate" default:"generate" help:"generate one and print it once, or ask: read it from standard input."`
}

// Help shows examples.
func (UserAddCmd) Help() string {
	return `An account that is there keeps its name and password and gets the role besides.

Examples:
  isthmus user add --email director@example.org --name "Programme director" --programme ID --role director
  isthmus user add --email director@example.org --programme ID --role faculty`
}

// Run adds the account and the role in one transaction.
func (c UserAddCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	address, err := mail.ParseAddress(c.Email)
	if err != nil || address.Address != c.Email {
		return fmt.Errorf("--email: %q is no e-mail address", c.Email)
	}
	membership, err := c.membership()
	if err != nil {
		return err
	}
	return onCurrent(ctx, *config, func(s *store.Store) error {
		person, err := find(ctx, s, c.Email)
		if err == nil {
			membership.Person = person.ID
			return s.Write(ctx, c.act(membership), func(tx *store.Tx) error { return addRole(tx, membership) })
		}
		if !errors.Is(err, store.ErrNotFound) {
			return err
		}
		return c.addNew(ctx, s, membership, streams)
	})
}

// addNew makes a new account.
func (c UserAddCmd) addNew(ctx context.Context, s *store.Store, membership store.Membership, streams Streams) error {
	if strings.TrimSpace(c.Name) == "" {
		return fmt.Errorf("%s has no account yet: add --name", c.Email)
	}
	name, err := plainName("--name", c.Name)
	if err != nil {
		return err
	}
	password, err := newPassword(c.Password, streams)
	if err != nil {
		return err
	}
	hash, err := signin.HashPassword(password)
	if err != nil {
		return err
	}
	membership.Person = competency.PersonID(newID())
	person := store.Person{ID: membership.Person, Email: strings.ToLower(c.Email), Name: name, PasswordHash: hash, Epoch: 1, CreatedAt: wallClock()}
	err = s.Write(ctx, c.act(membership), func(tx *store.Tx) error {
		if err := tx.CreatePerson(person); err != nil {
			return err
		}
		shown := person
		shown.PasswordHash = "" // no trace of it in the audit trail, not even hashed again
		if err := tx.Audit("person", string(person.ID), nil, shown); err != nil {
			return err
		}
		return addRole(tx, membership)
	})
	if err != nil {
		return err
	}
	return sayPassword(c.Password, c.Email, password, streams)
}

func (c UserAddCmd) act(m store.Membership) store.Act {
	return store.Act{Programme: m.Programme, Name: "user.add", RequestID: "command line", At: wallClock()}
}

// membership is the role asked for, with its period checked.
func (c UserAddCmd) membership() (store.Membership, error) {
	m := store.Membership{Programme: competency.ProgrammeID(c.Programme), Role: c.Role, From: competency.DayOf(wallClock())}
	for _, day := range []struct {
		flag, text string
		into       *competency.Day
	}{{"--from", c.From, &m.From}, {"--until", c.Until, &m.Until}} {
		if day.text == "" {
			continue
		}
		parsed, err := competency.ParseDay(day.text)
		if err != nil {
			return m, fmt.Errorf("%s: %w", day.flag, err)
		}
		*day.into = parsed
	}
	if m.Until != "" && m.Until < m.From {
		return m, fmt.Errorf("--until %s lies before --from %s", m.Until, m.From)
	}
	if !slices.Contains(policies.MembershipRoles(), policies.Role(c.Role)) {
		return m, fmt.Errorf("--role: %q is no role in a programme", c.Role)
	}
	return m, nil
}

// addRole adds a membership with its audit entry. Who was kept out of the programme is let in again.
func addRole(tx *store.Tx, m store.Membership) error {
	if err := tx.LiftDeactivation(m.Programme, m.Person); err != nil && !errors.Is(err, store.ErrNotFound) {
		return err
	}
	if err := tx.AddMembership(m); err != nil {
		return fmt.Errorf("add the role (is there such a programme, and does the account not have the role already?): %w", err)
	}
	return tx.Audit("membership", string(m.Person), nil, m)
}

// UserResetCmd gives an account a new password.
type UserResetCmd struct {
	Email    string `required:"" help:"E-mail address of the account."`
	Password string `enum:"ask,generate" default:"generate" help:"generate one and print it once, or ask: read it from standard input."`
}

// Help shows an example.
func (UserResetCmd) Help() string {
	return "Example:\n  isthmus user reset-password --email faculty@example.org"
}

// Run sets the password; every sign-in of the account ends and its tokens are revoked: whoever took the old password may have made one.
func (c UserResetCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	return onCurrent(ctx, *config, func(s *store.Store) error {
		person, err := find(ctx, s, c.Email)
		if err != nil {
			return fmt.Errorf("%s: %w", c.Email, err)
		}
		password, err := newPassword(c.Password, streams)
		if err != nil {
			return err
		}
		hash, err := signin.HashPassword(password)
		if err != nil {
			return err
		}
		act := store.Act{Name: "user.reset-password", RequestID: "command line", At: wallClock()}
		err = s.Write(ctx, act, func(tx *store.Tx) error {
			if err := tx.SetPassword(person.ID, hash); err != nil {
				return err
			}
			if err := revokeTokens(tx, person.ID); err != nil {
				return err
			}
			return tx.Audit("person", string(person.ID), nil, nil)
		})
		if err != nil {
			return err
		}
		return sayPassword(c.Password, c.Email, password, streams)
	})
}

// revokeTokens revokes every bearer token of an account.
func revokeTokens(tx *store.Tx, person competency.PersonID) error {
	tokens, err := tx.Tokens(person)
	if err != nil {
		return err
	}
	for _, token := range tokens {
		if err := tx.RevokeToken(person, token.ID); err != nil {
			return err
		}
	}
	return nil
}

// UserListCmd lists the accounts.
type UserListCmd struct{}

// Help shows an example.
func (UserListCmd) Help() string { return "Example:\n  isthmus user list" }

// Run lists accounts with their roles and periods.
func (UserListCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	return onCurrent(ctx, *config, func(s *store.Store) error {
		return s.Read(ctx, func(tx *store.Tx) error {
			accounts, err := tx.Accounts()
			if err != nil {
				return err
			}
			table := tabwriter.NewWriter(streams.Out, 0, 0, 2, ' ', 0)
			fmt.Fprintln(table, "e-mail\tname\trole\tprogramme\tfrom\tuntil")
			for _, person := range accounts {
				memberships, err := tx.Memberships(person.ID)
				if err != nil {
					return err
				}
				if len(memberships) == 0 {
					fmt.Fprintf(table, "%s\t%s\t\t\t\t\n", person.Email, person.Name)
				}
				for _, m := range memberships {
					fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\n", person.Email, person.Name, m.Role, m.ProgrammeName, m.From, m.Until)
				}
			}
			return table.Flush()
		})
	})
}

// find looks an account up by its e-mail address.
func find(ctx context.Context, s *store.Store, email string) (person store.Person, err error) {
	err = s.Read(ctx, func(tx *store.Tx) error {
		person, err = tx.PersonByEmail(strings.ToLower(email))
		return err
	})
	return person, err
}

// newPassword generates a password or reads one line from standard input; it is never a flag, which others on the machine could read.
func newPassword(how string, streams Streams) (string, error) {
	if how == "generate" {
		return strings.ToLower(rand.Text()), nil
	}
	fmt.Fprint(streams.Err, "New password (one line): ")
	line, err := bufio.NewReader(streams.In).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", err
	}
	password := strings.TrimRight(line, "\r\n")
	return password, signin.CheckPassword(password)
}

// sayPassword shows a generated password, or confirms one that was typed. A password nobody saw must not look like success.
func sayPassword(how, email, password string, streams Streams) error {
	if how != "generate" {
		_, err := fmt.Fprintf(streams.Out, "Password of %s set.\n", email)
		return err
	}
	if _, err := fmt.Fprintf(streams.Out, "Password of %s, shown this once: %s\n", email, password); err != nil {
		return fmt.Errorf("the account is there, but its password could not be shown (isthmus user reset-password gives another): %w", err)
	}
	return nil
}
