package service

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/competency"
)

// stalledDays is after how many days without a case a trainee is asked about (common practice, no source).
const stalledDays = 60

// lateDays is how long before the end of training what is not met is spoken of (common practice, no source).
const lateDays = 180

// Concern is why somebody looks at a trainee first.
type Concern string

// The concerns, most pressing first.
const (
	ConcernLapsed   Concern = "lapsed"
	ConcernSlipping Concern = "slipping"
	ConcernStalled  Concern = "stalled"
	ConcernLate     Concern = "late"
	ConcernReturned Concern = "returned"
	ConcernReady    Concern = "ready"
)

// concerns is their order.
var concerns = []Concern{ConcernLapsed, ConcernSlipping, ConcernStalled, ConcernLate, ConcernReturned, ConcernReady, ""}

// attention says in one sentence what a trainee needs from somebody first, why, and how urgent that is. The sentence is empty when
// nothing is needed.
func (w cohortWork) attention(standing competency.Standing, lines []CohortLine, on, before competency.Day) (urgency int, concern Concern, says string) {
	concern, says = w.concern(standing, lines, on, before)
	return slices.Index(concerns, concern), concern, says
}

func (w cohortWork) concern(standing competency.Standing, lines []CohortLine, on, before competency.Day) (Concern, string) {
	for _, requirement := range standing.Requirements {
		if requirement.State == competency.Lapsed {
			return ConcernLapsed, fmt.Sprintf("Lapsed: %s.", strings.TrimSuffix(lowerFirst(requirement.Says), "."))
		}
	}
	for _, line := range lines {
		if rank[line.State] < rank[line.Was] {
			return ConcernSlipping, fmt.Sprintf("Slipping: %s was %s on %s and is %s now.", competency.Words(line.Requirement), competency.Words(string(line.Was)), before, competency.Words(string(line.State)))
		}
	}
	last := lastOperation(w.now, on)
	switch {
	case last == "" && on.DaysSince(w.since) > stalledDays:
		return ConcernStalled, fmt.Sprintf("No case since joining %d days ago.", on.DaysSince(w.since))
	case last != "" && on.DaysSince(last) > stalledDays:
		return ConcernStalled, fmt.Sprintf("No case for %d days.", on.DaysSince(last))
	}
	if w.until != "" && !standing.Ready && w.until.DaysSince(on) < lateDays {
		return ConcernLate, fmt.Sprintf("Training ends on %s; %s.", w.until, notMet(standing))
	}
	switch n := waitingIn(w.now).Returned; {
	case n == 1:
		return ConcernReturned, "1 returned case waits for the trainee."
	case n > 1:
		return ConcernReturned, fmt.Sprintf("%d returned cases wait for the trainee.", n)
	case standing.Ready:
		return ConcernReady, "Ready for committee review."
	}
	return "", ""
}

// notMet counts the requirements that are not met, in words.
func notMet(standing competency.Standing) string {
	n := 0
	for _, r := range standing.Requirements {
		if r.State != competency.Met {
			n++
		}
	}
	if n == 1 {
		return "1 requirement is not met"
	}
	return fmt.Sprintf("%d requirements are not met", n)
}

// lastOperation is the latest day a case on record can have been on, no later than on; empty without a case. Drafts count: the trainee
// was there.
func lastOperation(evidence competency.Evidence, on competency.Day) competency.Day {
	var last competency.Day
	note := func(operatedOn string) {
		period, err := competency.ParsePeriod(operatedOn)
		if err == nil && period.First <= on {
			last = max(last, min(period.Last, on))
		}
	}
	for _, c := range evidence.Cases {
		note(c.OperatedOn)
	}
	for _, c := range evidence.Pending {
		if c.Status != competency.CaseWithdrawn {
			note(c.OperatedOn)
		}
	}
	return last
}

// lowerFirst makes a sentence fit behind a colon; a word in capitals stays.
func lowerFirst(sentence string) string {
	if len(sentence) > 1 && sentence[1] >= 'a' && sentence[1] <= 'z' {
		return strings.ToLower(sentence[:1]) + sentence[1:]
	}
	return sentence
}
