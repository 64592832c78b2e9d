package service

import (
	"context"
	"net/url"
	"slices"
	"strconv"

	"isthmus/api/chart"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/competency/outcome"
	"isthmus/policies"
)

// OutcomeChoice narrows the outcomes; its zero value asks for all of them, today, told at month 12.
type OutcomeChoice struct {
	On      string
	Year    int
	Site    string
	Pattern af.Pattern
	Month   int
	Outside bool // as they may leave the programme: small numbers hidden, no case named
}

// Outcomes are what became of the programme's operations, with the follow-up they rest on first.
type Outcomes struct {
	On      competency.Day `json:"on"`
	Month   int            `json:"month"`
	Year    int            `json:"year,omitempty"`
	Site    string         `json:"site,omitempty"`
	Pattern af.Pattern     `json:"pattern,omitempty"`
	Outside bool           `json:"outside,omitempty"`
	Least   int            `json:"least"` // smaller numbers do not leave the programme

	Years    []int        `json:"years"` // to choose from
	Sites    []string     `json:"sites"`
	Patterns []af.Pattern `json:"patterns"`
	Months   []int        `json:"months"`

	Success     string `json:"success"` // the programme's rule in words
	RuleVersion int    `json:"rule_version"`

	Operations   int                    `json:"operations"`
	Completeness []outcome.Completeness `json:"completeness"` // first all months together
	Scopes       OutcomeFreedom         `json:"by_scope"`
	ByPattern    OutcomeFreedom         `json:"by_pattern"`
	Pacemakers   OutcomePacemakers      `json:"pacemakers"`
	BySite       OutcomeUnits           `json:"by_site"`
	BySupervisor OutcomeUnits           `json:"by_supervisor"`
	Running      OutcomeRunning         `json:"running"`
	Cases        []OutcomeCase          `json:"cases"` // in order of operation; none outside the programme

	Causal  string `json:"causal"` // why none of it says what causes what
	Caution string `json:"caution"`
}

// OutcomeFreedom is freedom from arrhythmia with its chart; without one when no group has enough cases.
type OutcomeFreedom struct {
	outcome.Freedom
	Chart *chart.Chart `json:"chart,omitempty"`
}

// OutcomePacemakers is the incidence of pacemakers with its chart.
type OutcomePacemakers struct {
	outcome.Pacemakers
	Chart *chart.Chart `json:"chart,omitempty"`
}

// OutcomeUnits compares sites or surgeons, with its funnel.
type OutcomeUnits struct {
	outcome.Units
	Chart *chart.Chart `json:"chart,omitempty"`
}

// OutcomeRunning is observed less expected case by case, with its chart.
type OutcomeRunning struct {
	outcome.Running
	Chart *chart.Chart `json:"chart,omitempty"`
}

// OutcomeCase is one operation with what became of it.
type OutcomeCase struct {
	outcome.Course
	TraineeName    string `json:"trainee_name"`
	SupervisorName string `json:"supervisor_name"`
}

// notCausal is said beside every comparison.
const notCausal = "These figures do not say that one operation works better than another. Who gets which lesions is chosen: patients with longer-standing AF and larger atria get more of them, " +
	"and fare worse whatever is done. Nor do they rank sites or surgeons, who see different patients."

// usualMonth is the month outcomes are told at unless another is asked for, as results of surgical ablation usually are (common practice).
const usualMonth = 12

// Outcomes tells what became of the programme's operations as it was on record on a day, for whoever may read the cohort. The error is
// strict.Faults about the choice, or ErrForbidden.
func (s *Service) Outcomes(ctx context.Context, actor Actor, programme competency.ProgrammeID, choice OutcomeChoice) (Outcomes, error) {
	var answer Outcomes
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		answer, err = h.outcomes(choice)
		return err
	})
	return answer, err
}

// outcomes is Outcomes within an act.
func (h *scene) outcomes(choice OutcomeChoice) (Outcomes, error) {
	if err := h.may(policies.Cohort, policies.Read, policies.InProgramme); err != nil {
		return Outcomes{}, err
	}
	day, err := h.dayOrToday(choice.On)
	if err != nil {
		return Outcomes{}, err
	}
	signed, recorded, err := h.tx.Outcomes(h.programme.ID)
	if err != nil {
		return Outcomes{}, err
	}
	settings := h.programme.Settings.Filled()
	rule := settings.FollowUp
	answer, err := newOutcomes(choice, day, settings)
	if err != nil {
		return answer, err
	}
	all := outcome.Follow(signed, recorded, rule, day)
	answer.offer(all)
	if _, err := h.name(""); err != nil { // the names are read at once
		return answer, err
	}
	answer.tell(outcome.Choice{Year: choice.Year, Site: choice.Site, Pattern: choice.Pattern}.Of(all), rule, func(id string) string { return h.names[competency.PersonID(id)] })
	return answer, nil
}

// newOutcomes checks the choice and begins the answer.
func newOutcomes(choice OutcomeChoice, day competency.Day, settings competency.Settings) (Outcomes, error) {
	rule := settings.FollowUp
	o := Outcomes{
		On: day, Month: choice.Month, Year: choice.Year, Site: choice.Site, Pattern: choice.Pattern, Outside: choice.Outside, Least: settings.SmallCells,
		Success: rule.Says(), RuleVersion: rule.Version, Causal: notCausal, Caution: atrium.Caution,
	}
	for _, month := range rule.ScheduleMonths() {
		if float64(month)*365.25/12 > float64(rule.BlankingDays) {
			o.Months = append(o.Months, month)
		}
	}
	switch {
	case o.Month == 0 && slices.Contains(o.Months, usualMonth):
		o.Month = usualMonth
	case o.Month == 0 && len(o.Months) > 0:
		o.Month = o.Months[len(o.Months)-1]
	case !slices.Contains(o.Months, o.Month):
		return o, fault("month", "must be a month of the programme's schedule of follow-ups after blanking, not %d", o.Month)
	}
	return o, nil
}

// offer lists what there is to choose from.
func (o *Outcomes) offer(all []outcome.Course) {
	years, sites, patterns := map[int]bool{}, map[string]bool{}, map[af.Pattern]bool{}
	o.Years, o.Sites, o.Patterns = []int{}, []string{}, []af.Pattern{}
	for _, c := range all {
		if !years[c.Year()] {
			years[c.Year()], o.Years = true, append(o.Years, c.Year())
		}
		if !sites[c.Site] {
			sites[c.Site], o.Sites = true, append(o.Sites, c.Site)
		}
		patterns[c.Pattern] = true
	}
	slices.Sort(o.Sites)
	for _, pattern := range []af.Pattern{af.Paroxysmal, af.Persistent, af.LongStandingPersistent, af.Permanent} {
		if patterns[pattern] {
			o.Patterns = append(o.Patterns, pattern)
		}
	}
}

// tell computes every figure over the chosen courses, hides what must not leave, and draws.
func (o *Outcomes) tell(courses []outcome.Course, rule competency.FollowUpRule, name func(string) string) {
	o.Operations, o.Cases = len(courses), []OutcomeCase{}
	o.Completeness = outcome.CompletenessOf(courses, rule, o.On)
	o.Scopes.Freedom = outcome.FreedomBy(courses, outcome.ByScope, o.Month)
	o.ByPattern.Freedom = outcome.FreedomBy(courses, outcome.ByPattern, o.Month)
	o.Pacemakers.Pacemakers = outcome.PacemakersBy(courses, outcome.ByScope, o.Month)
	o.BySite.Units = outcome.UnitsBy(courses, outcome.BySite, rule, o.Month, o.On, func(id string) string { return id })
	o.BySupervisor.Units = outcome.UnitsBy(courses, outcome.BySupervisor, rule, o.Month, o.On, name)
	o.Running.Running = outcome.RunningOf(courses, rule, o.Month, o.On)
	if o.Outside {
		o.hide()
	} else {
		for _, c := range courses {
			o.Cases = append(o.Cases, OutcomeCase{c, name(string(c.Trainee)), name(string(c.Supervisor))})
		}
	}
	o.Scopes.Chart, o.ByPattern.Chart = o.freedomChart(o.Scopes.Freedom), o.freedomChart(o.ByPattern.Freedom)
	o.Pacemakers.Chart = o.pacemakerChart()
	o.BySite.Chart, o.BySupervisor.Chart = o.funnelChart(o.BySite.Units), o.funnelChart(o.BySupervisor.Units)
	o.Running.Chart = o.runningChart()
}

// hide leaves in only what may leave the programme.
func (o *Outcomes) hide() {
	if o.Operations < o.Least {
		o.Operations = 0
	}
	outcome.HideCompleteness(o.Completeness, o.Least)
	o.Scopes.Hide(o.Least, o.Month)
	o.ByPattern.Hide(o.Least, o.Month)
	o.Pacemakers.Hide(o.Least)
	o.BySite.Hide(o.Least)
	o.BySupervisor.Hide(o.Least)
	o.Running.Hide(o.Least)
}

// behind is the address of the list of cases behind a figure, narrowed as the answer is; empty outside the programme.
func (o *Outcomes) behind(figure string) string {
	if o.Outside {
		return ""
	}
	query := url.Values{"of": {figure}, "on": {string(o.On)}, "month": {strconv.Itoa(o.Month)}}
	if o.Year != 0 {
		query.Set("year", strconv.Itoa(o.Year))
	}
	if o.Site != "" {
		query.Set("site", o.Site)
	}
	if o.Pattern != "" {
		query.Set("pattern", string(o.Pattern))
	}
	return "/outcomes/cases?" + query.Encode()
}
