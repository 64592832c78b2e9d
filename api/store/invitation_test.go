package store_test

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// invitation is dan's, good for a week.
func invitation(programme competency.ProgrammeID, id, email string) store.Invitation {
	return store.Invitation{
		ID: id, Programme: programme, Email: email, Name: "Nia New", Terms: []store.RoleTerm{{Role: "trainee"}, {Role: "faculty", From: "2026-04-01", Until: "2026-05-01"}},
		TokenHash: "hash of " + id, Status: store.InvitationOpen, CreatedBy: dan, CreatedAt: start, ExpiresAt: start.AddDate(0, 0, 7),
	}
}

// TestInvitations: one open one an address, found by the hash of its token, closed once.
func TestInvitations(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		first := invitation(north, "i1", "New@Example.org")
		write(t, s, north, func(tx *store.Tx) error { return tx.CreateInvitation(first) })
		wantErr(t, "a second open one", tryWrite(s, north, func(tx *store.Tx) error {
			return tx.CreateInvitation(invitation(north, "i2", "new@example.org"))
		}), store.ErrDuplicate)
		var got store.Invitation
		read(t, s, func(tx *store.Tx) (err error) {
			got, err = tx.InvitationByHash("hash of i1")
			return err
		})
		if first.Email = "new@example.org"; !cmp.Equal(first, got) {
			t.Errorf("kept as %+v, want %+v", got, first)
		}
		got.Status, got.ClosedAt, got.Accepted = store.InvitationAccepted, start.Add(time.Hour), ann
		accept := func(tx *store.Tx) error { return tx.SaveInvitation(got) }
		write(t, s, north, accept)
		wantErr(t, "a second acceptance", tryWrite(s, north, accept), store.ErrNotFound)
		write(t, s, north, func(tx *store.Tx) error { return tx.CreateInvitation(invitation(north, "i3", "new@example.org")) })
		read(t, s, func(tx *store.Tx) error {
			open, err := tx.OpenInvitations(north)
			if len(open) != 1 || open[0].ID != "i3" {
				t.Errorf("open: %+v", open)
			}
			return err
		})
		if _, err := s.DB().Exec("DELETE FROM invitations"); err == nil {
			t.Error("an invitation can be deleted")
		}
		if _, err := s.DB().Exec("UPDATE invitations SET status = 'open', closed_at = NULL, accepted_by = NULL WHERE id = 'i1'"); err == nil {
			t.Error("a closed invitation can be opened again")
		}
	})
}

// TestDeactivation takes roles away without touching them, and shuts out who has no other way in.
func TestDeactivation(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		day := competency.Day("2026-03-02")
		state := func() (roles, people, kept int, shut bool) {
			read(t, s, func(tx *store.Tx) error {
				on, err := tx.RolesOn(north, sue, day)
				today, err2 := tx.People(north, "faculty", day)
				all, err3 := tx.Memberships(sue)
				for _, m := range all {
					if m.KeptOut {
						kept++
					}
				}
				var err4 error
				shut, err4 = tx.Shut(sue, day, start)
				roles, people = len(on), len(today)
				return errors.Join(err, err2, err3, err4)
			})
			return roles, people, kept, shut
		}
		expect := func(what string, roles, people, kept int, shut bool) {
			t.Helper()
			if r, p, k, out := state(); r != roles || p != people || k != kept || out != shut {
				t.Errorf("%s: %d roles, %d people, %d kept out, shut %v; want %d, %d, %d, %v", what, r, p, k, out, roles, people, kept, shut)
			}
		}
		expect("before", 1, 1, 0, false)
		deactivate := func(id string) func(*store.Tx) error {
			return func(tx *store.Tx) error {
				return tx.Deactivate(store.Deactivation{ID: id, Programme: north, Person: sue, By: dan, At: start})
			}
		}
		write(t, s, north, deactivate("d1"))
		wantErr(t, "twice", tryWrite(s, north, deactivate("d2")), store.ErrDuplicate)
		expect("out of one of two", 0, 1, 1, false)
		write(t, s, south, func(tx *store.Tx) error { return tx.EndMembership(south, sue, "faculty", "2026-03-01") })
		expect("out of the one left", 0, 1, 1, true)
		write(t, s, south, func(tx *store.Tx) error { return tx.CreateInvitation(invitation(south, "i1", "sue@example.org")) })
		expect("asked back by another", 0, 1, 1, false)
		write(t, s, north, func(tx *store.Tx) error { return tx.LiftDeactivation(north, sue) })
		wantErr(t, "lifted twice", tryWrite(s, north, func(tx *store.Tx) error { return tx.LiftDeactivation(north, sue) }), store.ErrNotFound)
		expect("lifted", 1, 1, 0, false)
		write(t, s, north, deactivate("d3"))
		expect("and again", 0, 1, 1, false)
	})
}
