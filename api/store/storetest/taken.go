package storetest

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/assessment/question"
	"isthmus/competency"
)

// Taken puts closed tests of a fixed form of starter questions into a database, as if made-up people had taken them two days before: person p
// has question i right when right says so. It gives the questions in their order.
func Taken(tb testing.TB, s *store.Store, programme competency.ProgrammeID, at time.Time, people, items int, right func(r *rand.Rand, p, i int) bool) []question.Item {
	tb.Helper()
	bank := slices.DeleteFunc(question.Starter().Items(), func(it question.Item) bool { return it.Kind == question.OnMap })
	var form []question.Ref
	for _, it := range bank[:items] {
		form = append(form, question.Ref{Item: it.ID, Version: it.Version})
	}
	r := rand.New(rand.NewPCG(3, uint64(people)))
	err := s.Write(tb.Context(), store.Act{Programme: programme, Name: "test.prepare", At: at}, func(tx *store.Tx) error {
		for p := range people {
			id := competency.PersonID(fmt.Sprintf("taker-%04d", p))
			if err := tx.CreatePerson(store.Person{ID: id, Email: string(id) + "@example.org", Name: "Taker " + fmt.Sprint(p+1), CreatedAt: at}); err != nil {
				return err
			}
			if err := taken(tx, programme, id, form, int64(p), at.Add(-48*time.Hour).Add(time.Duration(p)*time.Second), func(i int) bool { return right(r, p, i) }); err != nil {
				return err
			}
		}
		return tx.Audit("quiz", "many", nil, nil)
	})
	if err != nil {
		tb.Fatal(err)
	}
	return bank[:items]
}

// taken is one person's closed test.
func taken(tx *store.Tx, programme competency.ProgrammeID, person competency.PersonID, form []question.Ref, seed int64, begun time.Time, right func(i int) bool) error {
	a, err := question.Begin(question.Starter(), question.Test, question.Blueprint{Title: "Fixed form", Fixed: form}, seed, begun, begun.Add(time.Hour))
	if err != nil {
		return err
	}
	q := store.Quiz{ID: competency.QuizID(person), Programme: programme, Trainee: person, Attempt: a}
	if err := tx.CreateQuiz(q); err != nil {
		return err
	}
	var changes []question.Change
	for i, it := range a.Items {
		changes = append(changes, question.Change{Place: i + 1, MS: 1000 * (i + 1), Given: a.Placed(i + 1).Give(it.Example(right(i)))})
	}
	if q.Attempt, err = a.Save(changes, begun.Add(time.Minute)); err == nil {
		q.Attempt, err = q.Attempt.Submit(nil, begun.Add(2*time.Minute))
	}
	if err != nil {
		return err
	}
	return tx.SaveQuiz(q, a.Revision)
}
