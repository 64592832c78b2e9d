package api

import (
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

// reminded is what a person is reminded of, one line a kind.
func (w *world) reminded(who string) string {
	w.Helper()
	var list service.List[service.Reminder]
	w.as(who).do("GET", in("/reminders"), nil).want(200).into(&list)
	said := make([]string, len(list.Items))
	for i, item := range list.Items {
		said[i] = string(item.Kind) + ": " + item.Says
	}
	return strings.Join(said, "\n")
}

// later lets days pass, after which everybody signs in anew.
func (w *world) later(days int) {
	w.clock.advance(time.Duration(days) * 24 * time.Hour)
	clear(w.clients)
}

// TestReminders follows what waits for whom while cases are entered, submitted, left lying and returned.
func TestReminders(t *testing.T) { storetest.Each(t, reminders) }

func reminders(t *testing.T, db *store.Store) {
	w := newWorld(t, db)
	for _, person := range cast {
		if person.programme == north && person.name != "oskar" {
			if said := w.reminded(person.name); said != "" {
				t.Errorf("%s is reminded of %q in an empty programme", person.name, said)
			}
		}
	}
	w.as("stranger").do("GET", in("/reminders"), nil).want(404)
	w.as("oskar").do("GET", in("/reminders"), nil).want(403) // the operator has no part in the programme

	w.draft(biatrial()) // by ines, supervised by mei
	path, tag := w.submitted(biatrial())
	check := func(who, want string) {
		t.Helper()
		if said := w.reminded(who); said != want {
			t.Errorf("%s is reminded of\n%s\nwant\n%s", who, said, want)
		}
	}
	check("ines", "drafts: A draft waits to be finished.")
	check("mei", "to-sign: A case waits for your signature.")
	for _, who := range []string{"kofi", "leila", "amara", "jonas", "ruth"} {
		check(who, "")
	}

	w.later(8)
	check("ines", "drafts: A draft waits to be finished; 1 older than a week.")
	w.later(30)
	check("mei", "to-sign: A case waits for your signature; 1 more than 14 days after the operation.")
	for _, who := range []string{"amara", "jonas"} {
		check(who, "others-to-sign: A case of the programme waits for sign-off more than 14 days after the operation.")
	}
	for _, who := range []string{"kofi", "leila", "ruth", "yuki"} {
		check(who, "")
	}

	w.as("mei").do("POST", path+"/return", map[string]string{"reason": "the box was never closed"}, "If-Match", tag).want(200)
	check("mei", "")
	check("amara", "")
	check("ines", "returned: A returned case waits for you.\ndrafts: A draft waits to be finished; 1 older than a week.")

	view, _ := w.sit("ines", timedID())
	var list service.List[service.Reminder]
	w.as("ines").do("GET", in("/reminders"), nil).want(200).into(&list)
	if list.Items[0].Kind != service.RemindOpenTest || list.Items[0].Sitting != view.ID {
		t.Errorf("with a test open the first reminder is %+v", list.Items[0])
	}
}

// TestRemindersShowTheOldest counts all and shows ten.
func TestRemindersShowTheOldest(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	var first string
	for i := range 12 {
		made := w.draft(biatrial())
		if i == 0 {
			first = made.header.Get("Location")
		}
		w.later(1)
	}
	var list service.List[service.Reminder]
	w.as("ines").do("GET", in("/reminders"), nil).want(200).into(&list)
	item := list.Items[0]
	if item.Count != 12 || item.Late != 5 || item.OldestDays != 12 || len(item.Cases) != 10 {
		t.Errorf("12 drafts of 1 to 12 days: count %d, late %d, oldest %d days, %d shown; want 12, 5, 12, 10", item.Count, item.Late, item.OldestDays, len(item.Cases))
	}
	if shown := item.Cases[0]; !strings.HasSuffix(first, string(shown.ID)) || shown.TraineeName != "Ines" || shown.Status != competency.CaseDraft {
		t.Errorf("the first shown is %+v, want the oldest, %s", shown, first)
	}
}
