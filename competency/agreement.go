package competency

import (
	"cmp"
	"slices"
	"time"

	"isthmus/competency/interval"
)

// StepAccount sets the trainee's account of one step beside the supervisor's.
type StepAccount struct {
	Step       string    `json:"step"`
	Trainee    Performer `json:"trainee"`
	Supervisor Performer `json:"supervisor"`
	Agreed     bool      `json:"agreed"`
	// Claimed is how far the trainee's account goes beyond the supervisor's: 1 or 2 when it claims more, below 0 when it claims less.
	Claimed int `json:"claimed"`
}

// Accounts sets the two accounts of a case side by side, in the order of the operation's steps. A step only one of them speaks of is left
// out: it belongs to another version of the record.
func Accounts(r Record, s Statement) []StepAccount {
	by := func(steps []Step) map[string]Performer {
		said := map[string]Performer{}
		for _, step := range steps {
			said[step.Step] = step.PerformedBy
		}
		return said
	}
	trainee, supervisor := by(r.Steps), by(s.Steps)
	accounts := []StepAccount{}
	for _, step := range StepsOf(r.Lesions, r.Appendage) {
		mine, mineKnown := trainee[step]
		theirs, theirsKnown := supervisor[step]
		if !mineKnown || !theirsKnown {
			continue
		}
		accounts = append(accounts, StepAccount{
			Step: step, Trainee: mine, Supervisor: theirs, Agreed: mine == theirs, Claimed: ownShare(mine) - ownShare(theirs),
		})
	}
	return accounts
}

// ownShare orders the performers by how much of a step was the trainee's.
func ownShare(by Performer) int {
	return slices.Index([]Performer{BySupervisor, ByTraineeWithHelp, ByTrainee}, by)
}

// Accounted is one signed case as it counts for agreement.
type Accounted struct {
	Case         CaseID
	Trainee      PersonID
	OperatedOn   string // at the programme's precision
	Operation    string
	SignedAt     time.Time
	Steps        []StepAccount
	RoleClaimed  Role
	RoleSeen     Role
	EventsAgreed bool
}

// AccountsDiffer is a case whose two accounts are not the same: only what differs.
type AccountsDiffer struct {
	Case         CaseID        `json:"case"`
	Trainee      PersonID      `json:"trainee"`
	OperatedOn   string        `json:"operated_on"`
	Operation    string        `json:"operation"`
	SignedAt     time.Time     `json:"signed_at"`
	Quarter      string        `json:"quarter"`
	Steps        []StepAccount `json:"steps"`
	RoleClaimed  Role          `json:"role_claimed"`
	RoleSeen     Role          `json:"role_seen"`
	EventsAgreed bool          `json:"events_agreed"`
}

// AgreementLevel is the two-sided confidence of every interval of agreement.
const AgreementLevel = 0.95

// Agreement is how often a trainee and the supervisors tell the same of who did what. It describes; it is no verdict on honesty: the
// published disagreement on the role is 36 % (30 of 83 operations), nearly always downward (Academic Surgical Congress 2017, abstract
// 37.05).
type Agreement struct {
	Cases       int              `json:"cases"`
	Steps       AgreementShare   `json:"steps"`        // told alike
	ClaimedMore AgreementShare   `json:"claimed_more"` // steps in which the trainee claims more than was seen
	ClaimedLess AgreementShare   `json:"claimed_less"`
	Roles       AgreementShare   `json:"roles"`  // cases whose role stands after the sign-off
	Events      AgreementShare   `json:"events"` // cases whose events the supervisor agreed with
	Periods     []PeriodShare    `json:"periods"`
	Differing   []AccountsDiffer `json:"differing"` // every case that differs in anything, the one signed last first
	Level       float64          `json:"level"`
	Method      string           `json:"method"`
	Assumptions string           `json:"assumptions"`
}

// AgreementShare is hits among n with the interval; without any n there is none.
type AgreementShare struct {
	Hits     int      `json:"hits"`
	N        int      `json:"n"`
	Share    *float64 `json:"share"`
	Low      *float64 `json:"low"`
	High     *float64 `json:"high"`
	CaseList []CaseID `json:"cases,omitempty"` // those behind the hits, or behind what is missing to n: see the field's own words
}

// PeriodShare is the steps told alike in one quarter of a year.
type PeriodShare struct {
	Quarter string         `json:"quarter"` // 2026-Q1
	Cases   int            `json:"cases"`
	Steps   AgreementShare `json:"steps"`
}

// AgreementOf counts agreement over signed cases, all together and by the quarter of the sign-off. CaseList of steps, roles and events
// holds the cases that disagree, that of the claims the cases they were made in.
func AgreementOf(cases []Accounted) Agreement {
	ordered := slices.Clone(cases)
	slices.SortStableFunc(ordered, func(a, b Accounted) int { return a.SignedAt.Compare(b.SignedAt) })
	a := Agreement{Cases: len(ordered), Periods: []PeriodShare{}, Differing: []AccountsDiffer{}, Level: AgreementLevel, Method: interval.MethodWilson, Assumptions: interval.Assumptions}
	for _, c := range ordered {
		quarter := quarterOf(c.SignedAt)
		if len(a.Periods) == 0 || a.Periods[len(a.Periods)-1].Quarter != quarter {
			a.Periods = append(a.Periods, PeriodShare{Quarter: quarter})
		}
		period := &a.Periods[len(a.Periods)-1]
		period.Cases++
		for _, step := range c.Steps {
			a.Steps.count(step.Agreed)
			period.Steps.count(step.Agreed)
			a.ClaimedMore.count(step.Claimed > 0)
			a.ClaimedLess.count(step.Claimed < 0)
		}
		a.Roles.count(c.RoleClaimed == c.RoleSeen)
		a.Events.count(c.EventsAgreed)
		a.list(c)
	}
	slices.Reverse(a.Differing)
	for _, share := range []*AgreementShare{&a.Steps, &a.ClaimedMore, &a.ClaimedLess, &a.Roles, &a.Events} {
		share.settle()
	}
	for i := range a.Periods {
		a.Periods[i].Steps.settle()
	}
	return a
}

// list notes the case where it is evidence.
func (a *Agreement) list(c Accounted) {
	note := func(share *AgreementShare, is bool) {
		if is {
			share.CaseList = append(share.CaseList, c.Case)
		}
	}
	has := func(what func(StepAccount) bool) bool { return slices.ContainsFunc(c.Steps, what) }
	note(&a.Steps, has(func(s StepAccount) bool { return !s.Agreed }))
	note(&a.ClaimedMore, has(func(s StepAccount) bool { return s.Claimed > 0 }))
	note(&a.ClaimedLess, has(func(s StepAccount) bool { return s.Claimed < 0 }))
	note(&a.Roles, c.RoleClaimed != c.RoleSeen)
	note(&a.Events, !c.EventsAgreed)
	differ := AccountsDiffer{
		Case: c.Case, Trainee: c.Trainee, OperatedOn: c.OperatedOn, Operation: c.Operation, SignedAt: c.SignedAt, Quarter: quarterOf(c.SignedAt),
		Steps: []StepAccount{}, RoleClaimed: c.RoleClaimed, RoleSeen: c.RoleSeen, EventsAgreed: c.EventsAgreed,
	}
	for _, step := range c.Steps {
		if !step.Agreed {
			differ.Steps = append(differ.Steps, step)
		}
	}
	if len(differ.Steps) > 0 || c.RoleClaimed != c.RoleSeen || !c.EventsAgreed {
		a.Differing = append(a.Differing, differ)
	}
}

func (s *AgreementShare) count(hit bool) {
	s.N++
	if hit {
		s.Hits++
	}
}

// settle computes the share with its interval; the steps of one case hang together, so the interval of steps is rather too narrow.
func (s *AgreementShare) settle() {
	limits, err := interval.Wilson(s.Hits, s.N, AgreementLevel)
	if err != nil {
		return // nothing was counted
	}
	s.Share, s.Low, s.High = &limits.Estimate, &limits.Low, &limits.High
}

// quarterOf is the quarter of a year an instant lies in.
func quarterOf(at time.Time) string {
	at = at.UTC()
	return at.Format("2006") + "-Q" + string(rune('1'+(int(at.Month())-1)/3))
}

// Overlap is two trainees on one operation who each claim a step alone: both cannot be right.
type Overlap struct {
	Step  string   `json:"step"`
	Cases []CaseID `json:"cases"`
}

// Overlaps finds the steps that more than one record of the same operation gives to its own trainee alone, in the order of the steps'
// names. Cases that were withdrawn must not be given.
func Overlaps(cases []Case) []Overlap {
	alone := map[string][]CaseID{}
	for _, c := range cases {
		for _, step := range c.Record.Steps {
			if step.PerformedBy == ByTrainee {
				alone[step.Step] = append(alone[step.Step], c.ID)
			}
		}
	}
	overlaps := []Overlap{}
	for step, ids := range alone {
		if len(ids) > 1 {
			slices.Sort(ids)
			overlaps = append(overlaps, Overlap{step, ids})
		}
	}
	slices.SortFunc(overlaps, func(a, b Overlap) int { return cmp.Compare(a.Step, b.Step) })
	return overlaps
}
