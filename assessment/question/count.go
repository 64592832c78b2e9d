package question

import (
	"slices"

	"isthmus/assessment"
)

// Count is how many live items the bank has of a topic, in all and by what a blueprint or an author asks about.
type Count struct {
	Topic        Topic              `json:"topic"`
	Items        int                `json:"items"`
	Kinds        map[Kind]int       `json:"kinds"`
	Difficulties map[Difficulty]int `json:"difficulties"`
}

// Counts counts the live items, a row for each topic in alphabetical order.
func (b Bank) Counts() []Count {
	topics := b.Topics()
	rows := make([]Count, len(topics))
	for i, topic := range topics {
		rows[i] = Count{Topic: topic, Kinds: map[Kind]int{}, Difficulties: map[Difficulty]int{}}
	}
	for _, it := range b.items {
		if it.Status != assessment.Live {
			continue
		}
		i, _ := slices.BinarySearch(topics, it.Topic)
		rows[i].Items++
		rows[i].Kinds[it.Kind]++
		rows[i].Difficulties[it.Difficulty]++
	}
	return rows
}
