package service

import (
	"isthmus/competency"
	"isthmus/policies"
)

// CohortTrainee is one row of the grid.
type CohortTrainee struct {
	ID              competency.PersonID `json:"id"`
	Name            string              `json:"name"`
	Since           competency.Day      `json:"since"`
	Until           competency.Day      `json:"until,omitempty"` // the last day as a trainee, where one is set
	Year            int                 `json:"year"`            // of training, from 1
	Site            string              `json:"site,omitempty"`  // of the rotation on the day
	StandardVersion int                 `json:"standard_version"`
	Example         bool                `json:"example,omitempty"` // the standard is labelled as an example
	Overall         string              `json:"overall"`
	Ready           bool                `json:"ready"`
	Concern         Concern             `json:"concern,omitempty"`
	Attention       string              `json:"attention"` // one sentence; empty when nothing is needed
	Lines           []CohortLine        `json:"lines"`
	urgency         int
}

// CohortLine is one cell: where a trainee stands on a requirement, and how that moved. The evidence is one step away, in the standing.
type CohortLine struct {
	Requirement string               `json:"requirement"`
	State       competency.State     `json:"state"`
	Was         competency.State     `json:"was"` // on the day the trend is measured from
	Trend       Trend                `json:"trend"`
	Value       float64              `json:"value"`
	Target      float64              `json:"target"`
	Unit        string               `json:"unit"`
	N           int                  `json:"n"`
	Interval    *competency.Interval `json:"interval,omitempty"`
}

// Trend is which way a requirement moved.
type Trend string

// The trends. The state decides first, then the value.
const (
	Rising  Trend = "rising"
	Level   Trend = "level"
	Falling Trend = "falling"
)

// rank orders states for a trend. Lapsed is worse than short: it was there once.
var rank = map[competency.State]int{competency.Lapsed: 0, competency.Short: 1, competency.NotEnoughData: 1, competency.OnCourse: 2, competency.Met: 3}

// lineOf compares a requirement with what it was; a missing earlier one, under another standard, moves nowhere.
func lineOf(now competency.RequirementStanding, earlier competency.Standing) CohortLine {
	line := CohortLine{
		Requirement: now.Requirement, State: now.State, Was: now.State, Trend: Level, Value: now.Value, Target: now.Target, Unit: now.Unit, N: now.N, Interval: now.Interval,
	}
	for _, was := range earlier.Requirements {
		if was.Requirement != now.Requirement || was.Kind != now.Kind {
			continue
		}
		line.Was = was.State
		by := float64(rank[now.State] - rank[was.State])
		if by == 0 {
			by = now.Value - was.Value
		}
		switch {
		case by > 0:
			line.Trend = Rising
		case by < 0:
			line.Trend = Falling
		}
	}
	return line
}

// judgedCohort is what everyone who ever was a trainee comes to on a day. It rests on nothing but the programme's record.
type judgedCohort struct {
	rows     map[competency.PersonID]CohortTrainee
	headline Headline
}

// judgeAll judges everyone on both days, on every processor.
func (h *scene) judgeAll(line timeline, day, before competency.Day) (judgedCohort, error) {
	evidence, err := h.gatherAll()
	if err != nil {
		return judgedCohort{}, err
	}
	trainees, err := h.tx.People(h.programme.ID, string(policies.Trainee), day)
	if err != nil {
		return judgedCohort{}, err
	}
	work := make([]cohortWork, len(trainees))
	for i, trainee := range trainees {
		if work[i], err = h.cohortWork(line, trainee.ID, evidence[trainee.ID], day, before); err != nil {
			return judgedCohort{}, err
		}
	}
	rows := make([]CohortTrainee, len(work))
	spread(len(work), func(i int) { rows[i] = work[i].row(day, before) })
	judged := judgedCohort{rows: make(map[competency.PersonID]CohortTrainee, len(rows)), headline: headline(evidence, day, h.programme.Settings)}
	for _, row := range rows {
		judged.rows[row.ID] = row
	}
	return judged, nil
}

// cohortWork is all that judging one trainee takes, read from the record.
type cohortWork struct {
	trainee           competency.PersonID
	since, until      competency.Day
	standard, earlier competency.Standard
	now, then         competency.Evidence
}

func (h *scene) cohortWork(line timeline, trainee competency.PersonID, evidence competency.Evidence, day, before competency.Day) (w cohortWork, err error) {
	w = cohortWork{trainee: trainee}
	terms, err := h.tx.Terms(h.programme.ID, trainee, string(policies.Trainee))
	if err != nil {
		return w, err
	}
	for _, term := range terms {
		if w.since == "" || term.From < w.since {
			w.since = term.From
		}
		if term.From <= day && (term.Until == "" || term.Until >= day) {
			w.until = term.Until
		}
	}
	if w.standard, _, err = line.judging(trainee, w.since, day); err != nil {
		return w, err
	}
	if w.earlier, _, err = line.judging(trainee, w.since, before); err != nil {
		return w, err
	}
	if w.now, err = h.completed(evidence, trainee, w.standard, day); err != nil {
		return w, err
	}
	w.then, err = h.completed(evidence, trainee, w.earlier, before)
	return w, err
}

// row judges the trainee on both days.
func (w cohortWork) row(day, before competency.Day) CohortTrainee {
	standing := competency.Stand(w.standard, w.now, day)
	earlier := competency.Stand(w.earlier, w.then, before)
	row := CohortTrainee{
		ID: w.trainee, Since: w.since, Until: w.until, Year: trainingYear(w.since, day), StandardVersion: standing.StandardVersion, Example: standing.Example,
		Overall: standing.Overall, Ready: standing.Ready, Lines: make([]CohortLine, len(standing.Requirements)),
	}
	for i, r := range standing.Requirements {
		row.Lines[i] = lineOf(r, earlier)
	}
	row.urgency, row.Concern, row.Attention = w.attention(standing, row.Lines, day, before)
	return row
}

// trainingYear is the year of training on a day, from 1: a year is 365.25 days.
func trainingYear(since, day competency.Day) int { return max(0, day.DaysSince(since))*4/1461 + 1 }
