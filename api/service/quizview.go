package service

import (
	"slices"
	"strconv"
	"time"

	"isthmus/api/store"
	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/policies"
)

// QuizSummary is an attempt in a list.
type QuizSummary struct {
	ID          competency.QuizID        `json:"id"`
	Trainee     competency.PersonID      `json:"trainee"`
	TraineeName string                   `json:"trainee_name"`
	Mode        question.Mode            `json:"mode"`
	Title       string                   `json:"title"`
	Items       int                      `json:"items"`
	Replied     int                      `json:"replied"` // of them answered
	StartedAt   time.Time                `json:"started_at"`
	DueAt       time.Time                `json:"due_at"`
	SavedAt     time.Time                `json:"saved_at,omitzero"`
	ClosedAt    time.Time                `json:"closed_at,omitzero"` // absent while open
	ServerTime  time.Time                `json:"server_time"`        // now, so that a browser's clock does not matter
	Status      assessment.SittingStatus `json:"status"`
	Result      *question.Score          `json:"result,omitempty"`   // absent while open
	Cut         float64                  `json:"cut"`                // per cent that pass a test, or a topic of it
	CutFrom     question.Cut             `json:"cut_from"`           // where the cut comes from
	Test        *question.TestRef        `json:"test,omitempty"`     // one of the programme's own
	Negative    bool                     `json:"negative,omitempty"` // wrong answers cost points
	Passed      *bool                    `json:"passed,omitempty"`   // the whole of one of the programme's own tests; absent while open
}

// QuizView is an attempt with its questions. Which item a question is, is said by its place alone.
type QuizView struct {
	QuizSummary
	Places   []QuizPlace            `json:"places,omitempty"` // absent while it is open, for all but its trainee
	ByTopic  []question.TopicResult `json:"by_topic,omitempty"`
	Revision int                    `json:"revision"`
	Caution  string                 `json:"caution"`
}

// QuizPlace is one question of a form with the reply to it.
type QuizPlace struct {
	Place    int            `json:"place"` // 1, 2, 3, ...
	Question question.View  `json:"question"`
	Given    question.Given `json:"given"`
	MS       int            `json:"ms"` // time spent at it, as the browser counted it
	Replied  bool           `json:"replied"`
	Told     *QuizTold      `json:"told,omitempty"` // absent before feedback is due
}

// QuizTold is what is told of a question once it is marked.
type QuizTold struct {
	Right     bool     `json:"right"`
	Points    float64  `json:"points"` // of 1
	Says      []string `json:"says"`   // feedback on what was answered
	Key       []string `json:"key"`    // labels of the right options; of an order, all in the right one
	Number    *float64 `json:"number,omitempty"`
	Tolerance float64  `json:"tolerance,omitempty"` // how far from the number still counts

	Path      []atrium.Vec `json:"path,omitempty"` // on the map, a drawing that is right; of a point, anywhere on it is
	Rationale string       `json:"rationale"`
	Source    string       `json:"source"`
}

func (h *scene) summaryOfQuiz(q store.Quiz) QuizSummary {
	view := QuizSummary{
		ID: q.ID, Trainee: q.Trainee, TraineeName: q.TraineeName, Mode: q.Mode, Title: q.Blueprint.Title, Items: len(q.Replies), StartedAt: q.StartedAt,
		DueAt: q.DueAt, SavedAt: q.SavedAt, ClosedAt: q.ClosedAt, ServerTime: h.now, Status: q.Status, Cut: q.Cut,
		CutFrom: q.CutFrom(), Negative: q.Terms.Negative,
	}
	for _, reply := range q.Replies {
		if reply.Answered() {
			view.Replied++
		}
	}
	closed := q.Status != assessment.SittingOpen
	if q.Terms.Test.ID != "" {
		view.Test = &q.Terms.Test
		if passed := q.Passed(); closed {
			view.Passed = &passed
		}
	}
	if closed {
		view.Result = &q.Score
	}
	return view
}

// quizByID loads an attempt the actor may read.
func (h *scene) quizByID(id competency.QuizID) (QuizView, error) {
	quiz, err := h.tx.QuizByID(h.programme.ID, id)
	if err != nil {
		return QuizView{}, err
	}
	if err := h.mayTrainee(policies.Quiz, policies.Read, quiz.Trainee); err != nil {
		return QuizView{}, err
	}
	if h.unsettled != nil && quiz.Overdue(h.now) {
		return QuizView{}, h.unsettled
	}
	return h.viewOfQuiz(quiz)
}

// viewOfQuiz is what people see of an attempt: while it is open its questions are the trainee's alone; feedback comes with the answer in
// practice and in the daily set, and with the end in a test. The error is ErrTestOpen where feedback would be told during a test on a
// scenario.
func (h *scene) viewOfQuiz(q store.Quiz) (QuizView, error) {
	view := QuizView{QuizSummary: h.summaryOfQuiz(q), Revision: q.Revision, Caution: atrium.Caution}
	closed := q.Status != assessment.SittingOpen
	if !closed && q.Trainee != h.actor.Person {
		return view, nil
	}
	told := false
	for i, it := range q.Items {
		placed, reply := q.Placed(i+1), q.Replies[i]
		shown, err := placed.View(it)
		if err != nil {
			return view, err
		}
		place := QuizPlace{Place: i + 1, Question: shown, Given: reply.Given, MS: reply.MS, Replied: reply.Answered()}
		if closed || q.Mode != question.Test && reply.Answered() {
			told = true
			if place.Told, err = h.toldOf(q, i+1, placed); err != nil {
				return view, err
			}
		}
		view.Places = append(view.Places, place)
	}
	if closed {
		view.ByTopic = q.ByTopic()
	}
	if told {
		return view, h.noOpenTest()
	}
	return view, nil
}

// toldOf is the feedback at a place.
func (h *scene) toldOf(q store.Quiz, place int, placed question.Placed) (*QuizTold, error) {
	it := q.Items[place-1]
	outcome, err := q.Outcome(h.service.deps.Model, place)
	if len(q.Outcomes) >= place {
		outcome, err = q.Outcomes[place-1], nil // as it was marked then
	}
	if err != nil {
		return nil, err
	}
	told := &QuizTold{
		Right: outcome.Right, Points: outcome.Points, Says: append([]string{}, outcome.Says...), Key: []string{}, Rationale: it.Rationale, Source: it.Source,
	}
	for _, id := range it.Key {
		told.Key = append(told.Key, strconv.Itoa(slices.Index(placed.Order, id)+1))
	}
	if it.Number != nil {
		told.Number, told.Tolerance = &it.Number.Value, it.Number.Tolerance
	}
	if it.Map != nil {
		told.Path = it.Map.Key
	}
	return told, nil
}
