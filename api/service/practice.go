package service

import (
	"context"
	"slices"

	"isthmus/api/chart"
	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// ScopePractice is what a programme operated and planned against its scope policy, apart from one another.
type ScopePractice struct {
	On          competency.Day      `json:"on"`
	From        competency.Day      `json:"from,omitempty"`
	Site        string              `json:"site,omitempty"`
	Pattern     af.Pattern          `json:"pattern,omitempty"`
	Sites       []string            `json:"sites"` // to choose from
	Operated    competency.Practice `json:"operated"`
	Planned     competency.Practice `json:"planned"`
	Charts      []chart.Chart       `json:"charts"`
	Level       float64             `json:"level"`
	Method      string              `json:"method"`
	Assumptions string              `json:"assumptions"`
	Notes       []string            `json:"notes"`
	Caution     string              `json:"caution"`
}

// The sides of practice.
const (
	Operated = "operated"
	Planned  = "planned"
)

// PracticeItem is one operation or plan behind the numbers.
type PracticeItem struct {
	ID      string       `json:"id"`
	On      string       `json:"on"` // of the operation at the programme's precision, or the day the plan was handed in
	Name    string       `json:"name"`
	Trainee PersonRef    `json:"trainee"`
	Site    string       `json:"site,omitempty"`
	Pattern af.Pattern   `json:"pattern"`
	Scope   atrium.Scope `json:"scope"`
	Target  atrium.Scope `json:"target"`
	Policy  string       `json:"policy"`
}

// PracticeChoice narrows what is counted; empty fields do not, and an empty On is today.
type PracticeChoice struct {
	From, On, Site string
	Pattern        af.Pattern
}

// practiceNotes say how things are counted.
var practiceNotes = []string{
	"Operations: signed off by the day, the version signed last, those withdrawn left out; by the quarter of the operation. Each was judged by the policy in force when it was submitted.",
	"Plans: every trainee's first try at a scenario, in practice or as a test; later tries rehearse what was said about the first.",
	"Less than the policy asks for is a scope below its target; scopes it accepts as well count as the target. Where it asks for no ablation, or the AF pattern is unknown, nothing is counted as less.",
	"A step is left out by what the lines reach, never by their names. The lesions below it are those whose names are missing where it was left out; a drawn line counts as the named one whose work it does.",
}

// Practice counts what was operated and planned against the scope policy: for the director and the committee. The error is ErrForbidden,
// ErrTestOpen, or strict.Faults about the choice.
func (s *Service) Practice(ctx context.Context, actor Actor, programme competency.ProgrammeID, choice PracticeChoice) (ScopePractice, error) {
	answer := ScopePractice{
		Level: competency.PracticeLevel, Method: competency.PracticeMethod, Assumptions: competency.PracticeAssumptions, Notes: practiceNotes, Caution: atrium.Caution,
	}
	err := s.practiceRead(ctx, actor, programme, choice, func(h *scene, filter competency.PracticeFilter) error {
		operated, _, err := h.operated(filter)
		if err != nil {
			return err
		}
		planned, _, err := h.planned()
		if err != nil {
			return err
		}
		answer.On, answer.From, answer.Site, answer.Pattern = filter.On, filter.From, filter.Site, filter.Pattern
		if answer.Sites, err = h.practiceSites(filter, operated); err != nil {
			return err
		}
		answer.Operated, answer.Planned = competency.PracticeOf(operated, filter), competency.PracticeOf(planned, filter)
		answer.Charts = practiceCharts(answer)
		return nil
	})
	return answer, err
}

// practiceRead lets a reader of practice read what fits a choice.
func (s *Service) practiceRead(ctx context.Context, actor Actor, programme competency.ProgrammeID, choice PracticeChoice, read func(*scene, competency.PracticeFilter) error) error {
	return s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Practice, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		if err := h.noOpenTest(); err != nil {
			return err
		}
		filter, err := h.practiceFilter(choice)
		if err != nil {
			return err
		}
		return read(h, filter)
	})
}

// practiceFilter reads the choice.
func (h *scene) practiceFilter(choice PracticeChoice) (competency.PracticeFilter, error) {
	filter := competency.PracticeFilter{Site: choice.Site, Pattern: choice.Pattern}
	var err error
	if filter.On, err = h.dayOrToday(choice.On); err != nil || choice.From == "" {
		return filter, err
	}
	if filter.From, err = competency.ParseDay(choice.From); err != nil {
		return filter, fault("from", "%v", err)
	}
	if filter.From > filter.On {
		return filter, fault("from", "must not be after %s", filter.On)
	}
	return filter, nil
}

// practiceSites are the programme's sites, and those of operations from before they were changed. The error is strict.Faults when the filter
// asks for another.
func (h *scene) practiceSites(filter competency.PracticeFilter, operated []competency.Delivered) ([]string, error) {
	sites := slices.Clone(h.programme.Settings.Sites)
	for _, d := range operated {
		if !slices.Contains(sites, d.Site) {
			sites = append(sites, d.Site)
		}
	}
	slices.Sort(sites)
	if filter.Site != "" && !slices.Contains(sites, filter.Site) {
		return nil, fault("site", "%q is no site of the programme", filter.Site)
	}
	return sites, nil
}
