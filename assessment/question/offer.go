package question

import (
	"cmp"
	"slices"
	"time"
)

// What is offered from a bank; common practice, no source. ExampleCut is an example and not a standard: no panel has set it.
const (
	MixedItems  = 20               // of a test over all topics
	TopicItems  = 8                // of practice or a test on one topic, at most: more would not do, as some give others away
	TimeAnItem  = 90 * time.Second // in a test
	ExampleCut  = 70.0             // per cent of the points of a topic
	FewestToCut = 5                // items of a topic that a test needs before it says passed or failed there
)

// OnTopic is the blueprint of practice or a test on one topic, and false when the bank has no live item of it.
func OnTopic(bank Bank, topic Topic) (Blueprint, bool) {
	for _, count := range bank.Counts() {
		if count.Topic == topic {
			return Blueprint{Title: string(topic), Rows: []Row{{Topic: topic, Items: min(TopicItems, count.Items)}}}, true
		}
	}
	return Blueprint{}, false
}

// Mixed is the blueprint of a test over all topics: each has its share of the items, and the first in alphabetical order one more where
// it does not come out even.
func Mixed(bank Bank) Blueprint {
	b := Blueprint{Title: "All topics"}
	counts := bank.Counts()
	for i, count := range counts {
		items := MixedItems / len(counts)
		if i < MixedItems%len(counts) {
			items++
		}
		if items = min(items, count.Items); items > 0 {
			b.Rows = append(b.Rows, Row{Topic: count.Topic, Items: items})
		}
	}
	return b
}

// Items is how many items the blueprint asks for.
func (b Blueprint) Items() int {
	n := len(b.Fixed)
	for _, row := range b.Rows {
		n += row.Items
	}
	return n
}

// TimeFor is how long a test of so many items takes.
func TimeFor(b Blueprint) time.Duration {
	return time.Duration(b.Items()) * TimeAnItem
}

// Known is what somebody has shown to know of a topic: of the items answered, how many were right when they were answered last.
type Known struct {
	Topic Topic `json:"topic"`
	N     int   `json:"n"`
	Right int   `json:"right"`
}

// Know counts each item once, by its last answer, so that an item seen often weighs no more than another. Topics are in alphabetical order.
func Know(outcomes []Outcome) []Known {
	last := map[ItemID]Outcome{}
	for _, o := range outcomes {
		if before, seen := last[o.Item]; o.Answered && (!seen || !o.At.Before(before.At)) {
			last[o.Item] = o
		}
	}
	by := map[Topic]Known{}
	for _, o := range last {
		k := by[o.Topic]
		k.Topic, k.N = o.Topic, k.N+1
		if o.Right {
			k.Right++
		}
		by[o.Topic] = k
	}
	list := make([]Known, 0, len(by))
	for _, k := range by {
		list = append(list, k)
	}
	slices.SortFunc(list, func(a, b Known) int { return cmp.Compare(a.Topic, b.Topic) })
	return list
}

// TopicResult is what a test came to on one topic.
type TopicResult struct {
	Topic   Topic   `json:"topic"`
	Items   int     `json:"items"`
	Percent float64 `json:"percent"` // of the topic's points
	Judged  bool    `json:"judged"`  // enough items to say passed or failed
	Passed  bool    `json:"passed"`
}

// ByTopic gives the results of a closed attempt, by topic in alphabetical order. Items without an answer count as wrong.
func (a Attempt) ByTopic() []TopicResult {
	by := map[Topic]TopicResult{}
	for _, o := range a.Outcomes {
		r := by[o.Topic]
		r.Topic, r.Items, r.Percent = o.Topic, r.Items+1, r.Percent+o.Points
		by[o.Topic] = r
	}
	list := make([]TopicResult, 0, len(by))
	for _, r := range by {
		r.Percent = max(0, 100*r.Percent/float64(r.Items))
		r.Judged = a.Mode == Test && r.Items >= FewestToCut
		r.Passed = r.Judged && r.Percent >= a.Cut-1e-9
		list = append(list, r)
	}
	slices.SortFunc(list, func(a, b TopicResult) int { return cmp.Compare(a.Topic, b.Topic) })
	return list
}
