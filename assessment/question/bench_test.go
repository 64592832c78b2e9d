package question_test

import (
	"fmt"
	"testing"

	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
)

// BenchmarkAssemble draws a form of 40 items from the starter bank.
func BenchmarkAssemble(b *testing.B) {
	bank, blueprint := question.Starter(), question.Blueprint{Title: "T"}
	for _, topic := range bank.Topics() {
		blueprint.Rows = append(blueprint.Rows, question.Row{Topic: topic, Items: 4})
	}
	for seed := int64(0); b.Loop(); seed++ {
		if _, err := question.Assemble(bank, blueprint, seed); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkMarkDrawing marks a line by the conduction model.
func BenchmarkMarkDrawing(b *testing.B) {
	it, _ := question.Starter().Item("draw-mitral-line")
	model := atrium.Default()
	for b.Loop() {
		if _, err := question.MarkItem(model, it, question.Answer{Path: it.Map.Key}, question.Scheme{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTwins compares a file of 5,000 questions with the starter bank, as an import does.
func BenchmarkTwins(b *testing.B) {
	starter := question.Starter().Items()
	var file []question.Item
	for i := range 5000 {
		it := starter[i%len(starter)]
		it.ID, it.Stem = question.ItemID(fmt.Sprintf("own-%d", i)), fmt.Sprintf("%s (%d)", it.Stem, i)
		file = append(file, it)
	}
	for b.Loop() {
		stems := question.NewStems(starter)
		for _, it := range file {
			stems.Twins(it)
		}
	}
}
