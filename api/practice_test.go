package api

import (
	"errors"
	"fmt"
	"math"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/assessment"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/assessment/pack"
	"isthmus/competency"
	"isthmus/policies"
)

// directed is a programme with five trainees, five supervisors, two sites and what they did; the ledger beside it is the test's own.
type directed struct {
	*world
	delays   map[string][]float64 // by supervisor, days
	differs  map[string]int       // steps the supervisor saw otherwise
	steps    map[string]int
	trainees []string
	faculty  []string
}

func newDirected(t *testing.T, db *store.Store) *directed {
	d := &directed{
		world: newWorld(t, db), delays: map[string][]float64{}, differs: map[string]int{}, steps: map[string]int{},
		trainees: []string{"ines", "kofi", "sana", "tove", "umar"}, faculty: []string{"mei", "leila", "vera", "odin", "runa"},
	}
	d.write(north, func(tx *store.Tx) error {
		for i, name := range append(d.trainees[2:], d.faculty[2:]...) {
			role := []policies.Role{policies.Trainee, policies.Faculty}[i/3]
			id := competency.PersonID(name)
			if err := tx.CreatePerson(store.Person{ID: id, Email: name + "@example.org", Name: strings.ToUpper(name[:1]) + name[1:], PasswordHash: hashed(), CreatedAt: d.clock.Now()}); err != nil {
				return err
			}
			if err := tx.AddMembership(store.Membership{Programme: north, Person: id, Role: string(role), From: joined}); err != nil {
				return err
			}
		}
		return tx.Audit("person", "more", nil, "more")
	})
	settings := competency.Defaults()
	settings.Sites, settings.SigningMinutes = []string{"Main site", "Quay"}, 720
	d.as("amara").do("POST", in("/settings-versions"), map[string]any{"after": 0, "settings": settings, "reason": "Two sites."}).want(201)
	return d
}

// operatedOn is the i-th operation: most are biatrial as the policy asks, some leave the right atrium out, some stop at vein isolation where a box is
// asked for, one is an emergency, for which nothing is.
func operatedOn(i int) competency.Record {
	record := biatrial()
	record.OperatedOn = string(competency.Day("2026-02-01").Add(3 * i))
	record.Site = []string{"Main site", "Quay"}[i%2]
	keep := len(record.Lesions)
	switch {
	case i == 7:
		record.Urgency = "emergency"
	case i%4 == 1:
		keep = 7 // the left atrial set
	case i%6 == 2: // paroxysmal, left atrium closed: the policy asks for a box
		record.AF, record.LeftAtriumOpened, record.Operation, record.LeftAtriumBand = af.History{LongestEpisodeDays: 2, Ends: af.EndsByItself, RhythmControlPursued: true}, false, "coronary", "40-44"
		keep = 4 - 2*(i/2%2)
	}
	record.Lesions = record.Lesions[:keep]
	record.Steps = stepsBy(record, competency.ByTrainee)
	return record
}

// tell makes forty operations: every fourth is returned once, every third supervisor's account differs in one step.
func (d *directed) tell() {
	for i := range 40 {
		who, by := d.trainees[i%5], d.faculty[(i+i/5)%5]
		record := operatedOn(i)
		record.Supervisor = competency.PersonID(by)
		made := d.as(who).do("POST", in("/cases"), recordOf{record}).want(201)
		path := made.header.Get("Location")
		tag := d.as(who).do("POST", path+"/submission", nil, "If-Match", made.etag()).want(200).etag()
		if i%4 == 3 {
			tag = d.as(by).do("POST", path+"/return", `{"reason":"Look again."}`, "If-Match", tag).want(200).etag()
			tag = d.as(who).do("POST", path+"/submission", nil, "If-Match", tag).want(200).etag()
		}
		wait := time.Duration(1+i%5*(i%3+1)) * time.Minute
		d.clock.advance(wait)
		said := statement(record)
		said.HelpGiven, said.SupervisionNext = max(1, 5-i%5-i%2*(i/5%2)), 1+i%4
		if i%3 == 0 {
			said.Steps[0].PerformedBy = competency.BySupervisor
		}
		signed := d.as(by).do("POST", path+"/sign-off", said, "If-Match", tag).want(200)
		if i == 12 {
			d.as("amara").do("POST", path+"/withdrawal", `{"reason":"Logged twice."}`, "If-Match", signed.etag()).want(200)
			continue
		}
		d.delays[by] = append(d.delays[by], wait.Hours()/24)
		d.steps[by] += len(said.Steps)
		if i%3 == 0 {
			d.differs[by]++
		}
	}
	clear(d.clients) // who did nothing meanwhile is signed out by now
}

// count asks plain SQL for one number.
func (d *directed) count(query string, args ...any) int {
	d.Helper()
	if d.store.Dialect() == "postgres" {
		for i := 1; strings.Contains(query, "?"); i++ {
			query = strings.Replace(query, "?", fmt.Sprintf("$%d", i), 1)
		}
	}
	var n int
	d.must(d.store.DB().QueryRowContext(d.Context(), query, args...).Scan(&n))
	return n
}

// operations is a condition on the version signed last of every case that was not withdrawn; asked leaves in those the policy asks a scope for.
const (
	operations = `SELECT COUNT(*) FROM sign_offs s JOIN case_versions v ON v.case_id = s.case_id AND v.version = s.case_version JOIN cases c ON c.id = s.case_id
		WHERE c.programme_id = 'north' AND c.status <> 'withdrawn' AND s.case_version = (SELECT MAX(l.case_version) FROM sign_offs l WHERE l.case_id = s.case_id)`
	asked = operations + ` AND v.policy <> 'not-applicable' AND CAST(v.record AS text) NOT LIKE '%"emergency"%'`
	less  = ` AND v.policy IN ('minimum', 'below')`
)

// opens asks what is behind every number of a side: as many as it counts, each once, its hits among all.
func (d *directed) opens(side string, p competency.Practice) {
	d.Helper()
	for share := range p.Shares() {
		list := func(all string, want int) (ids []string) {
			var behind service.PracticeBehind
			d.as("amara").do("GET", in("/practice/behind?side="+side+all+"&of="+url.QueryEscape(share.Of)), nil).want(200).into(&behind)
			for _, item := range behind.Items {
				ids = append(ids, item.ID)
			}
			once := slices.Compact(slices.Sorted(slices.Values(ids)))
			if len(ids) != want || len(once) != want || behind.Says == "" || behind.Caution == "" || behind.Share.Of != share.Of {
				d.Errorf("%s, %s: %d behind a number of %d, %q", side, share.Of, len(ids), want, behind.Says)
			}
			return ids
		}
		hits, all := list("", share.Hits), list("&all=true", share.N)
		if slices.ContainsFunc(hits, func(id string) bool { return !slices.Contains(all, id) }) {
			d.Errorf("%s, %s: a hit is not counted", side, share.Of)
		}
	}
}

// TestPracticeBySQL recomputes every figure of practice in plain SQL.
func TestPracticeBySQL(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		d := newDirected(t, db)
		d.tell()
		scenario := pack.Scenarios()[0]
		for who, plan := range map[string]int{"ines": 0, "kofi": -1, "sana": 0} {
			body := map[string]any{"scenario": scenario.ID, "plan": scenario.Expert[0].Plan}
			if plan >= 0 {
				body["plan"] = scenario.Flawed[plan].Plan
			}
			d.as(who).do("POST", in("/plans"), body).want(201)
			d.as(who).do("POST", in("/plans"), body).want(201) // a second try counts nowhere
		}
		var view service.ScopePractice
		d.as("amara").do("GET", in("/practice"), nil).want(200).into(&view)
		p := view.Operated
		check := func(what string, share competency.PracticeShare, hits, n string, args ...any) {
			t.Helper()
			wantHits, wantN := d.count(hits, args...), d.count(n, args...)
			if share.Hits != wantHits || share.N != wantN || share.N > 0 && math.Abs(*share.Share-float64(wantHits)/float64(wantN)) > 5e-5 {
				t.Errorf("%s: %d of %d, SQL says %d of %d", what, share.Hits, share.N, wantHits, wantN)
			}
		}
		if p.N != d.count(operations) || p.N != 39 || p.NotAsked.Hits != 1 || p.NotAsked.N != 39 || view.Caution == "" || len(view.Charts) != 2 {
			t.Errorf("%d counted, %d not asked, %d charts", p.N, p.NotAsked.Hits, len(view.Charts))
		}
		check("less", p.Less, asked+less, asked)
		check("below", p.Below, asked+` AND v.policy = 'below'`, asked)
		for _, q := range p.Quarters {
			from := strings.NewReplacer("-Q1", "-01", "-Q2", "-04", "-Q3", "-07", "-Q4", "-10").Replace(q.Name)
			until := string(competency.Day(from + "-01").Add(85))[:7]
			within := ` AND substr(v.operated_on, 1, 7) BETWEEN ? AND ?`
			check(q.Name, q.Less, asked+less+within, asked+within, from, until)
		}
		for _, site := range p.Sites {
			check(site.Name, site.Less, asked+less+` AND v.site = ?`, asked+` AND v.site = ?`, site.Name)
		}
		for _, pattern := range p.Patterns {
			for i, scope := range competency.ScopeChoices {
				check(string(pattern.Pattern)+" "+scope.ID, pattern.Scopes[i], operations+` AND v.pattern = ? AND v.scope = '`+scope.ID+`'`, operations+` AND v.pattern = ?`, string(pattern.Pattern))
			}
		}
		rank := `CASE v.scope WHEN 'none' THEN 0 WHEN 'pulmonary-vein-isolation' THEN 1 WHEN 'box' THEN 2 WHEN 'left-atrial' THEN 3 ELSE 4 END`
		for i, step := range p.Steps {
			// persistent AF is asked for a biatrial set, paroxysmal AF with a closed left atrium for a box: these are all there are
			wanted := asked + []string{"", "", ` AND v.pattern = 'persistent'`, ` AND v.pattern = 'persistent'`}[i]
			out := wanted + less + fmt.Sprintf(` AND %s < %d`, rank, i+1)
			check(step.ID, step.LeftOut, out, wanted)
			for _, l := range step.Lesions {
				missing := out + ` AND CAST(v.record AS text) NOT LIKE '%"` + l.ID + `"%'`
				if l.ID == string(atrium.FreeWallLine) {
					missing += ` AND CAST(v.record AS text) NOT LIKE '%"cavotricuspid-isthmus-line"%'`
				}
				check(l.ID, l.LeftOut, missing, wanted)
			}
		}
		tries := `SELECT COUNT(*) FROM plans WHERE programme_id = 'north' AND attempt = 1`
		check("plans", view.Planned.Less, tries+` AND (CAST(grade AS text) LIKE '%"scope-at-minimum"%' OR CAST(grade AS text) LIKE '%"scope-below-minimum"%')`, tries)
		if view.Planned.Less.Hits != 2 || view.Planned.Less.N != 3 {
			t.Errorf("plans: %+v", view.Planned.Less)
		}
		d.opens(service.Operated, view.Operated)
		d.opens(service.Planned, view.Planned)
		for _, drawn := range view.Charts {
			if err := drawn.Check(); err != nil {
				t.Error(err)
			}
		}
		d.as("amara").do("GET", in("/practice?site=Quay&from=2026-03-01&on=2026-06-01"), nil).want(200).into(&view)
		if want := d.count(operations + ` AND v.site = 'Quay' AND v.operated_on >= '2026-03-01'`); view.Operated.N != want || want == 0 {
			t.Errorf("%d at one site since March, SQL says %d", view.Operated.N, want)
		}
		d.as("amara").do("GET", in("/practice?on=2026-05-31"), nil).want(200).into(&view) // the day before anything was signed
		if view.Operated.N != 0 || view.Planned.N != 0 || len(view.Charts) != 0 {
			t.Errorf("before: %+v", view.Operated)
		}
		d.as("amara").do("GET", in("/practice?pattern=paroxysmal"), nil).want(200).into(&view)
		if want := d.count(operations + ` AND v.pattern = 'paroxysmal'`); view.Operated.N != want || want == 0 || view.Pattern != "paroxysmal" {
			t.Errorf("%d in paroxysmal AF, SQL says %d", view.Operated.N, want)
		}
		d.as("amara").do("GET", in("/practice/behind?side=operated&of=nothing"), nil).want(404)
		for _, query := range []string{"?pattern=other", "/behind?side=elsewhere&of=less", "/behind?side=planned&site=Nowhere", "?site=Nowhere", "?from=2026-13-01", "?from=2026-06-01&on=2026-05-01", "?on=2999-01-01"} {
			d.as("amara").do("GET", in("/practice"+query), nil).want(422)
		}
		for who, want := range map[string]int{"ines": 403, "mei": 403, "jonas": 403, "yuki": 403, "ruth": 200, "amara": 200} {
			d.as(who).do("GET", in("/practice"), nil).want(want)
			d.as(who).do("GET", in("/practice/behind?side=operated&of=less"), nil).want(want)
		}
	})
}

// TestAssessorsBySQL recomputes every figure of the assessors in plain SQL or from the test's own ledger; a supervisor finds nobody else.
func TestAssessorsBySQL(t *testing.T) {
	storetest.Each(t, func(t *testing.T, db *store.Store) {
		d := newDirected(t, db)
		d.tell()
		var view service.Assessors
		d.as("amara").do("GET", in("/assessors"), nil).want(200).into(&view)
		if len(view.Assessors) != 5 || view.Own || view.Caution == "" || !slices.IsSortedFunc(view.Assessors, func(a, b service.AssessorRow) int { return strings.Compare(a.Assessor.Name, b.Assessor.Name) }) {
			t.Fatalf("%+v", view.Assessors)
		}
		by := `SELECT COUNT(*) FROM sign_offs s JOIN cases c ON c.id = s.case_id WHERE c.status <> 'withdrawn' AND s.assessor_id = ?`
		for _, row := range view.Assessors {
			who := string(row.Assessor.ID)
			signed := d.count(by, who)
			returned := d.count(`SELECT COUNT(*) FROM case_acts a JOIN cases c ON c.id = a.case_id WHERE a.kind = 'return' AND c.status <> 'withdrawn' AND a.by_id = ?`, who)
			if row.N != signed || row.Delay.N != signed || len(row.CaseList) != signed || row.Returned.Hits != returned || row.Returned.N != returned+signed || len(row.Returned.CaseList) != returned {
				t.Errorf("%s: %d signed, returned %+v; SQL says %d and %d", who, row.N, row.Returned, signed, returned)
			}
			if late := d.count(by+` AND s.late_recall`, who); row.Late.Hits != late || row.Late.N != signed {
				t.Errorf("%s: late %+v, SQL says %d", who, row.Late, late)
			}
			if row.Commented.Hits != signed || row.Steps.N != d.steps[who] || row.Steps.Hits != d.steps[who]-d.differs[who] {
				t.Errorf("%s: comments %+v, steps %+v of %d less %d", who, row.Commented, row.Steps, d.steps[who], d.differs[who])
			}
			waits := slices.Sorted(slices.Values(d.delays[who]))
			n := len(waits) // 7 or 8: the interval goes from the smallest to the largest, 98.4 and 99.2 %
			median := (waits[(n-1)/2] + waits[n/2]) / 2
			if math.Abs(row.Delay.Median-median) > 5e-5 || math.Abs(row.Delay.Bounds.Low-waits[0]) > 5e-5 || math.Abs(row.Delay.Bounds.High-waits[n-1]) > 5e-5 {
				t.Errorf("%s: delay %+v, the ledger says %v", who, row.Delay, waits)
			}
			if row.Severity.N != signed || (row.Severity.Interval == nil) != (row.Severity.Withheld != "") {
				t.Errorf("%s: severity %+v", who, row.Severity)
			}
		}
		k := view.Ratings
		if k.Refused != "" || k.Ratings != 39 || k.Trainees != 5 || k.Assessors != 5 || len(k.Means) != 20 || len(k.Fewest) != 2 {
			t.Fatalf("ratings %+v", k)
		}
		phi := func(n, a int) float64 {
			return k.Trainee / (k.Trainee + (k.Assessor+k.Pair)/float64(a) + k.Residual/float64(n))
		}
		for _, m := range k.Means {
			if m.Cases%m.Assessors == 0 && math.Abs(m.Phi-phi(m.Cases, m.Assessors)) > 2e-4 {
				t.Errorf("%+v, by hand %v", m, phi(m.Cases, m.Assessors))
			}
		}
		for _, f := range k.Fewest {
			if n := f.Cases[0]; n > 0 && (phi(n, 1) < f.Phi-1e-3 || n > 1 && phi(n-1, 1) >= f.Phi+1e-3) || n == 0 && phi(100, 1) >= f.Phi+1e-3 {
				t.Errorf("%+v: phi is %v there", f, phi(max(1, n), 1))
			}
		}
		var own service.Assessors
		d.as("mei").do("GET", in("/assessors?scale=supervision_next"), nil).want(200).into(&own)
		if !own.Own || len(own.Assessors) != 1 || own.Assessors[0].Assessor.ID != "mei" || own.Scale != competency.ScaleSupervisionNext || len(own.Cases) == 0 {
			t.Errorf("own %+v", own.Assessors)
		}
		body := string(d.as("mei").do("GET", in("/assessors"), nil).want(200).body)
		for _, name := range []string{"Leila", "Vera", "Odin", "Runa", "leila", "vera", "odin", "runa"} {
			if strings.Contains(body, name) {
				t.Errorf("mei's answer names %s", name)
			}
		}
		d.as("amara").do("GET", in("/assessors?on=2026-05-31"), nil).want(200).into(&view)
		if len(view.Assessors) != 0 || view.Ratings.Refused == "" || len(view.Ratings.Means) != 0 {
			t.Errorf("before: %+v", view)
		}
		d.as("amara").do("GET", in("/assessors?scale=kindness"), nil).want(422)
		for who, want := range map[string]int{"ines": 403, "jonas": 403, "ruth": 403, "yuki": 403} {
			d.as(who).do("GET", in("/assessors"), nil).want(want)
		}
	})
}

// TestDrawnLineCounts: a drawn line whose work is a named one's is not missing, though the record does not name it.
func TestDrawnLineCounts(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	record := biatrial()
	drawn := atrium.Lesion{Chamber: atrium.RightAtrium, Energy: atrium.BipolarRF, Applications: 2}
	for _, known := range atrium.Catalogue() {
		if known.ID == atrium.IntercavalLine {
			drawn.Path = known.Path
		}
	}
	record.Lesions = append(record.Lesions[:7:7], drawn)
	record.Steps = stepsBy(record, competency.ByTrainee)
	path, tag := w.submitted(record)
	w.as("mei").do("POST", path+"/sign-off", statement(record), "If-Match", tag).want(200)
	var view service.ScopePractice
	w.as("amara").do("GET", in("/practice"), nil).want(200).into(&view)
	right := view.Operated.Steps[3]
	if right.LeftOut.Hits != 1 || right.Lesions[0].LeftOut.Hits != 0 || right.Lesions[1].LeftOut.Hits != 1 {
		t.Errorf("%+v", right)
	}
}

// TestPracticeDuringTest: a director who is also a trainee with an open test sees nothing of what lesions do.
func TestPracticeDuringTest(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	w.write(north, func(tx *store.Tx) error {
		return errors.Join(tx.AddMembership(store.Membership{Programme: north, Person: "amara", Role: string(policies.Trainee), From: joined}), tx.Audit("membership", "amara", nil, nil))
	})
	w.sit("amara", timedID())
	w.as("amara").do("GET", in("/practice"), nil).want(409)
	w.as("amara").do("GET", in("/assessors"), nil).want(200)
}

// TestPlannedAppendageKept: where the plan leaves the appendage as it is, the line to its stump is asked for as little as in an operation.
func TestPlannedAppendageKept(t *testing.T) {
	w := newWorld(t, storetest.Open(t, sqlite))
	scenario := pack.Scenarios()[0]
	plan := scenario.Expert[0].Plan
	plan.Lesions, plan.LeftAppendage = plan.Lesions[:2:2], assessment.Appendage{State: "kept"}
	w.as("ines").do("POST", in("/plans"), map[string]any{"scenario": scenario.ID, "plan": plan}).want(201)
	var view service.ScopePractice
	w.as("amara").do("GET", in("/practice"), nil).want(200).into(&view)
	step := view.Planned.Steps[2]
	if step.LeftOut.Hits != 1 || step.Lesions[2].ID != string(atrium.LeftAppendageLine) || step.Lesions[2].LeftOut.N != 0 || step.Lesions[0].LeftOut.Hits != 1 {
		t.Errorf("%+v", step)
	}
}
