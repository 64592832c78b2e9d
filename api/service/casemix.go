package service

import (
	"context"

	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// CaseMix is what each trainee has and lacks on the counts of the standard, and whether where they are to work can supply it.
type CaseMix struct {
	On          competency.Day           `json:"on"`
	Trainees    []CaseMixTrainee         `json:"trainees"`
	Sites       []competency.SiteHistory `json:"sites"` // of the year up to the day
	Method      string                   `json:"method"`
	Assumptions string                   `json:"assumptions"`
	Caution     string                   `json:"caution"`
}

// CaseMixTrainee is one trainee's counts and plan.
type CaseMixTrainee struct {
	ID    competency.PersonID `json:"id"`
	Name  string              `json:"name"`
	Until competency.Day      `json:"until,omitempty"` // the last day as a trainee
	Plan  []PostingView       `json:"plan"`            // postings that hold on the day or later
	Lines []competency.Supply `json:"lines"`
}

// PostingView is a stretch of days at a site.
type PostingView struct {
	Site  string         `json:"site"`
	From  competency.Day `json:"from"`
	Until competency.Day `json:"until,omitempty"`
}

// CaseMixOf looks at everyone who is a trainee on a day (today when empty). The error is ErrNoStandard, strict.Faults about the day, or
// ErrForbidden.
func (s *Service) CaseMixOf(ctx context.Context, actor Actor, programme competency.ProgrammeID, on string) (CaseMix, error) {
	mix := CaseMix{Trainees: []CaseMixTrainee{}, Method: competency.SupplyMethod, Assumptions: competency.SupplyAssumptions, Caution: atrium.Caution}
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.may(policies.Cohort, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		if mix.On, err = h.dayOrToday(on); err != nil {
			return err
		}
		return h.fillCaseMix(&mix)
	})
	return mix, err
}

func (h *scene) fillCaseMix(mix *CaseMix) error {
	line, err := h.standards()
	if err != nil {
		return err
	}
	evidence, err := h.tx.EvidenceForAll(h.programme.ID)
	if err != nil {
		return err
	}
	rotations, err := h.tx.Rotations(h.programme.ID, "")
	if err != nil {
		return err
	}
	trainees, err := h.tx.People(h.programme.ID, string(policies.Trainee), mix.On)
	if err != nil {
		return err
	}
	everyone, err := h.tx.People(h.programme.ID, string(policies.Trainee), "")
	if err != nil {
		return err
	}
	postings := map[competency.PersonID][]competency.Posting{}
	for _, person := range everyone { // faculty are posted too, and their days bring no trainee cases
		postings[person.ID] = postingsOf(rotations, person.ID)
	}
	mix.Sites = competency.SiteHistories(h.programme.Settings.Sites, postings, evidence, mix.On)
	for _, trainee := range trainees {
		work, err := h.cohortWork(line, trainee.ID, evidence[trainee.ID], mix.On, mix.On)
		if err != nil {
			return err
		}
		row := CaseMixTrainee{ID: trainee.ID, Name: trainee.Name, Until: work.until, Plan: []PostingView{}}
		row.Lines = competency.Supplies(work.standard, work.now, postings[trainee.ID], work.until, mix.Sites, mix.On)
		for _, p := range postings[trainee.ID] {
			if p.Until == "" || p.Until >= mix.On {
				row.Plan = append(row.Plan, PostingView(p))
			}
		}
		mix.Trainees = append(mix.Trainees, row)
	}
	return nil
}

// postingsOf are a person's rotations.
func postingsOf(rotations []store.Rotation, person competency.PersonID) []competency.Posting {
	var list []competency.Posting
	for _, r := range rotations {
		if r.Person == person {
			list = append(list, competency.Posting{Site: r.Site, From: r.From, Until: r.Until})
		}
	}
	return list
}
