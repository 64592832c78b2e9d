package competency

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"isthmus/assessment/strict"
)

// QuizID names one attempt at a quiz; uuid v7.
type QuizID string

// QuizResult is one submitted quiz as evidence. The cut is that of the quiz when it was taken: a later one does not judge it anew.
type QuizResult struct {
	ID          QuizID    `json:"id"`
	Topic       string    `json:"topic"`
	Score       float64   `json:"score"`
	Cut         float64   `json:"cut"` // on the scale of the score
	Passed      bool      `json:"passed"`
	SubmittedAt time.Time `json:"submitted_at"`
}

// byTime orders quizzes: earliest submitted first.
func byTime(a, b QuizResult) int {
	return cmp.Or(a.SubmittedAt.Compare(b.SubmittedAt), cmp.Compare(a.ID, b.ID))
}

// judgeQuiz takes for each listed topic the best or the latest quiz. Met: enough topics at or above their cut. On course: half of them or
// more. Short: fewer. Not enough data: no quiz on the topics yet.
func (v view) judgeQuiz(r Requirement, s *RequirementStanding) {
	s.UsedKind = "quiz"
	deciding := map[string]QuizResult{}
	for _, q := range v.quizzes {
		switch {
		case DayOf(q.SubmittedAt) > v.on:
			s.leaveOut(string(q.ID), "submitted after "+string(v.on))
		case !slices.Contains(r.Topics, q.Topic):
			s.leaveOut(string(q.ID), "topic "+Words(q.Topic)+" is not asked for")
		default:
			s.N++
			before, found := deciding[q.Topic]
			if found && r.Attempt == AttemptBest && !better(q, before) {
				s.leaveOut(string(q.ID), "another quiz on this topic is as good or better")
				continue
			}
			if found {
				s.leaveOut(string(before.ID), "a "+whatDecides(r)+" quiz on this topic decides")
			}
			deciding[q.Topic] = q
		}
	}
	var lacking []string
	for _, topic := range r.Topics {
		q, found := deciding[topic]
		if found && !slices.Contains(s.Used, string(q.ID)) { // one quiz may decide several topics
			s.Used = append(s.Used, string(q.ID))
		}
		if found && q.Passed {
			s.Value++
			continue
		}
		lacking = append(lacking, Words(topic))
	}
	reached := int(s.Value)
	s.State = countState(reached, r.AtLeast, s.N > 0)
	s.Explanation = fmt.Sprintf("No quiz on these topics on record by %s; %d of %s asked for.", v.on, r.AtLeast, plural(len(r.Topics), "topic"))
	if s.N > 0 {
		s.Explanation = fmt.Sprintf("%d of %s at or above the cut, among %d taken by %s; %d asked for.", reached, plural(len(r.Topics), "topic"), s.N, v.on, r.AtLeast)
	}
	s.Next = fmt.Sprintf("A quiz at or above its cut in %s of: %s.", plural(r.AtLeast-reached, "more topic"), strings.Join(lacking, ", "))
}

// better reports whether a quiz goes before an earlier one on its topic: passed goes before failed, then the score.
func better(q, before QuizResult) bool {
	if q.Passed != before.Passed {
		return q.Passed
	}
	return q.Score > before.Score
}

func whatDecides(r Requirement) string {
	if r.Attempt == AttemptLast {
		return "later"
	}
	return "better"
}

// saysQuiz is the requirement in plain words.
func (r Requirement) saysQuiz() string {
	topics := make([]string, len(r.Topics))
	for i, topic := range r.Topics {
		topics[i] = Words(topic)
	}
	attempt := "The best quiz"
	if r.Attempt == AttemptLast {
		attempt = "The latest quiz"
	}
	return fmt.Sprintf("%s at or above its cut in at least %d of %s: %s.", attempt, r.AtLeast, plural(len(topics), "topic"), strings.Join(topics, ", "))
}

// checkTopics: no more topics can be asked for than are listed.
func checkTopics(r Requirement, faults *strict.Faults) {
	if len(r.Topics) > 0 && r.AtLeast > len(r.Topics) {
		faults.Add("at_least", "must be at most the %s listed, not %d", plural(len(r.Topics), "topic"), r.AtLeast)
	}
}
