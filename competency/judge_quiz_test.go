package competency

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func quiz(id, topic string, score float64, daysBefore int) QuizResult {
	return QuizResult{ID: QuizID(id), Topic: topic, Score: score, Cut: 70, Passed: score >= 70, SubmittedAt: judgedOn.Add(-daysBefore).Start()}
}

func TestQuizStates(t *testing.T) {
	const best = "{id: b, kind: quiz, topics: [conduction, lesion-sets], at_least: 2, attempt: best}"
	const last = "{id: b, kind: quiz, topics: [conduction, lesion-sets], at_least: 2, attempt: last}"
	a, b := "conduction", "lesion-sets"
	for _, test := range []struct {
		name, requirement string
		quizzes           []QuizResult
		want              State
		value             float64
		used, leftOut     string
		next              string
	}{
		{"none", best, nil, NotEnoughData, 0, "", "", "A quiz at or above its cut in 2 more topics of: conduction, lesion sets."},
		{"other topics only", best, []QuizResult{quiz("1", "drugs", 90, 9)}, NotEnoughData, 0, "", "1", "A quiz"},
		{"below the cut", best, []QuizResult{quiz("1", a, 60, 9)}, Short, 0, "1", "", "A quiz at or above its cut in 2 more topics of: conduction, lesion sets."},
		{"one topic", best, []QuizResult{quiz("1", a, 70, 9)}, OnCourse, 1, "1", "", "A quiz at or above its cut in 1 more topic of: lesion sets."},
		{"both", best, []QuizResult{quiz("2", b, 80, 9), quiz("1", a, 70, 8)}, Met, 2, "1 2", "", ""},
		{"the best counts", best, []QuizResult{quiz("1", a, 80, 9), quiz("2", b, 80, 8), quiz("3", a, 60, 7), quiz("4", b, 90, 6)}, Met, 2, "1 4", "2 3", ""},
		{"the last counts", last, []QuizResult{quiz("1", a, 80, 9), quiz("2", b, 80, 8), quiz("3", a, 60, 7)}, OnCourse, 1, "3 2", "1", "A quiz"},
		{"taken later", best, []QuizResult{quiz("1", a, 80, 9), quiz("2", b, 80, -1)}, OnCourse, 1, "1", "2", "A quiz"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := one(t, test.requirement, Evidence{Quizzes: test.quizzes}, judgedOn)
			var left []string
			for _, l := range got.LeftOut {
				left = append(left, l.ID)
			}
			slices.Sort(left)
			if used := strings.Join(got.Used, " "); got.State != test.want || got.Value != test.value || used != test.used || strings.Join(left, " ") != test.leftOut || got.UsedKind != "quiz" {
				t.Errorf("got %s at %g, used %q, left out %v, want %s at %g, used %q, left out %q", got.State, got.Value, used, left, test.want, test.value, test.used, test.leftOut)
			}
			if !strings.HasPrefix(got.Next, test.next) || (got.Next == "") != (test.want == Met) {
				t.Errorf("next is %q, want %q", got.Next, test.next)
			}
		})
	}
}

// TestAQuizPassedStaysPassed: where the best counts, a further quiz never lowers anything.
func TestAQuizPassedStaysPassed(t *testing.T) {
	standard := Standard{Requirements: []Requirement{{ID: "b", Kind: KindQuiz, Topics: []string{"a", "b", "c"}, AtLeast: 2, Attempt: AttemptBest}}}
	rapid.Check(t, func(t *rapid.T) {
		var evidence Evidence
		value := 0.0
		for i := range rapid.IntRange(1, 12).Draw(t, "quizzes") {
			q := quiz(string(rune('a'+i)), rapid.SampledFrom([]string{"a", "b", "c", "d"}).Draw(t, "topic"), float64(rapid.IntRange(40, 100).Draw(t, "score")), rapid.IntRange(0, 30).Draw(t, "days"))
			q.Cut = float64(rapid.IntRange(50, 80).Draw(t, "cut")) // a cut may change between quizzes
			q.Passed = q.Score >= q.Cut
			evidence.Quizzes = append(evidence.Quizzes, q)
			got := Stand(standard, evidence, judgedOn).Requirements[0]
			if got.Value < value || len(got.Used)+len(got.LeftOut) != len(evidence.Quizzes) {
				t.Fatalf("after %d quizzes %g topics, before %g; used %v, left out %v", i+1, got.Value, value, got.Used, got.LeftOut)
			}
			value = got.Value
		}
	})
}

// TestAQuizOnSeveralTopics decides each of them, and is one piece of evidence.
func TestAQuizOnSeveralTopics(t *testing.T) {
	quizzes := []QuizResult{quiz("1", "conduction", 80, 9), quiz("1", "lesion-sets", 60, 9), quiz("1", "drugs", 90, 9)}
	got := one(t, "{id: b, kind: quiz, topics: [conduction, lesion-sets], at_least: 2, attempt: best}", Evidence{Quizzes: quizzes}, judgedOn)
	if strings.Join(got.Used, " ") != "1" || got.Value != 1 || got.N != 2 || len(got.LeftOut) != 1 || got.LeftOut[0].Reason != "topic drugs is not asked for" {
		t.Errorf("used %v, %g of %d, left out %v", got.Used, got.Value, got.N, got.LeftOut)
	}
}
