package outcome

import (
	"slices"
	"time"

	"isthmus/competency"
)

// daysPerMonth is the mean month of the calendar.
const daysPerMonth = 365.25 / 12

// earlyDays are the days after an operation that a case's own events cover.
const earlyDays = 30

// FreedomRule says in words how freedom is followed.
const FreedomRule = "An arrhythmia is dated at the first follow-up after blanking at which it was on record: it may have come back at any time since the follow-up before. " +
	"A class I or III drug at a follow-up after blanking ends freedom off drugs, and so does any repeat ablation (our choice, no source). " +
	"A follow-up that cannot be judged adds nothing, and a death ends the follow-up at the last one that could."

// freedomOf follows freedom from atrial arrhythmia (off drugs where the rule asks for it) through follow-ups in the order of their months.
func freedomOf(followUps []competency.FollowUp, rule competency.FollowUpRule) Fate {
	free := 0.0 // the last month judged free
	failed := func(event string, month int) Fate {
		from := free
		if free == 0 && event != "repeat-procedure" {
			from = float64(rule.BlankingDays) / daysPerMonth
		}
		return Fate{Known: true, Event: event, Month: float64(month), From: from}
	}
	for _, f := range followUps {
		if slices.Contains(f.Repeat, "catheter-ablation") || slices.Contains(f.Repeat, "surgery") {
			return failed("repeat-procedure", f.Month)
		}
		switch freedom, _ := rule.Judge(f); freedom {
		case competency.Recurred:
			return failed("arrhythmia", f.Month)
		case competency.FreeOnDrugs:
			return failed("on-drug", f.Month)
		case competency.FreeOffDrugs:
			free = float64(f.Month)
		}
		if f.Died {
			break
		}
	}
	return Fate{Known: free > 0, Month: free}
}

// PacemakerRule says in words how pacemakers are followed.
const PacemakerRule = "A pacemaker in the case's own events is dated when the case was handed in, 30 days after the operation at most; one told at a follow-up at the end of its band of time. " +
	"Death is a competing event: who has died cannot get a pacemaker any more. A repeat ablation does not end the follow-up."

// bandEnds are the last months of the bands in which a pacemaker was placed; one placed later was at the latest at its follow-up.
var bandEnds = map[string]float64{
	"before-discharge": earlyDays / daysPerMonth, "to-30-days": earlyDays / daysPerMonth, "to-90-days": 90 / daysPerMonth, "to-1-year": 12,
}

// pacemakerOf follows a pacemaker, with death in its way. What the case holds is known as of when it was handed in.
func pacemakerOf(s Signed, operated competency.Period, followUps []competency.FollowUp) Fate {
	early := knownFor(s.SubmittedAt, operated)
	if slices.Contains(s.Events, "pacemaker") {
		return Fate{Known: true, Event: "pacemaker", Month: early}
	}
	if slices.Contains(s.Events, "death") {
		return Fate{Known: true, Event: "death", Month: early}
	}
	known := early
	for _, f := range followUps {
		month := float64(f.Month)
		if f.Pacemaker != nil {
			if end, ok := bandEnds[f.Pacemaker.Band]; ok {
				month = min(month, end)
			}
			return Fate{Known: true, Event: "pacemaker", Month: month, From: min(known, month)}
		}
		if f.Died {
			return Fate{Known: true, Event: "death", Month: month, From: min(known, month)}
		}
		known = max(known, month)
	}
	return Fate{Known: true, Month: known}
}

// knownFor is for how long after the operation a case's own events speak, in months: until it was handed in, 30 days at most. Of a date
// kept to the week or month the last day counts, but none after it was handed in.
func knownFor(submitted time.Time, operated competency.Period) float64 {
	days := competency.DayOf(submitted).DaysSince(operated.Last)
	return float64(min(max(days, 0), earlyDays)) / daysPerMonth
}
