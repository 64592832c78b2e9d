package competency

import (
	"fmt"
	"slices"

	"isthmus/assessment/strict"
)

// FollowUpID names a follow-up; uuid v7.
type FollowUpID string

// FollowUp is the rhythm and the events at a stated month after an operation. It carries no patient identity and no date: the month and
// the operation's own date, as exact as the programme keeps it, are all there is.
type FollowUp struct {
	Month           int        `json:"month"`  // after the operation
	Rhythm          string     `json:"rhythm"` // on the day of the follow-up: sinus, fibrillation, flutter-or-tachycardia, paced, not-known
	Monitoring      string     `json:"monitoring"`
	MonitoringHours int        `json:"monitoring_hours"` // recorded without a break; 0 for none and for a single ECG
	Arrhythmia      string     `json:"arrhythmia"`       // since the last follow-up: none, over-30-s, not-known
	Antiarrhythmic  string     `json:"antiarrhythmic"`   // none, class-i, class-iii
	Anticoagulated  bool       `json:"anticoagulated"`
	Pacemaker       *Pacemaker `json:"pacemaker"`         // placed since the last follow-up; null when none was
	Repeat          []string   `json:"repeat_procedures"` // since the last follow-up; an empty list says none
	Stroke          string     `json:"stroke"`            // none, transient, ischaemic, bleeding
	Died            bool       `json:"died"`
	Note            string     `json:"note,omitempty"`     // screened for identifiers
	CaseKey         string     `json:"case_key,omitempty"` // a keyed hash made in the browser; the server cannot turn it back
}

// Pacemaker is a pacemaker placed after the operation: when, in bands, and why.
type Pacemaker struct {
	Band   string `json:"band"`
	Reason string `json:"reason"`
}

// The closed lists of a follow-up, in the order a form shows them.
var (
	FollowUpRhythms = []Choice{
		{"sinus", "Sinus rhythm"}, {"fibrillation", "Atrial fibrillation"}, {"flutter-or-tachycardia", "Atrial flutter or tachycardia"},
		{"paced", "Paced"}, {"not-known", "Not known"},
	}
	FollowUpMonitorings = []Choice{
		{"none", "None"}, {"single-ecg", "Single ECG"}, {"ambulatory", "Ambulatory recording"}, {"implanted", "Implanted monitor or pacemaker memory"},
	}
	FollowUpArrhythmias = []Choice{{"none", "None over 30 s"}, {"over-30-s", "An episode over 30 s"}, {"not-known", "Not known"}}
	Antiarrhythmics     = []Choice{{"none", "None"}, {"class-i", "Class I"}, {"class-iii", "Class III"}}
	PacemakerBands      = []Choice{
		{"before-discharge", "Before discharge"}, {"to-30-days", "Up to 30 days"}, {"to-90-days", "31 to 90 days"}, {"to-1-year", "91 days to a year"}, {"later", "After a year"},
	}
	PacemakerReasons = []Choice{{"sinus-node", "Sinus node"}, {"av-block", "AV block"}, {"other", "Other"}}
	RepeatProcedures = []Choice{{"cardioversion", "Cardioversion"}, {"catheter-ablation", "Catheter ablation"}, {"surgery", "Surgery for rhythm"}}
	Strokes          = []Choice{{"none", "None"}, {"transient", "Transient attack"}, {"ischaemic", "Ischaemic stroke"}, {"bleeding", "Bleeding stroke"}}
)

// mostMonths is how late a follow-up can be: 40 years.
const mostMonths = 480

// caseKeyLength is that of a SHA-256 in hexadecimal digits.
const caseKeyLength = 64

// Validate reports every mistake in a follow-up: what is missing, out of the closed lists, contradictory, or names a patient.
func (f FollowUp) Validate(kept ...Override) strict.Faults {
	c := recordChecker{}
	if f.Month < 1 || f.Month > mostMonths {
		c.Add("month", "must be 1 to %d, not %d", mostMonths, f.Month)
	}
	c.choice("rhythm", f.Rhythm, FollowUpRhythms)
	c.choice("monitoring", f.Monitoring, FollowUpMonitorings)
	c.choice("arrhythmia", f.Arrhythmia, FollowUpArrhythmias)
	c.choice("antiarrhythmic", f.Antiarrhythmic, Antiarrhythmics)
	c.choice("stroke", f.Stroke, Strokes)
	recorded := f.Monitoring == "ambulatory" || f.Monitoring == "implanted"
	switch {
	case f.MonitoringHours < 0 || f.MonitoringHours > 24*366:
		c.Add("monitoring_hours", "must be 0 to 8784, not %d", f.MonitoringHours)
	case recorded && f.MonitoringHours == 0:
		c.Add("monitoring_hours", "is required: how long was recorded without a break?")
	case !recorded && f.MonitoringHours > 0:
		c.Add("monitoring_hours", "without a recording there are no hours: choose how it was recorded, or leave them out")
	}
	if f.Pacemaker != nil {
		c.choice("pacemaker.band", f.Pacemaker.Band, PacemakerBands)
		c.choice("pacemaker.reason", f.Pacemaker.Reason, PacemakerReasons)
	}
	for i, procedure := range f.Repeat {
		field := fmt.Sprintf("repeat_procedures[%d]", i)
		if i >= len(RepeatProcedures) {
			c.Add("repeat_procedures", "must be at most %d", len(RepeatProcedures))
			break
		}
		c.choice(field, procedure, RepeatProcedures)
		if slices.Contains(f.Repeat[:i], procedure) {
			c.Add(field, "%s is listed twice: remove one", procedure)
		}
	}
	if f.CaseKey != "" {
		c.Join("", CheckCaseKey(f.CaseKey))
	}
	checkText(&c.Faults, "note", f.Note, 0, maxNote, kept...)
	return c.Faults
}

// CheckCaseKey refuses a case key that no browser of ours makes, above all a record number.
func CheckCaseKey(key string) strict.Faults {
	var faults strict.Faults
	if !isCaseKey(key) {
		faults.Add("case_key", "must be the %d hexadecimal digits the browser makes, never a record number", caseKeyLength)
	}
	return faults
}

// isCaseKey accepts exactly what the browser makes, so that no record number can slip in.
func isCaseKey(key string) bool {
	if len(key) != caseKeyLength {
		return false
	}
	for _, r := range key {
		if (r < '0' || r > '9') && (r < 'a' || r > 'f') {
			return false
		}
	}
	return true
}

// FollowUpRule is the programme's definition of success and its schedule, as data.
type FollowUpRule struct {
	Version            int   `json:"version"`
	BlankingDays       int   `json:"blanking_days"`        // arrhythmia before that is not judged
	OffAntiarrhythmics bool  `json:"off_antiarrhythmics"`  // success counts only without a class I or III drug
	LeastHours         int   `json:"least_hours"`          // of recording for a follow-up without arrhythmia to count
	Months             []int `json:"months"`               // when a follow-up is due, in the first years
	YearlyUntil        int   `json:"yearly_until_year"`    // and each year from then on
	LateAfterDays      int   `json:"late_after_days"`      // a follow-up that much overdue is late
	RemindBeforeDays   int   `json:"remind_before_days"`   // how early a coming one is shown
	EpisodeSeconds     int   `json:"episode_over_seconds"` // what an episode is; the closed list says 30
}

// DefaultFollowUpRule is the published usage: no atrial arrhythmia over 30 s off class I and III drugs after 90 days (blanking: 90 days in
// the surgical literature, Pyo 2025, PMID 39481591 (as cited); 8 weeks in EHRA/HRS 2024 (from memory); success: Calkins 2017 (from
// memory)), with at least 24 hours recorded at 3, 6 and 12 months (Lee 2010, PMC2967773), then yearly (common practice, no source).
func DefaultFollowUpRule() FollowUpRule {
	return FollowUpRule{
		Version: 1, BlankingDays: 90, OffAntiarrhythmics: true, LeastHours: 24, Months: []int{3, 6, 12}, YearlyUntil: 5, LateAfterDays: 60,
		RemindBeforeDays: 14, EpisodeSeconds: 30,
	}
}

// Validate reports what is wrong with a rule.
func (r FollowUpRule) Validate() strict.Faults {
	var faults strict.Faults
	within := func(field string, value, least, most int) {
		if value < least || value > most {
			faults.Add(field, "must be %d to %d, not %d", least, most, value)
		}
	}
	within("version", r.Version, 1, 1_000_000)
	within("blanking_days", r.BlankingDays, 0, 365)
	within("least_hours", r.LeastHours, 0, 24*31)
	within("yearly_until_year", r.YearlyUntil, 0, 40)
	within("late_after_days", r.LateAfterDays, 1, 365)
	within("remind_before_days", r.RemindBeforeDays, 0, 90)
	within("episode_over_seconds", r.EpisodeSeconds, 30, 30)
	if len(r.Months) == 0 || len(r.Months) > 20 || !slices.IsSorted(r.Months) {
		faults.Add("months", "must list 1 to 20 months, rising")
	}
	for i, month := range r.Months {
		within(fmt.Sprintf("months[%d]", i), month, 1, mostMonths)
		if slices.Contains(r.Months[:i], month) {
			faults.Add(fmt.Sprintf("months[%d]", i), "%d is listed twice: remove one", month)
		}
	}
	return faults
}
