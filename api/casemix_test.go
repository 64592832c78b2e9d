package api

import (
	"testing"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
)

// TestCaseMix counts the same a second way, in plain SQL: what trainees brought at a site while they were posted there, over how many days.
func TestCaseMix(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		w := newWorld(t, db)
		w.rotate("jonas", "ines")
		w.signedCase()
		var mix service.CaseMix
		w.as("amara").do("GET", in("/case-mix"), nil).want(200).into(&mix)
		var cases int
		w.must(db.DB().QueryRow(`SELECT count(*) FROM sign_offs s JOIN cases c ON c.programme_id = s.programme_id AND c.id = s.case_id
			JOIN case_versions v ON v.programme_id = s.programme_id AND v.case_id = s.case_id AND v.version = s.case_version
			JOIN rotations r ON r.programme_id = c.programme_id AND r.person_id = c.trainee_id AND r.site = v.site
			WHERE c.programme_id = 'north' AND v.site = 'Main site' AND v.operated_on >= r.from_day AND v.operated_on <= r.until_day`).Scan(&cases))
		const toToday = 93 // from 1 March to 1 June 2026, both included
		if len(mix.Sites) == 0 || mix.Sites[0].Site != "Main site" || mix.Sites[0].Days != toToday || cases != 1 {
			t.Fatalf("sites %+v, by SQL %d cases", mix.Sites, cases)
		}
		for _, row := range mix.Trainees {
			if row.ID != "ines" {
				continue
			}
			biatrial := row.Lines[0]
			if biatrial.Has != 1 || biatrial.Lacks != biatrial.Target-1 || biatrial.CannotSay != "the training has no end set" {
				t.Errorf("%+v", biatrial)
			}
		}
		w.as("jonas").do("POST", in("/members/ines/role-end"), map[string]any{"role": "trainee", "from": joined, "until": "2026-12-31"}).want(200)
		var ended service.CaseMix
		w.as("amara").do("GET", in("/case-mix"), nil).want(200).into(&ended)
		for _, row := range ended.Trainees {
			if row.ID != "ines" {
				continue
			}
			line := row.Lines[0] // 1.5 / 93 a day over the 91 days from 2 June to 31 August
			if row.Until != "2026-12-31" || len(row.Plan) != 1 || line.CannotSay != "" || line.Sources[0].Ahead != 91 || line.Sources[0].Cases != 1 || line.Expected != 1.4677 || line.Chance >= 0.05 {
				t.Errorf("%+v", line)
			}
		}
		w.as("ines").do("GET", in("/case-mix"), nil).want(403)
		w.as("ruth").do("GET", in("/case-mix"), nil).want(200)
	})
}
