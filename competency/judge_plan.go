package competency

import (
	"fmt"
	"slices"
	"strings"
)

// judgePlan takes for each listed AF pattern the best or the latest plan. Met: every pattern's plan reaches the letter, and none of
// the latest plans, of whatever pattern, is unsafe. On course: half of the patterns or more, and none unsafe lately. Short: fewer, or
// an unsafe one lately. Not enough data: no plan yet.
func (v view) judgePlan(r Requirement, s *RequirementStanding) {
	s.UsedKind = "plan"
	plans := v.plansBy(s)
	s.N = len(plans)
	latest := plans[max(0, len(plans)-r.SafeLast):]
	deciding := map[PlanID]bool{}
	var reached int
	var lacking []string
	for _, pattern := range r.AFPatterns {
		plan, found := decidingPlan(plans, r, func(p GradedPlan) bool { return p.Pattern == pattern })
		if found {
			deciding[plan.ID] = true
		}
		if found && letterRank(plan.Letter) >= letterRank(r.Letter) {
			reached++
			continue
		}
		lacking = append(lacking, nameOf(PatternChoices, string(pattern)))
	}
	unsafe := 0
	for _, p := range latest {
		if p.Unsafe {
			unsafe++
		}
	}
	for _, p := range plans {
		if deciding[p.ID] || slices.ContainsFunc(latest, func(l GradedPlan) bool { return l.ID == p.ID }) {
			s.Used = append(s.Used, string(p.ID))
			continue
		}
		s.leaveOut(string(p.ID), whyPlanIsIdle(r, p))
	}
	s.Value = float64(reached)
	s.State = planState(len(plans), reached, len(r.AFPatterns), unsafe)
	s.Explanation = fmt.Sprintf("%d of %s at %s or better among %s by %s.", reached, plural(len(r.AFPatterns), "AF pattern"), r.Letter, plural(len(plans), "plan"), v.on)
	if unsafe > 0 {
		s.Explanation += fmt.Sprintf(" %d of the last %s unsafe.", unsafe, plural(len(latest), "plan"))
	}
	s.Next = nextPlan(r, lacking, unsafe)
}

// plansBy lists the plans submitted by the day and leaves out the later ones.
func (v view) plansBy(s *RequirementStanding) []GradedPlan {
	var plans []GradedPlan
	for _, p := range v.plans {
		if DayOf(p.SubmittedAt) > v.on {
			s.leaveOut(string(p.ID), "submitted after "+string(v.on))
			continue
		}
		plans = append(plans, p)
	}
	return plans
}

// decidingPlan is the latest of the wanted plans or, where the best counts, the first of those with the highest letter.
func decidingPlan(plans []GradedPlan, r Requirement, wanted func(GradedPlan) bool) (decides GradedPlan, found bool) {
	for _, p := range plans {
		if !wanted(p) {
			continue
		}
		if !found || r.Attempt == AttemptLast || letterRank(p.Letter) > letterRank(decides.Letter) {
			decides, found = p, true
		}
	}
	return decides, found
}

func planState(plans, reached, patterns, unsafe int) State {
	switch {
	case plans == 0:
		return NotEnoughData
	case unsafe > 0:
		return Short
	case reached == patterns:
		return Met
	case 2*reached >= patterns:
		return OnCourse
	}
	return Short
}

func whyPlanIsIdle(r Requirement, p GradedPlan) string {
	switch {
	case !slices.Contains(r.AFPatterns, p.Pattern):
		return nameOf(PatternChoices, string(p.Pattern)) + " AF is not asked for"
	case r.Attempt == AttemptLast:
		return "a later plan for this AF pattern decides"
	}
	return "another plan for this AF pattern is as good or better"
}

func nextPlan(r Requirement, lacking []string, unsafe int) string {
	var parts []string
	if len(lacking) > 0 {
		parts = append(parts, fmt.Sprintf("A plan at %s or better in %s AF.", r.Letter, strings.Join(lacking, ", ")))
	}
	if unsafe > 0 {
		parts = append(parts, fmt.Sprintf("Safe plans until none of the last %d is unsafe.", r.SafeLast))
	}
	return strings.Join(parts, " ")
}
