package service

import (
	"fmt"
	"strings"

	"isthmus/competency"
)

// stalledDays is after how many days without a case a trainee is asked about (common practice, no source).
const stalledDays = 60

// The urgencies, most pressing first.
const (
	urgentLapsed = iota
	urgentStalled
	urgentReturned
	urgentReady
	notUrgent
)

// attention says in one sentence what a trainee needs from somebody first, and how urgent that is. The sentence is empty when nothing is
// needed.
func attention(standing competency.Standing, evidence competency.Evidence, since, on competency.Day) (int, string) {
	for _, requirement := range standing.Requirements {
		if requirement.State == competency.Lapsed {
			return urgentLapsed, fmt.Sprintf("Lapsed: %s.", strings.TrimSuffix(lowerFirst(requirement.Says), "."))
		}
	}
	last := lastOperation(evidence, on)
	switch {
	case last == "" && on.DaysSince(since) > stalledDays:
		return urgentStalled, fmt.Sprintf("No case since joining %d days ago.", on.DaysSince(since))
	case last != "" && on.DaysSince(last) > stalledDays:
		return urgentStalled, fmt.Sprintf("No case for %d days.", on.DaysSince(last))
	}
	switch n := waitingIn(evidence).Returned; {
	case n == 1:
		return urgentReturned, "1 returned case waits for the trainee."
	case n > 1:
		return urgentReturned, fmt.Sprintf("%d returned cases wait for the trainee.", n)
	case standing.Ready:
		return urgentReady, "Ready for committee review."
	}
	return notUrgent, ""
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
