package store

import (
	"time"

	"gorm.io/gorm"

	"isthmus/assessment/question"
	"isthmus/competency"
)

// quizzes is a query for attempts with their trainees' names; columns are those of the attempts.
func (tx *Tx) quizzes(programme competency.ProgrammeID, columns string) *gorm.DB {
	return tx.db.Table("quiz_attempts AS q").Select(columns+", t.name AS trainee_name").Joins("JOIN people t ON t.id = q.trainee_id").
		Where("q.programme_id = ?", programme)
}

// withoutPaper are the columns of a list: the items are long.
const withoutPaper = `q.id, q.programme_id, q.trainee_id, q.mode, q.blueprint, q.bank_version, q.seed, q.replies, q.outcomes, q.status, q.started_at, q.due_at,
	q.saved_at, q.submitted_at, q.score, q.max, q.standard_error, q.cut, q.test_id, q.terms, q.revision`

// QuizByID loads an attempt of a programme with its items. The error is ErrNotFound.
func (tx *Tx) QuizByID(programme competency.ProgrammeID, id competency.QuizID) (Quiz, error) {
	var row namedQuiz
	if err := tx.quizzes(programme, "q.*").Where("q.id = ?", id).Take(&row).Error; err != nil {
		return Quiz{}, translate("quiz", err)
	}
	return row.quiz()
}

// Quizzes lists a programme's attempts without their items, newest first.
func (tx *Tx) Quizzes(programme competency.ProgrammeID, filter QuizFilter, page Page) ([]Quiz, string, error) {
	query := tx.quizzes(programme, withoutPaper)
	if filter.Trainee != "" {
		query = query.Where("q.trainee_id = ?", filter.Trainee)
	}
	if filter.Mode != "" {
		query = query.Where("q.mode = ?", filter.Mode)
	}
	if filter.Status != "" {
		query = query.Where("q.status = ?", filter.Status)
	}
	if filter.Trainees != nil {
		query = query.Where("q.trainee_id IN ?", filter.Trainees)
	}
	query, err := newestFirst(query, "q.started_at", "q.id", page)
	if err != nil {
		return nil, "", err
	}
	var rows []namedQuiz
	if err := query.Find(&rows).Error; err != nil {
		return nil, "", translate("quizzes", err)
	}
	return tryPageOf(rows, page, namedQuiz.quiz, func(r namedQuiz) string { return cursorAt(r.Row.StartedAt, string(r.Row.ID)) })
}

// QuizzesOf lists all attempts of a trainee, or of everybody when trainee is empty, without their items, the earliest first.
func (tx *Tx) QuizzesOf(programme competency.ProgrammeID, trainee competency.PersonID) ([]Quiz, error) {
	query := tx.quizzes(programme, withoutPaper)
	if trainee != "" {
		query = query.Where("q.trainee_id = ?", trainee)
	}
	var rows []namedQuiz
	if err := query.Order("q.started_at, q.id").Find(&rows).Error; err != nil {
		return nil, translate("quizzes of a trainee", err)
	}
	list := make([]Quiz, len(rows))
	for i, row := range rows {
		var err error
		if list[i], err = row.quiz(); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// QuizzesPast lists the ids of a programme's open attempts that were due before a time, the earliest first. It is asked at every request.
func (tx *Tx) QuizzesPast(programme competency.ProgrammeID, due time.Time) ([]competency.QuizID, error) {
	var ids []competency.QuizID
	err := tx.db.Model(&quizRow{}).Where(onlyOpen).Where("programme_id = ? AND due_at < ?", programme, utc(due)).
		Order("due_at, id").Pluck("id", &ids).Error
	return ids, translate("quizzes past their end", err)
}

// OpenQuizTest is where and until when a person has a test of questions open.
type OpenQuizTest struct {
	Programme competency.ProgrammeID
	ID        competency.QuizID
	DueAt     time.Time
}

// OpenQuizTestsOf lists a person's open tests of questions, in whatever programme: the starter items are the same everywhere.
func (tx *Tx) OpenQuizTestsOf(person competency.PersonID) ([]OpenQuizTest, error) {
	var rows []quizRow
	err := tx.db.Select("programme_id, id, due_at").Where(onlyOpen).Where("trainee_id = ? AND mode = ?", person, question.Test).
		Order("programme_id").Find(&rows).Error
	open := make([]OpenQuizTest, len(rows))
	for i, r := range rows {
		open[i] = OpenQuizTest{r.ProgrammeID, r.ID, utc(r.DueAt)}
	}
	return open, translate("open tests of questions", err)
}
