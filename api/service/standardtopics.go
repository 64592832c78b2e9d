package service

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/question"
	"isthmus/assessment/strict"
	"isthmus/competency"
)

// unaskable names the topics of a standard that no live question is about: nobody could ever meet a requirement of them. Versions that stand are
// not looked at again, whatever becomes of the questions.
func (h *scene) unaskable(standard competency.Standard) (strict.Faults, error) {
	var faults strict.Faults
	bank, err := h.bank()
	if err != nil {
		return faults, err
	}
	topics := bank.Topics()
	for i, r := range standard.Requirements {
		for j, topic := range r.Topics {
			if !slices.Contains(topics, question.Topic(topic)) {
				faults.Add(fmt.Sprintf("requirements[%d].topics[%d]", i, j), "no live question is about %q: write some first, or choose among %s", topic, topicWords(topics))
			}
		}
	}
	return faults, nil
}

// topicWords lists topics.
func topicWords(topics []question.Topic) string {
	words := make([]string, len(topics))
	for i, topic := range topics {
		words[i] = string(topic)
	}
	return strings.Join(words, ", ")
}
