package competency

import (
	"math"
	"slices"
	"strings"

	"isthmus/assessment/strict"
	"isthmus/competency/interval"
)

// validate reports what is wrong with one requirement.
func (r Requirement) validate() strict.Faults {
	var faults strict.Faults
	checkID(&faults, "id", r.ID)
	switch r.Kind {
	case KindCount:
		checkRange(&faults, "at_least", r.AtLeast, 1, 1000)
	case KindRecency:
		checkRange(&faults, "at_least", r.AtLeast, 1, 1000)
		checkRange(&faults, "within_days", r.WithinDays, 1, 3650)
		if r.Filter.PeriodDays != 0 {
			faults.Add("filter.period_days", "says the same as within_days: leave it out")
		}
	case KindLevel:
		r.validateLevel(&faults)
	case KindPlan:
		r.validatePlan(&faults)
	case KindCompleteness:
		r.validateWindow(&faults)
	case KindCurve:
		r.validateCurve(&faults)
	default:
		faults.Add("kind", "%q is unknown: use count, level, completeness, curve, plan or recency", r.Kind)
		return faults
	}
	for _, f := range r.fields() {
		if f.set && !slices.Contains(strings.Fields(f.kinds), r.Kind) {
			faults.Add(f.name, "does not belong to a requirement of kind %s: leave it out", r.Kind)
		}
	}
	faults.Join("filter", r.Filter.validate())
	return faults
}

// setField is a field of a requirement, whether it is set, and the kinds it belongs to.
type setField struct {
	name  string
	set   bool
	kinds string
}

func (r Requirement) fields() []setField {
	return []setField{
		{"filter", !r.Filter.empty(), "count level recency completeness curve"}, {"at_least", r.AtLeast != 0, "count recency"}, {"within_days", r.WithinDays != 0, "recency"},
		{"scale", r.Scale != "", "level curve"}, {"level", r.Level != 0, "level curve"}, {"share", r.Share != 0, "level completeness"},
		{"last", r.Last != 0, "level completeness"}, {"lower_bound", r.LowerBound != 0, "level completeness"}, {"confidence", r.Confidence != 0, "level completeness"},
		{"assessors", r.Assessors != 0, "level"}, {"leave_out_late_recall", r.LeaveOutLateRecall, "level curve"},
		{"acceptable_rate", r.AcceptableRate != 0, "curve"}, {"inadequate_rate", r.InadequateRate != 0, "curve"}, {"horizon_cases", r.HorizonCases != 0, "curve"},
		{"false_declaration", r.FalseDeclaration != 0, "curve"}, {"false_alarm", r.FalseAlarm != 0, "curve"}, {"letter", r.Letter != "", "plan"}, {"af_patterns", len(r.AFPatterns) > 0, "plan"},
		{"attempt", r.Attempt != "", "plan"}, {"safe_last", r.SafeLast != 0, "plan"},
	}
}

func (r Requirement) validateLevel(faults *strict.Faults) {
	if r.Scale != ScaleHelpGiven && r.Scale != ScaleSupervisionNext {
		faults.Add("scale", "must be %s or %s, not %q", ScaleHelpGiven, ScaleSupervisionNext, r.Scale)
	}
	checkRange(faults, "level", r.Level, 2, 5)
	r.validateWindow(faults)
	if r.Assessors < 0 || r.Assessors > max(r.Last, 0) {
		faults.Add("assessors", "must be 0 to the window of %d cases, not %d", r.Last, r.Assessors)
	}
}

// validateWindow checks a share of the last cases with its lower bound.
func (r Requirement) validateWindow(faults *strict.Faults) {
	checkRange(faults, "last", r.Last, 1, 200)
	if !(r.Share > 0 && r.Share <= 1) {
		faults.Add("share", "must be above 0 and at most 1, not %g", r.Share)
	}
	switch {
	case r.LowerBound == 0 && r.Confidence != 0:
		faults.Add("confidence", "without a lower_bound it says nothing: leave it out")
	case r.LowerBound == 0:
	case !(r.LowerBound > 0 && r.LowerBound < 1):
		faults.Add("lower_bound", "must lie between 0 and 1, not %g", r.LowerBound)
	case !(r.Confidence >= 0.5 && r.Confidence < 1):
		faults.Add("confidence", "must be 0.5 or more and below 1, not %g", r.Confidence)
	default:
		if best, err := interval.Wilson(r.Last, r.Last, r.Confidence); err == nil && best.Low < r.LowerBound {
			faults.Add("lower_bound", "cannot be reached: %d good cases of %d give %.2f at most: raise last or lower the bound", r.Last, r.Last, math.Floor(best.Low*100)/100)
		}
	}
}

// mostHorizon bounds the horizon of a learning curve; nobody is in training for more cases.
const mostHorizon = 500

func (r Requirement) validateCurve(faults *strict.Faults) {
	switch r.Scale {
	case ScaleHelpGiven, ScaleSupervisionNext:
		checkRange(faults, "level", r.Level, 2, 5)
	case ScaleComplete:
		if r.Level != 0 {
			faults.Add("level", "does not belong to lines complete: leave it out")
		}
	default:
		faults.Add("scale", "must be %s, %s or %s, not %q", ScaleHelpGiven, ScaleSupervisionNext, ScaleComplete, r.Scale)
	}
	checkRange(faults, "horizon_cases", r.HorizonCases, 10, mostHorizon)
	between := func(field string, value, least, most float64) {
		if !(value >= least && value <= most) {
			faults.Add(field, "must be %g to %g, not %g", least, most, value)
		}
	}
	between("acceptable_rate", r.AcceptableRate, 0.01, 0.8)
	between("inadequate_rate", r.InadequateRate, 0.02, 0.95)
	between("false_declaration", r.FalseDeclaration, 0.005, 0.5)
	between("false_alarm", r.FalseAlarm, 0.005, 0.5)
	if r.InadequateRate < r.AcceptableRate+0.01 {
		faults.Add("inadequate_rate", "must be above the acceptable rate of %g by 0.01 or more", r.AcceptableRate)
	}
}

func (r Requirement) validatePlan(faults *strict.Faults) {
	if letterRank(r.Letter) < 0 {
		faults.Add("letter", "%q is no letter: use one of %s", r.Letter, strings.Join(letters, ", "))
	}
	if len(r.AFPatterns) == 0 {
		faults.Add("af_patterns", "must list at least one AF pattern")
	}
	checkListed(faults, "af_patterns", r.AFPatterns, PatternChoices)
	if r.Attempt != AttemptBest && r.Attempt != AttemptLast {
		faults.Add("attempt", "must be best or last, not %q", r.Attempt)
	}
	if r.SafeLast < 0 || r.SafeLast > 100 {
		faults.Add("safe_last", "must be 0 to 100, not %d", r.SafeLast)
	}
}
