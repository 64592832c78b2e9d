package service

import (
	"cmp"
	"context"
	"slices"

	"isthmus/api/chart"
	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/competency/interval"
	"isthmus/policies"
)

// CohortKnowledge is what the trainees of today have shown to know, by topic and by year of training. The weakest topic comes first.
type CohortKnowledge struct {
	On          competency.Day     `json:"on"`
	Years       []int              `json:"years"`
	Topics      []CohortTopic      `json:"topics"`
	Trainees    []TraineeKnowledge `json:"trainees"` // by name
	Required    []RequiredQuizzes  `json:"required"` // what the standards that judge them ask for
	Charts      []chart.Chart      `json:"charts"`
	Method      string             `json:"method"`
	Level       float64            `json:"level"`
	Assumptions string             `json:"assumptions"`
	Caution     string             `json:"caution"`
}

// CohortTopic is one topic: of all trainees together, and of those of each year who answered anything.
type CohortTopic struct {
	Topic  question.Topic `json:"topic"`
	All    SharedTopic    `json:"all"`
	Years  []SharedTopic  `json:"years"`  // in the order of CohortKnowledge.Years; n is 0 where nobody answered
	Tested int            `json:"tested"` // trainees with a test that judges the topic
	Passed int            `json:"passed"` // of them, whose latest one is at or above its cut
}

// SharedTopic is the share of answers right of some trainees, each question of each trainee counted once by its last answer.
type SharedTopic struct {
	Trainees int     `json:"trainees"`
	N        int     `json:"n"`
	Right    int     `json:"right"`
	Share    float64 `json:"share"`
	Low      float64 `json:"low"`
	High     float64 `json:"high"`
}

// TraineeKnowledge is one trainee's row.
type TraineeKnowledge struct {
	ID     competency.PersonID `json:"id"`
	Name   string              `json:"name"`
	Year   int                 `json:"year"`
	Topics []TopicKnowledge    `json:"topics"` // those with an answer, in alphabetical order
}

// add counts another trainee's answers in.
func (t *SharedTopic) add(k question.Known) {
	t.Trainees, t.N, t.Right = t.Trainees+1, t.N+k.N, t.Right+k.Right
}

// settle computes share and limits.
func (t *SharedTopic) settle() error {
	if t.N == 0 {
		return nil
	}
	share, err := interval.Wilson(t.Right, t.N, knowledgeLevel)
	t.Share, t.Low, t.High = share.Estimate, share.Low, share.High
	return err
}

// CohortKnowledgeOf counts the closed attempts of every mode: of the trainees a faculty member supervises, or of all for director and
// committee. The error is ErrForbidden.
func (s *Service) CohortKnowledgeOf(ctx context.Context, actor Actor, programme competency.ProgrammeID) (CohortKnowledge, error) {
	var view CohortKnowledge
	err := s.read(ctx, actor, programme, func(h *scene) (err error) {
		if err := h.noOpenTest(); err != nil {
			return err
		}
		view, err = h.cohortKnowledge()
		return err
	})
	return view, err
}

func (h *scene) cohortKnowledge() (CohortKnowledge, error) {
	view := CohortKnowledge{
		On: h.today, Years: []int{}, Topics: []CohortTopic{}, Trainees: []TraineeKnowledge{}, Required: []RequiredQuizzes{}, Charts: []chart.Chart{}, Method: interval.MethodWilson, Level: knowledgeLevel, Caution: atrium.Caution,
		Assumptions: "Each question counts once for each trainee, by its last answer, in practice, daily sets and tests alike. The interval takes answers as independent; those of one trainee are not quite, so that it is somewhat too narrow.",
	}
	reach, err := h.traineesInReach(policies.Quiz)
	if err != nil {
		return view, err
	}
	members, err := h.tx.People(h.programme.ID, string(policies.Trainee), h.today)
	if err != nil {
		return view, err
	}
	outcomes, passed, err := h.shownBy()
	if err != nil {
		return view, err
	}
	for _, m := range members {
		if reach != nil && !slices.Contains(reach, m.ID) {
			continue
		}
		row := TraineeKnowledge{ID: m.ID, Name: m.Name, Year: trainingYear(m.Since, h.today), Topics: []TopicKnowledge{}}
		if !slices.Contains(view.Years, row.Year) {
			view.Years = append(view.Years, row.Year)
		}
		for _, known := range question.Know(outcomes[m.ID]) {
			share, err := interval.Wilson(known.Right, known.N, knowledgeLevel)
			if err != nil {
				return view, err
			}
			row.Topics = append(row.Topics, TopicKnowledge{known, share.Estimate, share.Low, share.High})
		}
		view.Trainees = append(view.Trainees, row)
	}
	slices.Sort(view.Years)
	slices.SortFunc(view.Trainees, func(a, b TraineeKnowledge) int { return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID)) })
	if err := view.byTopic(passed); err != nil {
		return view, err
	}
	if view.Required, err = h.requiredQuizzes(view.Trainees); err != nil {
		return view, err
	}
	view.Charts, err = view.charts()
	return view, err
}

// byTopic adds the trainees up, topic by topic.
func (c *CohortKnowledge) byTopic(passed map[competency.PersonID]map[question.Topic]bool) error {
	by := map[question.Topic]*CohortTopic{}
	topic := func(id question.Topic) *CohortTopic {
		if by[id] == nil {
			by[id] = &CohortTopic{Topic: id, Years: make([]SharedTopic, len(c.Years))}
		}
		return by[id]
	}
	for _, row := range c.Trainees {
		year, _ := slices.BinarySearch(c.Years, row.Year)
		for _, known := range row.Topics {
			t := topic(known.Topic)
			t.All.add(known.Known)
			t.Years[year].add(known.Known)
		}
		for id, good := range passed[row.ID] {
			t := topic(id)
			t.Tested++
			if good {
				t.Passed++
			}
		}
	}
	for _, t := range by {
		if err := t.All.settle(); err != nil {
			return err
		}
		for i := range t.Years {
			if err := t.Years[i].settle(); err != nil {
				return err
			}
		}
		c.Topics = append(c.Topics, *t)
	}
	slices.SortFunc(c.Topics, func(a, b CohortTopic) int {
		return cmp.Or(cmp.Compare(a.All.Share, b.All.Share), cmp.Compare(a.Topic, b.Topic))
	})
	return nil
}

// shownBy is what everybody's closed attempts came to, and whether the latest test that judges a topic was passed.
func (h *scene) shownBy() (map[competency.PersonID][]question.Outcome, map[competency.PersonID]map[question.Topic]bool, error) {
	all, err := h.tx.QuizzesOf(h.programme.ID, "")
	if err != nil {
		return nil, nil, err
	}
	outcomes, passed := map[competency.PersonID][]question.Outcome{}, map[competency.PersonID]map[question.Topic]bool{}
	slices.SortStableFunc(all, func(a, b store.Quiz) int { return a.ClosedAt.Compare(b.ClosedAt) })
	for _, q := range all {
		if q.Status == assessment.SittingOpen {
			continue
		}
		outcomes[q.Trainee] = append(outcomes[q.Trainee], q.Outcomes...)
		for _, r := range q.ByTopic() {
			if !r.Judged {
				continue
			}
			if passed[q.Trainee] == nil {
				passed[q.Trainee] = map[question.Topic]bool{}
			}
			passed[q.Trainee][r.Topic] = r.Passed // the later one counts
		}
	}
	return outcomes, passed, nil
}
