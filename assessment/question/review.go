package question

import (
	"cmp"
	"slices"
	"time"

	"isthmus/assessment"
)

// Day is a calendar day: the number of days since 1 January 1970, UTC.
type Day int

// DayOf is the day of a moment, UTC.
func DayOf(at time.Time) Day { return Day(at.UTC().Truncate(24*time.Hour).Unix() / 86400) }

// Spaces are the days until an item comes back after 1, 2, 3 and more right answers in a row; the last goes for all further ones. A wrong
// answer sets the item back to the beginning: the rule of the boxes of Leitner 1972, So lernt man lernen (as cited). The lengths themselves are
// common practice, no source. That spacing helps: 11 randomised trials of moderate quality (Cecilio-Fernandes 2018, J Surg Educ; as cited).
var Spaces = []int{1, 3, 7, 14, 30, 60, 120}

// Limits of a daily set; common practice, no source.
const (
	DailyMost = 10 // items
	DailyNew  = 5  // of them never answered before
)

// Seen is one answer to an item in review.
type Seen struct {
	Item  ItemID
	On    Day
	Right bool
}

// Memory is where one item stands with one person.
type Memory struct {
	Item  ItemID `json:"item"`
	Times int    `json:"times"` // answered
	Run   int    `json:"run"`   // right answers in a row up to the last
	Last  Day    `json:"last"`
	Due   Day    `json:"due"` // comes back on this day or later
}

// Remember goes through a person's answers and says where each item stands, by id. Of the answers of one day only the first counts: to
// answer again at once what was just explained is no proof of memory. Answers of one day keep their order.
func Remember(answers []Seen) []Memory {
	sorted := slices.Clone(answers)
	slices.SortStableFunc(sorted, func(a, b Seen) int { return cmp.Or(cmp.Compare(a.Item, b.Item), cmp.Compare(a.On, b.On)) })
	var list []Memory
	for i, seen := range sorted {
		if i == 0 || sorted[i-1].Item != seen.Item {
			list = append(list, Memory{Item: seen.Item})
		} else if sorted[i-1].On == seen.On {
			continue
		}
		m := &list[len(list)-1]
		m.Times, m.Last, m.Run = m.Times+1, seen.On, m.Run+1
		if !seen.Right {
			m.Run = 0 // back in the first box
		}
		m.Due = m.Last + Day(Spaces[min(max(m.Run-1, 0), len(Spaces)-1)])
	}
	return list
}

// Daily is a person's set for a day, at most DailyMost items: those that wait, most overdue for their space first, then at most DailyNew new
// ones in the room left, by the lot of the seed. It follows from the answers given before that day, so that it stays the same while it is
// worked on; an item that is not live, or not in the bank, is left out.
func Daily(bank Bank, answers []Seen, today Day, seed int64) []Ref {
	known := map[ItemID]bool{}
	var waiting []Memory
	for _, m := range Remember(before(answers, today)) {
		known[m.Item] = true
		if it, found := bank.Item(m.Item); found && it.Status == assessment.Live && m.Due <= today {
			waiting = append(waiting, m)
		}
	}
	slices.SortFunc(waiting, func(a, b Memory) int {
		return cmp.Or(cmp.Compare(b.overdue(today), a.overdue(today)), cmp.Compare(a.Item, b.Item))
	})
	var refs []Ref
	for _, m := range waiting[:min(len(waiting), DailyMost)] {
		it, _ := bank.Item(m.Item)
		refs = append(refs, Ref{it.ID, it.Version})
	}
	fresh := bank.fresh(known)
	byLot(fresh, seed, "new", func(r Ref) string { return string(r.Item) })
	return append(refs, fresh[:min(len(fresh), DailyNew, DailyMost-len(refs))]...)
}

// overdue is how long an item has waited, as a share of the space it was given.
func (m Memory) overdue(today Day) float64 { return float64(today-m.Due) / float64(m.Due-m.Last) }

// before are the answers given before a day.
func before(answers []Seen, day Day) []Seen {
	var list []Seen
	for _, seen := range answers {
		if seen.On < day {
			list = append(list, seen)
		}
	}
	return list
}

// fresh are the live items nobody has answered yet.
func (bank Bank) fresh(known map[ItemID]bool) []Ref {
	var list []Ref
	for _, it := range bank.items {
		if it.Status == assessment.Live && !known[it.ID] {
			list = append(list, Ref{it.ID, it.Version})
		}
	}
	return list
}
