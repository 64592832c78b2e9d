package service

import "isthmus/competency"

// beyond is what only some standards ask for, beyond cases and plans, as a scene has read it so far.
type beyond struct {
	evidence   map[competency.PersonID]competency.Evidence           // everyone's, once gatherAll has read it; nil before
	asked      competency.PersonID                                   // whose follow-ups were read first
	followUps  map[competency.PersonID][]competency.FollowUpOnRecord // everyone's; nil until a second trainee is asked for
	quizzes    map[competency.PersonID][]competency.QuizResult       // everyone's; nil until asked for
	rated      []competency.Rated                                    // nil until asked for
	components map[componentsKey]competency.RatingComponents         // estimated once for everyone
}

type componentsKey struct {
	scale string
	on    competency.Day
}

// evidenceOf gathers a trainee's evidence for a standard on a day.
func (h *scene) evidenceOf(trainee competency.PersonID, standard competency.Standard, on competency.Day) (competency.Evidence, error) {
	if h.beyond.evidence != nil {
		return h.completed(h.beyond.evidence[trainee], trainee, standard, on)
	}
	evidence, err := h.tx.EvidenceFor(h.programme.ID, trainee)
	if err != nil {
		return evidence, err
	}
	return h.completed(evidence, trainee, standard, on)
}

// gatherAll reads everyone's evidence at once, for an act that judges all of them and writes nothing meanwhile: three queries in all.
func (h *scene) gatherAll() (map[competency.PersonID]competency.Evidence, error) {
	if h.beyond.evidence != nil {
		return h.beyond.evidence, nil
	}
	var err error
	h.beyond.evidence, err = h.tx.EvidenceForAll(h.programme.ID)
	return h.beyond.evidence, err
}

// completed adds to a trainee's evidence what the standard asks for beyond cases and plans. Evidence for a standard that asks for none of it
// stays as it is, and so does its hash.
func (h *scene) completed(evidence competency.Evidence, trainee competency.PersonID, standard competency.Standard, on competency.Day) (competency.Evidence, error) {
	for _, r := range standard.Requirements {
		switch r.Kind {
		case competency.KindFollowUp:
			if evidence.FollowUpMonths != nil {
				continue // another requirement has asked
			}
			list, err := h.followUpsOnRecord(trainee)
			if err != nil {
				return evidence, err
			}
			evidence.FollowUps, evidence.FollowUpMonths = list, h.programme.Settings.FollowUp.ScheduleMonths()
		case competency.KindQuiz:
			list, err := h.quizResults(trainee)
			if err != nil {
				return evidence, err
			}
			evidence.Quizzes = list
		case competency.KindDependability:
			components, err := h.componentsOf(r.Scale, on)
			if err != nil {
				return evidence, err
			}
			if !hasScale(evidence.Ratings, r.Scale) {
				evidence.Ratings = append(evidence.Ratings, components)
			}
		}
	}
	return evidence, nil
}

func hasScale(list []competency.RatingComponents, scale string) bool {
	for _, k := range list {
		if k.Scale == scale {
			return true
		}
	}
	return false
}

// followUpsOnRecord reads one trainee's follow-ups; of the second trainee in a scene it reads everyone's at once.
func (h *scene) followUpsOnRecord(trainee competency.PersonID) ([]competency.FollowUpOnRecord, error) {
	b := &h.beyond
	if b.followUps != nil {
		return b.followUps[trainee], nil
	}
	first := b.asked == "" || b.asked == trainee
	whose := trainee
	if !first {
		whose = ""
	}
	by, err := h.tx.FollowUpsOnRecord(h.programme.ID, whose)
	if err != nil {
		return nil, err
	}
	if b.asked = trainee; !first {
		b.followUps = by
	}
	return by[trainee], nil
}

// componentsOf estimates why the programme's ratings differ on a scale as of a day.
func (h *scene) componentsOf(scale string, on competency.Day) (competency.RatingComponents, error) {
	b, key := &h.beyond, componentsKey{scale, on}
	if known, ok := b.components[key]; ok {
		return known, nil
	}
	if b.rated == nil {
		var err error
		if b.rated, err = h.tx.Ratings(h.programme.ID); err != nil {
			return competency.RatingComponents{}, err
		}
	}
	if b.components == nil {
		b.components = map[componentsKey]competency.RatingComponents{}
	}
	b.components[key] = competency.EstimateRatings(b.rated, scale, on)
	return b.components[key], nil
}
