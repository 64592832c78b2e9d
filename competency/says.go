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
	case KindLevel, KindCompleteness:
		return r.saysShare()
	case KindCurve:
		return r.saysCurve()
	case KindPlan:
		return r.saysPlan()
	case KindFollowUp:
		return r.saysFollowUp()
	case KindQuiz:
		return r.saysQuiz()
	case KindDependability:
		return r.saysDependability()
	}
	return ""
}

func (r Requirement) saysShare() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s in at least %s of the last %s%s", r.hitWords(), percent(r.Share), cases(r.Last), r.Filter.words())
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

// wantedWords say what further cases must be.
func (r Requirement) wantedWords() string {
	if r.Kind == KindCompleteness || r.Scale == ScaleComplete {
		return "with every line complete and block tested"
	}
	return fmt.Sprintf("at level %d or above", r.Level)
}

// saysCurve puts the learning curve in words, with the errors its limits are designed for.
func (r Requirement) saysCurve() string {
	return fmt.Sprintf("The learning curve has shown a failure rate of %s rather than %s%s, and no alarm since; a failure is a case without: %s. "+
		"Over %d cases an operator at %s is declared adequate with a chance of at most %s, and one at %s raises an alarm with at most %s.",
		percent(r.AcceptableRate), percent(r.InadequateRate), inCases(r.Filter), lowerFirst(r.hitWords()), r.HorizonCases, percent(r.InadequateRate),
		percent(r.FalseDeclaration), percent(r.AcceptableRate), percent(r.FalseAlarm))
}

// inCases is the filter as a place in a sentence.
func inCases(f Filter) string {
	if f.empty() {
		return ""
	}
	return " in signed-off cases" + f.words()
}

func lowerFirst(text string) string { return strings.ToLower(text[:1]) + text[1:] }

// hitWords name what counts as a success: the scale and the level, "Help given at level 4 (performed with spoken advice) or above", or
// that the lines are complete.
func (r Requirement) hitWords() string {
	if r.Kind == KindCompleteness || r.Scale == ScaleComplete {
		return "Every line complete and block tested"
	}
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
