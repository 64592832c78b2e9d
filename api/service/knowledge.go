package service

import (
	"context"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/competency/interval"
	"isthmus/policies"
)

// knowledgeLevel is the confidence of the intervals.
const knowledgeLevel = 0.95

// Knowledge is what a trainee has shown to know, by topic.
type Knowledge struct {
	Trainee     competency.PersonID `json:"trainee"`
	Topics      []TopicKnowledge    `json:"topics"` // those with an answer, in alphabetical order
	Method      string              `json:"method"`
	Level       float64             `json:"level"`
	Assumptions string              `json:"assumptions"`
	Caution     string              `json:"caution"`
}

// TopicKnowledge is the share of items right, each counted once by its last answer, with its interval.
type TopicKnowledge struct {
	question.Known
	Share float64 `json:"share"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// KnowledgeOf counts a trainee's closed attempts of every mode. The error is ErrForbidden.
func (s *Service) KnowledgeOf(ctx context.Context, actor Actor, programme competency.ProgrammeID, trainee competency.PersonID) (Knowledge, error) {
	view := Knowledge{
		Trainee: trainee, Topics: []TopicKnowledge{}, Method: interval.MethodWilson, Level: knowledgeLevel, Caution: atrium.Caution,
		Assumptions: "Each question counts once, by its last answer, in practice, daily sets and tests alike. The interval assumes that " + interval.Assumptions + ".",
	}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		view.Topics = view.Topics[:0]
		if err := h.mayTrainee(policies.Quiz, policies.Read, trainee); err != nil {
			return err
		}
		if _, err := h.traineeSince(trainee); err != nil {
			return err
		}
		own, err := h.tx.QuizzesOf(programme, trainee)
		if err != nil {
			return err
		}
		var outcomes []question.Outcome
		for _, q := range own {
			outcomes = append(outcomes, q.Outcomes...)
		}
		for _, known := range question.Know(outcomes) {
			share, err := interval.Wilson(known.Right, known.N, knowledgeLevel)
			if err != nil {
				return err
			}
			view.Topics = append(view.Topics, TopicKnowledge{known, share.Estimate, share.Low, share.High})
		}
		return nil
	})
	return view, err
}

// quizResults are the tests as evidence, by trainee: what was submitted or closed by time counts, topic by topic, where it asked enough
// items. The cut is that of the attempt.
func (h *scene) quizResults(trainee competency.PersonID) ([]competency.QuizResult, error) {
	if h.beyond.quizzes == nil {
		all, err := h.tx.QuizzesOf(h.programme.ID, "")
		if err != nil {
			return nil, err
		}
		h.beyond.quizzes = map[competency.PersonID][]competency.QuizResult{}
		for _, q := range all {
			if q.Status == assessment.SittingOpen {
				continue
			}
			for _, r := range q.ByTopic() {
				if r.Judged {
					h.beyond.quizzes[q.Trainee] = append(h.beyond.quizzes[q.Trainee], competency.QuizResult{
						ID: q.ID, Topic: string(r.Topic), Score: r.Percent, Cut: q.Cut, Passed: r.Passed, SubmittedAt: q.ClosedAt,
					})
				}
			}
		}
	}
	return h.beyond.quizzes[trainee], nil
}
