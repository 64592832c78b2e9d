package competency

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
)

// Stand judges the evidence about one trainee against a standard on a day. It is pure: the same evidence in any order, the same
// standard and the same day give the same standing. Evidence after the day is left out, so a past day can be looked at again; a
// withdrawn case counts on no day, because its record is known to be wrong.
//
// For each requirement, the evidence of its kind is either used or left out with the reason, and never both.
//
// A further good case never takes from a count, and withdrawing one never adds to it. A share or a learning curve can rise when a failure is
// withdrawn, and recency can turn from lapsed to short: that is in their nature. So a withdrawn case stays named among what is left out, and
// the policies let nobody withdraw a signed case of their own.
func Stand(standard Standard, evidence Evidence, on Day) Standing {
	v := newView(evidence, on)
	standing := Standing{
		Standard: standard.ID, StandardVersion: standard.Version, Example: standard.Example, On: string(on),
		Requirements: make([]RequirementStanding, len(standard.Requirements)),
		EvidenceHash: EvidenceHash(evidence), Caution: atrium.Caution,
	}
	met := 0
	for i, r := range standard.Requirements {
		standing.Requirements[i] = v.judge(r)
		if standing.Requirements[i].State == Met {
			met++
		}
	}
	standing.Ready = met > 0 && met == len(standard.Requirements)
	standing.Overall = overall(standing.Requirements, met)
	return standing
}

// overall puts the standing in words. People decide: the words never go beyond the committee's door.
func overall(requirements []RequirementStanding, met int) string {
	if met > 0 && met == len(requirements) {
		return fmt.Sprintf("Ready for committee review: %s met.", ofAll(met))
	}
	var missing []string
	for _, state := range []State{Lapsed, Short, OnCourse, NotEnoughData} {
		var ids []string
		for _, r := range requirements {
			if r.State == state {
				ids = append(ids, Words(r.Requirement))
			}
		}
		if len(ids) > 0 {
			missing = append(missing, Words(string(state))+": "+strings.Join(ids, ", "))
		}
	}
	return fmt.Sprintf("Not ready for committee review: %d of %s met; %s.", met, plural(len(requirements), "requirement"), strings.Join(missing, "; "))
}

func ofAll(n int) string {
	if n == 1 {
		return "the 1 requirement is"
	}
	return fmt.Sprintf("all %d requirements are", n)
}

// view is the evidence in its one order, as seen from a day.
type view struct {
	on      Day
	cases   []seenCase // oldest operation first
	pending []PendingCase
	plans   []GradedPlan // earliest submitted first
	quizzes []QuizResult // earliest submitted first
	ratings []RatingComponents

	followUps map[CaseID][]FollowUpOnRecord // known by the day, the newest version of each
	months    []int                         // of the schedule
}

// seenCase is a case with its days: the earliest and the latest the operation can have been on, and the day it was signed.
type seenCase struct {
	SignedCase
	first, day, signed Day
	at                 int // day, counted from 1970-01-01
}

func newView(evidence Evidence, on Day) view {
	v := view{
		on: on, pending: slices.Clone(evidence.Pending), plans: slices.Clone(evidence.Plans), quizzes: slices.Clone(evidence.Quizzes), ratings: evidence.Ratings,
		followUps: evidence.followUpsOn(on), months: evidence.FollowUpMonths,
	}
	for _, c := range evidence.casesOn(on) {
		period, _ := ParsePeriod(c.OperatedOn)
		day := latestDay(c.OperatedOn, c.SubmittedAt)
		v.cases = append(v.cases, seenCase{c, period.First, day, DayOf(c.SignedAt), day.ordinal()})
	}
	slices.SortFunc(v.cases, func(a, b seenCase) int {
		return cmp.Or(cmp.Compare(a.day, b.day), a.SignedAt.Compare(b.SignedAt), cmp.Compare(a.ID, b.ID))
	})
	slices.SortFunc(v.pending, func(a, b PendingCase) int { return cmp.Or(cmp.Compare(a.ID, b.ID), cmp.Compare(a.Status, b.Status)) })
	slices.SortFunc(v.plans, func(a, b GradedPlan) int {
		return cmp.Or(a.SubmittedAt.Compare(b.SubmittedAt), cmp.Compare(a.Attempt, b.Attempt), cmp.Compare(a.ID, b.ID))
	})
	slices.SortFunc(v.quizzes, byTime)
	return v
}

// judge finds a requirement's state by its kind.
func (v view) judge(r Requirement) RequirementStanding {
	s := RequirementStanding{
		Requirement: r.ID, Kind: r.Kind, Says: r.Says(), State: NotEnoughData, Target: r.Target(), Unit: r.Unit(),
		Used: []string{}, UsedKind: "case", LeftOut: []LeftOut{},
	}
	switch r.Kind {
	case KindCount:
		v.judgeCount(r, &s)
	case KindLevel, KindCompleteness:
		v.judgeLevel(r, &s)
	case KindPlan:
		v.judgePlan(r, &s)
	case KindRecency:
		v.judgeRecency(r, &s)
	case KindCurve:
		v.judgeCurve(r, &s)
	case KindFollowUp:
		v.judgeFollowUp(r, &s)
	case KindQuiz:
		v.judgeQuiz(r, &s)
	case KindDependability:
		v.judgeDependability(r, &s)
	}
	s.Value = rounded(s.Value)
	if s.State == Met {
		s.Next = ""
	}
	return s
}

// Target is what Value of the standing is compared with.
func (r Requirement) Target() float64 {
	switch r.Kind {
	case KindLevel, KindCompleteness, KindFollowUp:
		return r.Share
	case KindDependability:
		return r.Phi
	case KindPlan:
		return float64(len(r.AFPatterns))
	case KindCurve:
		return rounded(r.design().Adequate.Limit)
	}
	return float64(r.AtLeast)
}

// Unit names what Value and Target count: cases, share (0 to 1), patterns, topics, chart for the height of a learning curve, or phi (0 to 1).
func (r Requirement) Unit() string {
	switch r.Kind {
	case KindLevel, KindCompleteness, KindFollowUp:
		return "share"
	case KindQuiz:
		return "topics"
	case KindDependability:
		return "phi"
	case KindPlan:
		return "patterns"
	case KindCurve:
		return "chart"
	}
	return "cases"
}

// choose splits the cases into those the filter lets through and those left out, pending ones included.
func (v view) choose(f Filter, s *RequirementStanding) []seenCase {
	var chosen []seenCase
	for _, c := range v.cases {
		if reason := v.whyNot(f, c); reason != "" {
			s.leaveOut(string(c.ID), reason)
			continue
		}
		chosen = append(chosen, c)
	}
	for _, p := range v.pending {
		s.leaveOut(string(p.ID), pendingReason(p.Status))
	}
	return chosen
}

// whyNot says why a case is no evidence for a filter on the view's day; empty when it is.
func (v view) whyNot(f Filter, c seenCase) string {
	switch {
	case c.Withdrawn:
		return "withdrawn"
	case c.day == "":
		return fmt.Sprintf("the operation date %q cannot be read", c.OperatedOn)
	case c.signed > v.on:
		return "signed off after " + string(v.on)
	case c.first > v.on:
		return "operated after " + string(v.on)
	case f.misses(&c.SignedCase) != "":
		return wordsOfMiss(f.misses(&c.SignedCase), c)
	case f.PeriodDays > 0 && v.on.ordinal()-c.at > f.PeriodDays:
		return outsideWindow(f.PeriodDays)
	}
	return ""
}

// misses names the first list of the filter that does not hold the case; empty when all do. The period is the view's to look at.
func (f *Filter) misses(c *SignedCase) string {
	switch {
	case len(f.Role) > 0 && !slices.Contains(f.Role, c.Role):
		return "role"
	case len(f.Scope) > 0 && !slices.Contains(f.Scope, c.Scope):
		return "scope"
	case len(f.AFPattern) > 0 && !slices.Contains(f.AFPattern, c.Pattern):
		return "af_pattern"
	case len(f.Operation) > 0 && !slices.Contains(f.Operation, c.Operation):
		return "operation"
	}
	return ""
}

// wordsOfMiss says what a case is that the named list does not hold.
func wordsOfMiss(list string, c seenCase) string {
	switch list {
	case "role":
		return "role " + string(c.Role)
	case "scope":
		return "scope " + nameOf(ScopeChoices, string(c.Scope))
	case "af_pattern":
		return nameOf(PatternChoices, string(c.Pattern)) + " AF"
	}
	return "operation " + strings.ToLower(nameOf(Operations, c.Operation))
}

func outsideWindow(days int) string { return fmt.Sprintf("operated more than %d days before", days) }

// pendingReason says why a case in some state is no evidence.
func pendingReason(status CaseStatus) string {
	switch status {
	case CaseDraft:
		return "a draft, not submitted"
	case CaseSubmitted:
		return "not signed off yet"
	case CaseReturned:
		return "returned, not submitted again"
	case CaseWithdrawn:
		return "withdrawn"
	}
	return Words(string(status))
}

// waiting counts the submitted cases that wait for a signature.
func (v view) waiting() int {
	n := 0
	for _, p := range v.pending {
		if p.Status == CaseSubmitted {
			n++
		}
	}
	return n
}

// andWaiting adds to a sentence that signatures alone may move it.
func (v view) andWaiting(sentence string) string {
	switch n := v.waiting(); n {
	case 0:
		return sentence
	case 1:
		return sentence + " 1 submitted case is waiting for sign-off."
	default:
		return fmt.Sprintf("%s %d submitted cases are waiting for sign-off.", sentence, n)
	}
}

// use records evidence as used.
func (s *RequirementStanding) use(chosen []seenCase) {
	for _, c := range chosen {
		s.Used = append(s.Used, string(c.ID))
	}
	s.N = len(chosen)
}

// leaveOut records evidence as left out, with the reason.
func (s *RequirementStanding) leaveOut(id, reason string) {
	s.LeftOut = append(s.LeftOut, LeftOut{ID: id, Kind: s.UsedKind, Reason: reason})
}

// rounded is a figure to four decimals, which is how it is stored and shown.
func rounded(value float64) float64 { return math.Round(value*1e4) / 1e4 }
