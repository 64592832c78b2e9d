package competency

import (
	"errors"
	"fmt"
	"math"

	"isthmus/competency/curve"
	"isthmus/competency/interval"
)

// LearningMethod names the fitted curve beside its figures.
const LearningMethod = "logistic curve on the logarithm of the case number, by maximum likelihood (McCullagh and Nelder 1989); limits of the case at which the target is reached by Fieller (1954, J R Stat Soc B 16:175)"

// SuccessRule is what counts as a success, and in which cases it is looked for.
type SuccessRule struct {
	Scale              string `json:"scale"`           // help_given, supervision_next or complete
	Level              int    `json:"level,omitempty"` // 2 to 5; none with complete
	Filter             Filter `json:"filter,omitzero"`
	LeaveOutLateRecall bool   `json:"leave_out_late_recall,omitempty"`
}

// requirement is the rule as a line of a standard, which knows how to choose and judge cases.
func (r SuccessRule) requirement() Requirement {
	return Requirement{Kind: KindCurve, Scale: r.Scale, Level: r.Level, Filter: r.Filter, LeaveOutLateRecall: r.LeaveOutLateRecall}
}

// Says is the rule in words.
func (r SuccessRule) Says() string { return r.requirement().hitWords() + inCases(r.Filter) + "." }

// Rule is what counts as a success on a requirement of kind curve, level or completeness.
func (r Requirement) Rule() SuccessRule {
	if r.Kind == KindCompleteness {
		return SuccessRule{Scale: ScaleComplete, Filter: r.Filter}
	}
	return SuccessRule{Scale: r.Scale, Level: r.Level, Filter: r.Filter, LeaveOutLateRecall: r.LeaveOutLateRecall}
}

// Attained is one case with its outcome under a rule.
type Attained struct {
	Case    CaseID `json:"case"`
	N       int    `json:"n"` // counted from 1 by operation day
	Success bool   `json:"success"`
}

// Learning is a trainee's successes from case to case with the curve fitted to them, or the reason why none is.
type Learning struct {
	Rule      SuccessRule `json:"rule"`
	Says      string      `json:"says"` // what counts as a success
	Cases     []Attained  `json:"cases"`
	Successes int         `json:"successes"`
	Blocks    []Block     `json:"blocks"`           // the shares as they were, five cases at a time
	Fitted    *Fitted     `json:"fitted,omitempty"` // nil when refused
	Refused   string      `json:"refused,omitempty"`
}

// Block is the share of successes in some successive cases with its Wilson interval.
type Block struct {
	From  int     `json:"from"`
	To    int     `json:"to"`
	Hits  int     `json:"hits"`
	Share float64 `json:"share"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// Fitted is a fitted learning curve and where it reaches the target.
type Fitted struct {
	Points []FittedPoint `json:"points"`
	Level  float64       `json:"level"`  // of the band and the limits
	Target float64       `json:"target"` // share of successes
	At     *float64      `json:"at,omitempty"`
	Low    *float64      `json:"low,omitempty"`
	High   *float64      `json:"high,omitempty"` // nil: no upper limit
	Says   string        `json:"says"`           // the projection in words
	Method string        `json:"method"`
}

// FittedPoint is the chance of a success at a case, with its limits.
type FittedPoint struct {
	N     float64 `json:"n"`
	Share float64 `json:"share"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

const (
	blockCases     = 5  // as few as a share is put in words with
	fewestForCurve = 10 // two coefficients from fewer outcomes say nothing; common practice, no source
	bandLevel      = 0.90
	farthest       = 10_000 // cases; a projection beyond it is no plan
)

// Learn follows a trainee's successes under a rule over the cases known on a day, oldest operation first, and fits the chance of a success to
// the case number. target is the share of successes the projection asks for. It refuses a curve with the reason when there are too few cases,
// or when they are all alike, for then no curve is better than another.
func Learn(evidence Evidence, rule SuccessRule, target float64, on Day) Learning {
	r := rule.requirement()
	var unused RequirementStanding
	chosen := newView(evidence, on).choose(r.Filter, &unused)
	if r.LeaveOutLateRecall {
		chosen = unused.leaveOutLateRecall(chosen)
	}
	good := make([]bool, len(chosen))
	for i := range chosen {
		good[i] = r.good(&chosen[i].SignedCase)
	}
	l := Learning{Rule: rule, Says: rule.Says(), Cases: make([]Attained, len(chosen)), Blocks: blocks(good)}
	failures := make([]bool, len(chosen))
	for i, c := range chosen {
		l.Cases[i] = Attained{Case: c.ID, N: i + 1, Success: good[i]}
		failures[i] = !good[i]
		if good[i] {
			l.Successes++
		}
	}
	if len(chosen) < fewestForCurve {
		l.Refused = fmt.Sprintf("A curve needs at least %d cases; there %s.", fewestForCurve, isAre(len(chosen)))
		return l
	}
	fit, err := curve.OnLogCase(failures)
	switch {
	case errors.Is(err, curve.ErrSeparated) && (l.Successes == 0 || l.Successes == len(chosen)):
		l.Refused = fmt.Sprintf("All %d cases ended alike: no curve fits better than a level line.", len(chosen))
	case err != nil:
		l.Refused = "Every failure comes before every success, or after: any steep curve fits, so none is drawn."
	default:
		l.Fitted = fitted(fit, len(chosen), target)
	}
	return l
}

func isAre(n int) string {
	if n == 1 {
		return "is 1"
	}
	return fmt.Sprintf("are %d", n)
}

// blocks are the shares of successive cases, the last block shorter when they do not come out even.
func blocks(good []bool) []Block {
	made := []Block{}
	for from := 0; from < len(good); from += blockCases {
		to := min(from+blockCases, len(good))
		b := Block{From: from + 1, To: to}
		for _, hit := range good[from:to] {
			if hit {
				b.Hits++
			}
		}
		p, err := interval.Wilson(b.Hits, to-from, bandLevel)
		if err != nil {
			continue // a block is never empty
		}
		b.Share, b.Low, b.High = rounded(p.Estimate), rounded(p.Low), rounded(p.High)
		made = append(made, b)
	}
	return made
}

// fitted reads the curve off at each case, with a band that is normal on the scale of log odds, and projects it to the target.
func fitted(fit curve.Fit, n int, target float64) *Fitted {
	f := &Fitted{Level: bandLevel, Target: target, Method: LearningMethod}
	z := math.Sqrt2 * math.Erfinv(bandLevel)
	for i := 1; i <= n; i++ {
		x := math.Log(float64(i))
		line := fit.Coefficient[0] + fit.Coefficient[1]*x
		se := math.Sqrt(max(0, fit.Covariance.At(0, 0)+2*x*fit.Covariance.At(0, 1)+x*x*fit.Covariance.At(1, 1)))
		f.Points = append(f.Points, FittedPoint{float64(i), rounded(chance(line)), rounded(chance(line - z*se)), rounded(chance(line + z*se))})
	}
	f.project(fit, n)
	return f
}

func chance(logOdds float64) float64 { return 1 / (1 + math.Exp(-logOdds)) }

// project says at which case the target is reached, with its limits, or that nobody can say.
func (f *Fitted) project(fit curve.Fit, n int) {
	share := percent(f.Target)
	target, err := fit.Reaches(0, 1, f.Target, f.Level)
	if err != nil {
		f.Says = fmt.Sprintf("Cannot say when %s is reached: the curve does not rise.", share)
		return
	}
	at, low, high := math.Exp(target.At), math.Exp(target.Low), math.Exp(target.High)
	if !(at <= farthest) {
		f.Says = fmt.Sprintf("Cannot say when %s is reached: the curve is nearly level.", share)
		return
	}
	at, low = max(1, at), max(1, low)
	if math.IsNaN(low) || low > at {
		low = 1
	}
	f.At, f.Low = ref(rounded(at)), ref(rounded(low))
	limit := "no upper limit"
	if target.Bounded && high <= farthest {
		f.High = ref(rounded(high))
		limit = fmt.Sprintf("%.0f", math.Ceil(high))
	}
	tense := "is reached"
	if at <= float64(n) {
		tense = "was reached"
	}
	f.Says = fmt.Sprintf("By the curve %s %s at case %.0f (%s limits: %.0f to %s).", share, tense, math.Ceil(at), percent(f.Level), math.Floor(low), limit)
}

func ref(value float64) *float64 { return &value }
