package outcome

import (
	"fmt"

	"isthmus/competency"
	"isthmus/competency/interval"
)

// Completeness is how much of the follow-up that is due is on record, which every other figure rests on.
type Completeness struct {
	Month   int                 `json:"month"` // of the schedule; 0 for all of it together
	Due     int                 `json:"due"`   // operations, or follow-ups where all months are taken together
	Done    int                 `json:"done"`
	Share   float64             `json:"share"`
	Low     float64             `json:"low"` // Wilson
	High    float64             `json:"high"`
	Cases   []competency.CaseID `json:"cases,omitempty"`   // due at the month
	Missing []competency.CaseID `json:"missing,omitempty"` // of these, without a follow-up that says anything of the rhythm
	Hidden  bool                `json:"hidden,omitempty"`  // too small to leave the programme
	Says    string              `json:"says"`
}

// CompletenessOf counts, for all months together and each of the schedule that is due for somebody by a day. A follow-up counts when it says
// something of the rhythm or of a death, and stands for the month nearest to it; after a death nothing more is due.
func CompletenessOf(courses []Course, rule competency.FollowUpRule, on competency.Day) []Completeness {
	by, order := map[int]*Completeness{}, []int{0}
	by[0] = &Completeness{}
	for _, month := range rule.ScheduleMonths() {
		by[month], order = &Completeness{Month: month}, append(order, month)
	}
	for _, c := range courses {
		var telling []competency.FollowUp
		for _, f := range c.followUps {
			if f.SaysRhythm() || f.Died {
				telling = append(telling, f)
			}
		}
		for _, due := range rule.Schedule(c.OperatedOn, telling, on) {
			if due.On > on {
				continue
			}
			row := by[due.Month]
			row.Due, row.Cases, by[0].Due = row.Due+1, append(row.Cases, c.Case), by[0].Due+1
			if due.State == competency.DueDone {
				row.Done, by[0].Done = row.Done+1, by[0].Done+1
			} else {
				row.Missing = append(row.Missing, c.Case)
			}
		}
	}
	list := []Completeness{}
	for _, month := range order {
		if row := by[month]; row.Due > 0 || month == 0 {
			row.finish()
			list = append(list, *row)
		}
	}
	return list
}

// finish computes share and interval, and says them.
func (c *Completeness) finish() {
	what := "follow-ups due by the day"
	if c.Month > 0 {
		what = fmt.Sprintf("operations due for follow-up at month %d", c.Month)
	}
	share, err := interval.Wilson(c.Done, c.Due, Level)
	if err != nil {
		c.Says = "No follow-up is due yet."
		return
	}
	c.Share, c.Low, c.High = rounded(share.Estimate), rounded(share.Low), rounded(share.High)
	c.Says = fmt.Sprintf("%d of %d %s are on record (%s).", c.Done, c.Due, what, within(c.Share, c.Low, c.High))
}
