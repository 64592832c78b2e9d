package main

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"isthmus/api/service"
)

// figures names every number in the answers behind the director's pages, by what computes it a second way from the demo's database. A number that
// is new in an answer stands in no list, and fails the test until somebody has seen to it. Words within braces stand for one each.
var figures = map[string][]string{
	"TestCohortAgain": {
		"cohort.{of,years[],trainees[].year}", "cohort.trainees[].lines[].{value,n,interval.low,interval.high}",
		"cohort.headline.scope_left_out.{count,n,share,low,high}", "cohort.headline.sign_off_wait.{median_days,n,waiting,late}",
		"casemix.sites[].days", "casemix.trainees[].lines[].{has,target,lacks,expected,low,high,chance}", "casemix.trainees[].lines[].sources[].{ahead,cases,days}",
	},
	"TestPracticeAgain": {
		"practice.{operated,planned}.n", "practice.{operated,planned}.{not_asked,less,below}.{hits,n,share,low,high}",
		"practice.{operated,planned}.patterns[].{less,scopes[]}.{hits,n,share,low,high}", "practice.{operated,planned}.quarters[].{scopes[],less,below}.{hits,n,share,low,high}",
		"practice.operated.sites[].{scopes[],less,below}.{hits,n,share,low,high}", "practice.{operated,planned}.steps[].{left_out,lesions[].left_out}.{hits,n,share,low,high}",
		"practice.charts[].n", "practice.charts[].layers[].points[].{x,y,low,high,n}",
	},
	"TestAssessorsAgain": {
		"assessors.assessors[].n", "assessors.assessors[].{returned,commented,late,steps}.{hits,n,share,low,high}",
		"assessors.assessors[].delay.{n,median_days,interval.low,interval.high}", "assessors.assessors[].severity.{n,trainees,value,interval.low,interval.high}",
		"assessors.ratings.{ratings,trainees,assessors,pairs,trainee,trainee_low,trainee_high,assessor,pair,residual}",
		"assessors.ratings.means[].{cases,assessors,phi,low,high}", "assessors.ratings.fewest[].cases[]",
	},
	"TestOutcomesAgain": {
		"outcomes.operations", "outcomes.completeness[].{due,done,share,low,high}", "outcomes.cases[].{freedom,pacemaker}.{month,from}",
		"outcomes.{by_scope,by_pattern}.groups[].{n,events,on_drug,unknown}", "outcomes.{by_scope,by_pattern}.groups[].at.{at_risk,share,low,high,earliest}",
		"outcomes.{by_scope,by_pattern}.test.{chi_squared,degrees_of_freedom,p,n[],observed[],expected[]}",
		"outcomes.pacemakers.groups[].{n,events,deaths}", "outcomes.pacemakers.groups[].at.{at_risk,share,low,high}",
		"outcomes.{by_site,by_supervisor}.{target,dispersion}", "outcomes.{by_site,by_supervisor}.rows[].{due,n,free,share,z,observed,expected,difference,ratio,low,high}",
		"outcomes.running.{n,observed,expected}", "outcomes.running.steps[].{risk,sum}",
		"outcomes.{by_scope,by_pattern,pacemakers,by_site,by_supervisor,running}.chart.n",
		"outcomes.{by_scope,by_pattern,pacemakers}.chart.layers[].{at_risk[],points[].n,points[].x,points[].y,points[].low,points[].high}",
		"outcomes.{by_site,by_supervisor}.chart.layers[].points[].{x,y,low,high}", "outcomes.running.chart.layers[].points[].{x,y}",
	},
	"": { // chosen by somebody or part of a rule: nothing to compute
		"cohort.{standard_version,trainees[].standard_version,requirements[].target,trainees[].lines[].target}",
		"{cohort.headline.scope_left_out,cohort.trainees[].lines[].interval,casemix.trainees[].lines[]}.level",
		"{practice,assessors,assessors.ratings,assessors.assessors[].delay.interval,assessors.assessors[].severity.interval}.level", "assessors.ratings.fewest[].phi",
		"outcomes.{month,months[],years[],least,rule_version,completeness[].month}", "outcomes.{by_scope,by_pattern,pacemakers}.groups[].at.month",
		"outcomes.{by_site,by_supervisor,running}.month",
		"{practice.charts[],outcomes.by_scope.chart,outcomes.by_pattern.chart,outcomes.pacemakers.chart,outcomes.by_site.chart,outcomes.by_supervisor.chart,outcomes.running.chart}.{x,y}.{min,max}",
	},
}

// expanded is a name for each choice of words within braces.
func expanded(name string) []string {
	before, rest, braced := strings.Cut(name, "{")
	if !braced {
		return []string{name}
	}
	words, after, _ := strings.Cut(rest, "}")
	var all []string
	for _, word := range strings.Split(words, ",") {
		all = append(all, expanded(before+word+after)...)
	}
	return all
}

// numbersIn calls name for every number within an answer.
func numbersIn(at string, node any, name func(string)) {
	switch node := node.(type) {
	case map[string]any:
		for key, inner := range node {
			numbersIn(at+"."+key, inner, name)
		}
	case []any:
		for _, inner := range node {
			numbersIn(at+"[]", inner, name)
		}
	case float64:
		name(at)
	}
}

// TestEveryFigureIsComputedAgain walks the answers behind the director's pages of the demo.
func TestEveryFigureIsComputedAgain(t *testing.T) {
	d := filledDemo(t)
	found := map[string]bool{}
	walk := func(page string, answer any, err error) {
		data, err2 := json.Marshal(answer)
		var tree any
		if err != nil || err2 != nil || json.Unmarshal(data, &tree) != nil {
			t.Fatal(page, err, err2)
		}
		numbersIn(page, tree, func(name string) { found[name] = true })
	}
	cohort, err := d.service.Cohort(t.Context(), d.director, d.programme, service.CohortQuery{})
	walk("cohort", cohort, err)
	mix, err := d.service.CaseMixOf(t.Context(), d.director, d.programme, "")
	walk("casemix", mix, err)
	practice, err := d.service.Practice(t.Context(), d.director, d.programme, service.PracticeChoice{})
	walk("practice", practice, err)
	assessors, err := d.service.Assessors(t.Context(), d.director, d.programme, "", "")
	walk("assessors", assessors, err)
	outcomes, err := d.service.Outcomes(t.Context(), d.director, d.programme, service.OutcomeChoice{})
	walk("outcomes", outcomes, err)

	listed := map[string]bool{}
	for test, names := range figures {
		for _, name := range names {
			for _, one := range expanded(name) {
				if listed[one] || !found[one] {
					t.Errorf("%s (%s) is listed twice, or in no answer", one, test)
				}
				listed[one] = true
			}
		}
	}
	var missing []string
	for name := range found {
		if !listed[name] {
			missing = append(missing, name)
		}
	}
	slices.Sort(missing)
	for _, name := range missing {
		t.Errorf("%s: nobody computes this number a second way", name)
	}
}
