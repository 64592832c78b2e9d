package competency

// Judge follows one trainee case by case and knows the state of every requirement after each, without words. For somebody who has
// only the cases it was told of, each signed the day it was operated, it says what Stand says (a property test holds them together): the
// tallies are the same. It is made for trying a standard on many made-up trainees; it is for one goroutine.
type Judge struct {
	runs   []judgeRun
	signed int
}

// judgeRun is one requirement as it is followed.
type judgeRun struct {
	Requirement
	tally tally
	kept  []seenCase // only for a filter with a period: what is in the period changes with the day
}

// NewJudge follows a standard that Validate accepts.
func NewJudge(standard Standard) *Judge {
	j := &Judge{runs: make([]judgeRun, len(standard.Requirements))}
	for i, r := range standard.Requirements {
		j.runs[i].Requirement = r
		j.runs[i].tally = j.runs[i].Requirement.tally()
	}
	return j
}

// Reset forgets every case.
func (j *Judge) Reset() {
	j.signed = 0
	for i := range j.runs {
		if j.runs[i].tally != nil {
			j.runs[i].tally.reset()
		}
		j.runs[i].kept = j.runs[i].kept[:0]
	}
}

// Add takes the next case in order of operation. day counts days from any origin, the same for every case. Of the case only what
// filters and ratings look at is read.
func (j *Judge) Add(c *SignedCase, day int) {
	j.signed++
	seen := seenCase{SignedCase: *c, at: day}
	for i := range j.runs {
		run := &j.runs[i]
		if run.tally == nil || run.LeaveOutLateRecall && c.LateRecall || run.Filter.misses(c) != "" {
			continue
		}
		if run.Filter.PeriodDays > 0 {
			run.kept = append(run.kept, seen)
			continue
		}
		run.tally.add(&seen)
	}
}

// Follows reports whether requirement i rests on cases alone; of the others (plans, and all that is not a case) the Judge knows nothing.
func (j *Judge) Follows(i int) bool { return j.runs[i].tally != nil }

// State is the state of requirement i on a day no earlier than that of the last case; NotEnoughData for one it does not follow.
func (j *Judge) State(i, day int) State {
	run := &j.runs[i]
	if run.tally == nil {
		return NotEnoughData
	}
	if run.Filter.PeriodDays > 0 {
		run.tally.reset()
		for n := range run.kept {
			if day-run.kept[n].at <= run.Filter.PeriodDays {
				run.tally.add(&run.kept[n])
			}
		}
	}
	return run.tally.state(day, j.signed > 0)
}
