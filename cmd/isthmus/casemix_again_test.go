package main

import (
	"database/sql"
	"math"
	"slices"
	"testing"

	"isthmus/api/service"
	"isthmus/competency"
)

// countsSQL says again which signed cases a count of the demo's standard asks for, by a condition on them.
var countsSQL = map[string]string{
	"biatrial-cases":   "s.role = 'primary' AND v.scope = 'biatrial'",
	"paroxysmal-cases": "s.role = 'primary' AND v.scope IN ('box', 'left-atrial', 'biatrial') AND v.pattern = 'paroxysmal'",
}

// signedSQL is the signed cases, each in the version signed last.
const signedSQL = `FROM sign_offs s JOIN case_versions v ON v.programme_id = s.programme_id AND v.case_id = s.case_id AND v.version = s.case_version
	JOIN cases c ON c.id = s.case_id
	WHERE c.status <> 'withdrawn' AND s.case_version = (SELECT max(n.case_version) FROM sign_offs n WHERE n.case_id = s.case_id) AND `

// atSiteSQL narrows it to what trainees brought at a site (?2) while posted there in the year up to a day (?1).
const atSiteSQL = ` AND v.site = ?2 AND v.operated_on > date(?1, '-365 days') AND v.operated_on <= ?1 AND EXISTS (SELECT 1 FROM rotations r
	WHERE r.person_id = c.trainee_id AND r.site = v.site AND v.operated_on >= r.from_day AND (r.until_day = '' OR v.operated_on <= r.until_day))`

// aheadSQL counts the days that a trainee (?2) is to work at a site (?3) after a day (?1), until the last day as a trainee.
const aheadSQL = `SELECT coalesce(sum(max(0, 1 + julianday(min(CASE WHEN r.until_day = '' THEN m.until_day ELSE r.until_day END, m.until_day)) - julianday(max(r.from_day, date(?1, '+1 day'))))), 0)
	FROM rotations r JOIN memberships m ON m.person_id = r.person_id AND m.role = 'trainee' WHERE r.person_id = ?2 AND r.site = ?3`

// again asks the demo's database for one number.
func again(t *testing.T, db *sql.DB, query string, args ...any) float64 {
	t.Helper()
	var n float64
	if err := db.QueryRow(query, args...).Scan(&n); err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	return n
}

// checkCaseMix computes every figure of the case mix again: counts in SQL, the prediction by the recursion of the negative binomial law.
func checkCaseMix(t *testing.T, db *sql.DB, mix service.CaseMix, cohort service.Cohort) {
	t.Helper()
	compared, predicted := 0, 0
	for _, trainee := range mix.Trainees {
		if until := trainee.Until; string(until) != text(t, db, "SELECT until_day FROM memberships WHERE person_id = ? AND role = 'trainee'", trainee.ID) {
			t.Errorf("%s: until %q", trainee.Name, until)
		}
		for _, line := range trainee.Lines {
			condition, known := countsSQL[line.Requirement]
			if !known {
				t.Errorf("%s is in no recount", line.Requirement)
				continue
			}
			compared++
			has := int(again(t, db, "SELECT count(*) "+signedSQL+condition+" AND c.trainee_id = ? AND v.operated_on <= ?", trainee.ID, mix.On))
			target := int(targetOf(t, cohort, trainee.ID, line.Requirement))
			if line.Has != has || line.Target != target || line.Lacks != max(0, target-has) {
				t.Errorf("%s, %s: has %d of %d, lacks %d; by SQL %d of %d", trainee.Name, line.Requirement, line.Has, line.Target, line.Lacks, has, target)
			}
			if trainee.Until == "" {
				if line.CannotSay == "" || line.High != 0 {
					t.Errorf("%s has no end of training: %+v", trainee.Name, line)
				}
				continue
			}
			law, mean := []float64{1}, 0.0
			for _, site := range mix.Sites {
				ahead := again(t, db, aheadSQL, mix.On, trainee.ID, site.Site)
				i := slices.IndexFunc(line.Sources, func(s competency.SiteSupply) bool { return s.Site == site.Site })
				if (i < 0) != (ahead == 0) {
					t.Errorf("%s: %g days ahead at %s, sources %+v", trainee.Name, ahead, site.Site, line.Sources)
				}
				if i < 0 || ahead == 0 {
					continue
				}
				cases := again(t, db, "SELECT count(*) "+signedSQL+condition+atSiteSQL, mix.On, site.Site)
				if s := line.Sources[i]; float64(s.Ahead) != ahead || float64(s.Cases) != cases || len(s.Evidence) != s.Cases || s.Days != site.Days {
					t.Errorf("%s, %s at %s: %+v, by SQL %g days ahead and %g cases", trainee.Name, line.Requirement, site.Site, s, ahead, cases)
				}
				mean += (cases + 0.5) / float64(site.Days) * ahead
				law = summed(law, negativeBinomial(cases+0.5, float64(site.Days)/(float64(site.Days)+ahead)))
			}
			if line.CannotSay != "" {
				continue
			}
			predicted++
			low, high, chance := readOff(law, line.Level, line.Lacks)
			if math.Abs(line.Expected-mean) > 1e-4 || line.Low != low || line.High != high || math.Abs(line.Chance-chance) > 1e-4 {
				t.Errorf("%s, %s: expects %g (%d to %d), chance %g; again %g (%d to %d), %g", trainee.Name, line.Requirement, line.Expected, line.Low, line.High, line.Chance, mean, low, high, chance)
			}
		}
	}
	if compared != len(mix.Trainees)*len(countsSQL) || predicted == 0 {
		t.Errorf("%d lines compared, %d of them predicted", compared, predicted)
	}
}

// targetOf is what the standard asks for, as the cohort's grid has it.
func targetOf(t *testing.T, cohort service.Cohort, trainee competency.PersonID, requirement string) float64 {
	t.Helper()
	for _, row := range cohort.Trainees {
		for _, line := range row.Lines {
			if row.ID == trainee && line.Requirement == requirement {
				return line.Target
			}
		}
	}
	t.Fatalf("%s of %s is not in the cohort", requirement, trainee)
	return 0
}

// text asks for one word.
func text(t *testing.T, db *sql.DB, query string, args ...any) string {
	t.Helper()
	var word string
	if err := db.QueryRow(query, args...).Scan(&word); err != nil {
		t.Fatal(err)
	}
	return word
}

// negativeBinomial is the law of a count of that size and probability, each chance from the one before.
func negativeBinomial(size, p float64) []float64 {
	law := []float64{math.Pow(p, size)}
	for k := 0.0; k < 400; k++ {
		law = append(law, law[len(law)-1]*(size+k)/(k+1)*(1-p))
	}
	return law
}

// summed is the law of the sum of two counts.
func summed(a, b []float64) []float64 {
	law := make([]float64, len(a)+len(b)-1)
	for i, x := range a {
		for j, y := range b {
			law[i+j] += x * y
		}
	}
	return law
}

// readOff are the limits that leave at most half of the rest on either side, and the chance of so many or more.
func readOff(law []float64, level float64, least int) (low, high int, chance float64) {
	below, lowSet := 0.0, false
	chance = 1
	for k, p := range law {
		if k < least {
			chance -= p
		}
		below += p
		if !lowSet && below > (1-level)/2 {
			low, lowSet = k, true
		}
		if below >= (1+level)/2 {
			high = k
			break
		}
	}
	if high < least { // go on adding what lies below the number asked for
		chance = 1
		for k := range min(least, len(law)) {
			chance -= law[k]
		}
	}
	return low, high, chance
}
