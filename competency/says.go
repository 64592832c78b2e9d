package competency

import (
	"fmt"
	"strings"
)

// Says is the requirement in plain words.
func (r Requirement) Says() string {
	switch r.Kind {
	case KindCount:
		return fmt.Sprintf("At least %s%s.", cases(r.AtLeast), r.Filter.words())
	case KindRecency:
		return fmt.Sprintf("At least %s%s operated within the last %d days.", cases(r.AtLeast), r.Filter.words(), r.WithinDays)
	case KindLevel:
		return r.saysLevel()
	case KindPlan:
		return r.saysPlan()
	}
	return ""
}

func (r Requirement) saysLevel() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s in at least %s of the last %s%s", r.levelWords(), percent(r.Share), cases(r.Last), r.Filter.words())
	if r.LowerBound > 0 {
		fmt.Fprintf(&b, ", the lower limit of the %s interval at %s or above", percent(r.Confidence), percent(r.LowerBound))
	}
	if r.Assessors > 1 {
		fmt.Fprintf(&b, ", from at least %d assessors", r.Assessors)
	}
	if r.LeaveOutLateRecall {
		b.WriteString("; late recall left out")
	}
	return b.String() + "."
}

// levelWords names the scale and the level: "Help given at level 4 (performed with spoken advice) or above".
func (r Requirement) levelWords() string {
	scale, levels := "Help given", HelpLevels
	if r.Scale == ScaleSupervisionNext {
		scale, levels = "Supervision next time", SupervisionLevels
	}
	for _, l := range levels {
		if l.Level == r.Level {
			return fmt.Sprintf("%s at level %d (%s) or above", scale, l.Level, strings.ToLower(l.Name))
		}
	}
	return scale
}

func (r Requirement) saysPlan() string {
	patterns := make([]string, len(r.AFPatterns))
	for i, p := range r.AFPatterns {
		patterns[i] = nameOf(PatternChoices, string(p))
	}
	attempt := "The best plan"
	if r.Attempt == AttemptLast {
		attempt = "The latest plan"
	}
	orBetter := r.Letter + " or better"
	if r.Letter == letters[len(letters)-1] {
		orBetter = r.Letter
	}
	says := fmt.Sprintf("%s graded %s in each of: %s AF", attempt, orBetter, strings.Join(patterns, ", "))
	if r.SafeLast > 0 {
		says += fmt.Sprintf("; none unsafe among the last %s", plural(r.SafeLast, "plan"))
	}
	return says + "."
}

// words are the filter after "signed-off cases".
func (f Filter) words() string {
	var parts []string
	if len(f.Role) > 0 {
		parts = append(parts, "as "+joined(f.Role, RoleChoices))
	}
	if len(f.Scope) > 0 {
		parts = append(parts, "with scope "+joined(f.Scope, ScopeChoices))
	}
	if len(f.AFPattern) > 0 {
		parts = append(parts, "in "+joined(f.AFPattern, PatternChoices)+" AF")
	}
	if len(f.Operation) > 0 {
		parts = append(parts, "at "+joined(f.Operation, Operations)+" operations")
	}
	if f.PeriodDays > 0 {
		parts = append(parts, fmt.Sprintf("operated within the last %d days", f.PeriodDays))
	}
	if len(parts) == 0 {
		return ""
	}
	return " " + strings.Join(parts, ", ")
}

// joined writes values in words: "box or biatrial set".
func joined[T ~string](values []T, list []Choice) string {
	names := make([]string, len(values))
	for i, v := range values {
		names[i] = strings.ToLower(nameOf(list, string(v)))
	}
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}

// cases writes a number of signed-off cases.
func cases(n int) string { return plural(n, "signed-off case") }

// moreCases writes a number of cases still wanting.
func moreCases(n int) string { return plural(n, "more signed-off case") }

// plural writes a number with its noun.
func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// percent writes a share.
func percent(share float64) string { return fmt.Sprintf("%.3g %%", 100*share) }
