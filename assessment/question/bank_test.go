package question_test

import (
	"testing"

	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
)

// TestStarterKeys: every item of the starter bank marks its key right and nothing that it names as wrong, whatever is chosen instead.
func TestStarterKeys(t *testing.T) {
	for _, it := range question.Starter().Items() {
		if err := question.Try(atrium.Default(), it); err != nil {
			t.Errorf("%s: %v", it.ID, err)
		}
	}
}

// TestStarterTwins: no two stems are alike enough for the author to be warned.
func TestStarterTwins(t *testing.T) {
	bank := question.Starter()
	for _, it := range bank.Items() {
		for _, twin := range bank.Twins(it) {
			t.Errorf("%s is much like %s: %.2f", it.ID, twin.Item, twin.Alike)
		}
	}
}
