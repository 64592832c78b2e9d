package competency

import (
	"fmt"
	"math"
	"sync"

	"isthmus/competency/curve"
	"isthmus/competency/interval"
)

// Chart is a learning curve case by case. It learns until it declares adequate, then watches for an alarm; after an alarm it learns anew.
type Chart struct {
	Points         []ChartPoint `json:"points"`
	AdequateLimit  float64      `json:"adequate_limit"` // while learning: reaching it declares the failure rate adequate
	AlarmLimit     float64      `json:"alarm_limit"`    // while watching: reaching it raises the alarm
	AcceptableRate float64      `json:"acceptable_rate"`
	InadequateRate float64      `json:"inadequate_rate"`
	Horizon        int          `json:"horizon_cases"`
	// What the limits promise over the horizon, as probabilities.
	FalseDeclaration float64 `json:"false_declaration"` // an inadequate operator is declared adequate
	TrueDeclaration  float64 `json:"true_declaration"`  // an adequate one is
	FalseAlarm       float64 `json:"false_alarm"`       // an adequate one raises the alarm
	TrueAlarm        float64 `json:"true_alarm"`        // an inadequate one does
	Success          string  `json:"success"`           // what counts as a success, in words
	Method           string  `json:"method"`
}

// ChartMethod names the charts beside their figures.
const ChartMethod = "learning-curve CUSUM (Biau 2008, 10.1002/bjs.6056), then CUSUM of log-likelihood weights (Page 1954); limits from exact run lengths"

// ChartPoint is one case on the chart.
type ChartPoint struct {
	Case     CaseID  `json:"case"`
	N        int     `json:"n"` // counted from 1
	Failure  bool    `json:"failure"`
	Watching bool    `json:"watching"` // false while learning
	Value    float64 `json:"value"`
	Signal   bool    `json:"signal"` // adequate while learning, alarm while watching
}

// chartDesign are both limits of a requirement.
type chartDesign struct{ Adequate, Alarm curve.Design }

// designs remembers limits by what they are designed for: every trainee of a cohort asks for the same ones.
var designs sync.Map

// design finds the smallest limits that keep the two errors the standard allows over its horizon.
func (r Requirement) design() chartDesign {
	key := [5]float64{r.AcceptableRate, r.InadequateRate, float64(r.HorizonCases), r.FalseDeclaration, r.FalseAlarm}
	if known, ok := designs.Load(key); ok {
		return known.(chartDesign)
	}
	adequate, err := curve.LearningLimit(r.AcceptableRate, r.InadequateRate-r.AcceptableRate, r.HorizonCases, r.FalseDeclaration)
	if err != nil {
		return chartDesign{} // the standard is not valid; Validate says why
	}
	alarm, err := curve.WorseningLimit(r.AcceptableRate, r.InadequateRate, r.HorizonCases, r.FalseAlarm)
	if err != nil {
		return chartDesign{}
	}
	known, _ := designs.LoadOrStore(key, chartDesign{adequate, alarm})
	return known.(chartDesign)
}

// judgeCurve runs the chart over all cases by operation day; the states are those of chartTally.
func (v view) judgeCurve(r Requirement, s *RequirementStanding) {
	chosen := v.choose(r.Filter, s)
	if r.LeaveOutLateRecall {
		chosen = s.leaveOutLateRecall(chosen)
	}
	s.use(chosen)
	chart, tally := r.chart(chosen)
	s.Curve = chart
	n := len(chosen)
	if n == 0 {
		s.Explanation, s.Next = fmt.Sprintf("No rated case%s by %s. %s", r.Filter.words(), v.on, chart.promise()), v.andWaiting(fmt.Sprintf("Cases%s %s.", r.Filter.words(), r.wantedWords()))
		return
	}
	s.State = tally.state(v.on.ordinal(), true)
	if s.Value = rounded(tally.value); s.State == Met {
		s.Value = chart.AdequateLimit // reached; how far the watch has risen since is on the chart
	}
	s.Interval = r.failureInterval(chart)
	s.Explanation = r.explainChart(chart, tally.declared, tally.alarmed)
	s.Next = v.andWaiting(fmt.Sprintf("%s%s %s, one after another.", moreCases(chart.toGo()), r.Filter.words(), r.wantedWords()))
}

// chart runs learning and watching in turn over the cases.
func (r Requirement) chart(chosen []seenCase) (*Chart, *chartTally) {
	tally := newChartTally(&r)
	d := tally.limits
	chart := &Chart{
		Points: []ChartPoint{}, AdequateLimit: rounded(d.Adequate.Limit), AlarmLimit: rounded(d.Alarm.Limit), AcceptableRate: r.AcceptableRate, InadequateRate: r.InadequateRate,
		Horizon: r.HorizonCases, FalseDeclaration: rounded(d.Adequate.False), TrueDeclaration: rounded(d.Adequate.True), FalseAlarm: rounded(d.Alarm.False),
		TrueAlarm: rounded(d.Alarm.True), Success: r.hitWords(), Method: ChartMethod,
	}
	for i := range chosen {
		point := tally.step(!r.good(&chosen[i].SignedCase))
		point.Case = chosen[i].ID
		chart.Points = append(chart.Points, point)
	}
	return chart, tally
}

// toGo is how many successes in a row would declare adequate from where the chart stands.
func (c *Chart) toGo() int {
	weights, err := curve.Learning(c.AcceptableRate, c.InadequateRate-c.AcceptableRate)
	if err != nil || len(c.Points) == 0 {
		return 0
	}
	value := 0.0
	if last := c.Points[len(c.Points)-1]; !last.Watching && !last.Signal {
		value = last.Value
	}
	return max(1, int(math.Ceil((c.AdequateLimit-value)/weights.Success-1e-9)))
}

// failureInterval is the Wilson interval of the share of successes over all cases of the chart.
func (r Requirement) failureInterval(chart *Chart) *Interval {
	good := 0
	for _, p := range chart.Points {
		if !p.Failure {
			good++
		}
	}
	p, err := interval.Wilson(good, len(chart.Points), 0.90)
	if err != nil {
		return nil
	}
	return &Interval{Low: rounded(p.Low), High: rounded(p.High), Level: p.Level, Method: p.Method}
}

// explainChart says where the chart stands and what its limits are worth.
func (r Requirement) explainChart(c *Chart, declared, alarmed int) string {
	n, failures := len(c.Points), 0
	for _, p := range c.Points {
		if p.Failure {
			failures++
		}
	}
	text := fmt.Sprintf("%s, %d of them failures. ", cases(n), failures)
	switch {
	case declared > alarmed:
		text += fmt.Sprintf("Declared adequate at case %d, no alarm since.", declared)
	case alarmed > 0:
		text += fmt.Sprintf("Declared adequate at case %d, alarm at case %d.", c.declaredBefore(alarmed), alarmed)
	default:
		text += fmt.Sprintf("The chart stands at %.2f of %.2f.", c.Points[n-1].Value, c.AdequateLimit)
	}
	return text + " " + c.promise()
}

// promise says what the limits are worth: a limit means nothing without its horizon.
func (c *Chart) promise() string {
	return fmt.Sprintf("The limit is set for %d cases: by then an operator failing %s is declared adequate with a chance of %s, one failing %s with %s. "+
		"Once declared, over as many cases the alarm rises with a chance of %s for an operator failing %s, of %s for one failing %s.",
		c.Horizon, percent(c.InadequateRate), percent(c.FalseDeclaration), percent(c.AcceptableRate), percent(c.TrueDeclaration),
		percent(c.FalseAlarm), percent(c.AcceptableRate), percent(c.TrueAlarm), percent(c.InadequateRate))
}

// declaredBefore is the case of the last declaration before a case.
func (c *Chart) declaredBefore(n int) int {
	at := 0
	for _, p := range c.Points[:n-1] {
		if p.Signal && !p.Watching {
			at = p.N
		}
	}
	return at
}
