package outcome

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"isthmus/competency"
	"isthmus/competency/survival"
)

// Pacemakers is how many got a pacemaker over time in groups, with death in the way.
type Pacemakers struct {
	By     By      `json:"by"`
	Groups []Paced `json:"groups"`
	Says   string  `json:"says"`
}

// Paced is one group.
type Paced struct {
	ID      string              `json:"id"`
	N       int                 `json:"n"`
	Events  int                 `json:"events"`
	Deaths  int                 `json:"deaths"` // without a pacemaker before
	At      *At                 `json:"at,omitempty"`
	Cases   []competency.CaseID `json:"cases,omitempty"`
	Failed  []competency.CaseID `json:"failed,omitempty"` // with a pacemaker
	Refused string              `json:"refused,omitempty"`
	Hidden  bool                `json:"hidden,omitempty"`

	Steps []survival.Incidence `json:"-"`
	Followed
}

// PacemakerMethod names what the figures of Pacemakers are.
const PacemakerMethod = "Cumulative incidence with death as competing event (Aalen and Johansen), log-log limits; no test between groups is made"

// PacemakersBy estimates the cumulative incidence of a pacemaker by group, told at a month.
func PacemakersBy(courses []Course, by By, month int) Pacemakers {
	p := Pacemakers{By: by, Groups: []Paced{}}
	var parts []string
	for _, g := range by.groups(courses) {
		one := pacedOf(g, month)
		p.Groups = append(p.Groups, one)
		if one.At != nil {
			parts = append(parts, fmt.Sprintf("%s after %s (%s, %d followed so long)", percent(one.At.Share), Words(one.ID), counted(one.N, "operation"), one.At.AtRisk))
		}
	}
	p.Says = "Too few operations have been followed to say how many need a pacemaker."
	if len(parts) > 0 {
		p.Says = fmt.Sprintf("With a pacemaker by month %d: %s.", month, strings.Join(parts, ", "))
	}
	return p
}

// pacedOf estimates one group.
func pacedOf(g group, month int) Paced {
	one := Paced{ID: g.id, N: len(g.courses), Cases: casesOf(g.courses), Refused: tooFew(len(g.courses))}
	var outcomes []survival.Outcome
	last := 0.0
	for _, c := range g.courses {
		fate, cause := c.Pacemaker, 0
		switch fate.Event {
		case "pacemaker":
			cause, one.Events, one.Failed = 1, one.Events+1, append(one.Failed, c.Case)
		case "death":
			cause, one.Deaths = 2, one.Deaths+1
		}
		outcomes = append(outcomes, survival.Outcome{Time: fate.Month, Cause: cause})
		one.Subjects = append(one.Subjects, survival.Subject{Time: fate.Month, Event: cause > 0})
		last = max(last, fate.Month)
	}
	if one.Refused != "" {
		return one
	}
	table, err := survival.CumulativeIncidence(outcomes, 2)
	if err != nil {
		one.Refused = err.Error()
		return one
	}
	one.Steps = table[0]
	if float64(month) <= last {
		at := At{Month: month, AtRisk: survival.AtRisk(one.Subjects, []float64{float64(month)})[0]}
		for _, step := range one.Steps {
			if step.Time <= float64(month) {
				low, high := IncidenceLimits(step)
				at.Share, at.Low, at.High = rounded(step.Share), limit(low), limit(high)
			}
		}
		one.At = &at
	}
	return one
}

// IncidenceLimits are the limits of a cumulative incidence F on the log-log scale, F^exp(-+ z se / (F ln F)), which keep within 0 and 1
// (Choudhury 2002, Stat Med 21:1129, from memory; R's survfit with conf.type "log-log"). NaN where nothing has happened yet, or to everyone.
func IncidenceLimits(step survival.Incidence) (low, high float64) {
	f := step.Share
	if f <= 0 || f >= 1 {
		return math.NaN(), math.NaN()
	}
	reach := distuv.UnitNormal.Quantile((1+Level)/2) * step.StandardError / (f * math.Log(f)) // negative
	return math.Pow(f, math.Exp(-reach)), math.Pow(f, math.Exp(reach))
}
