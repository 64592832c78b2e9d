package competency

import (
	"cmp"
	"errors"
	"slices"
	"strings"
	"time"

	"isthmus/competency/interval"
)

// Signed is one signed version of a case with what its assessor stated, as it counts for the assessor.
type Signed struct {
	Case        CaseID
	Version     int
	Trainee     PersonID
	Assessor    PersonID
	OperatedOn  string // at the programme's precision
	Operation   string
	SubmittedAt time.Time // that version
	SignedAt    time.Time
	LateRecall  bool
	Record      Record
	Computed    Computed
	Statement   Statement
	Role        Role
	RoleClaimed Role
	Withdrawn   bool // the case, since
}

// accounted is the signature as it counts for agreement.
func (s Signed) accounted() Accounted {
	return Accounted{
		Case: s.Case, Trainee: s.Trainee, OperatedOn: s.OperatedOn, Operation: s.Operation, SignedAt: s.SignedAt, Steps: Accounts(s.Record, s.Statement),
		RoleClaimed: s.RoleClaimed, RoleSeen: s.Role, EventsAgreed: s.Statement.ComplicationsAgreed,
	}
}

// rated is the signature as a rating.
func (s Signed) rated() Rated {
	return Rated{
		Case: s.Case, Trainee: s.Trainee, Assessor: s.Assessor, HelpGiven: s.Statement.HelpGiven, SupervisionNext: s.Statement.SupervisionNext,
		SignedAt: s.SignedAt, Withdrawn: s.Withdrawn,
	}
}

// RatedOf is signatures as ratings.
func RatedOf(signed []Signed) []Rated {
	rated := make([]Rated, len(signed))
	for i, s := range signed {
		rated[i] = s.rated()
	}
	return rated
}

// Returned is one hand-back of a submitted case to its trainee.
type Returned struct {
	Case      CaseID
	By        PersonID
	At        time.Time
	Withdrawn bool // the case, since
}

// SignOffDelay is how many days pass from the submission of a version to its signature: the median with an interval that asks nothing of the
// form of delays, which are skewed. Without enough signatures there is no interval, and Refused says so.
type SignOffDelay struct {
	N       int       `json:"n"`
	Median  float64   `json:"median_days"`
	Bounds  *Interval `json:"interval,omitempty"`
	Refused string    `json:"refused"`
}

// AssessorView is one assessor's signatures as known by a day. Cases withdrawn since are left out, as they are everywhere.
type AssessorView struct {
	Assessor  PersonID         `json:"assessor"`
	N         int              `json:"n"` // signatures
	CaseList  []CaseID         `json:"cases"`
	Delay     SignOffDelay     `json:"delay"`
	Returned  AgreementShare   `json:"returned"`  // of what was answered, signed or returned; its cases are those returned
	Commented AgreementShare   `json:"commented"` // with something to keep and something to change; its cases are those without
	Late      AgreementShare   `json:"late"`      // marked late recall; its cases are those
	Steps     AgreementShare   `json:"steps"`     // told alike by trainee and assessor, the version signed last of each case; its cases are those that differ
	Severity  AssessorSeverity `json:"severity"`
	Says      []string         `json:"says"` // how that compares, and what helps
}

// AssessorsOf counts for everyone who signed or returned something by the end of a day, in the order of their ids, with the severity told on a
// scale. lateDays is the programme's limit for late recall. It is pure.
func AssessorsOf(signed []Signed, returned []Returned, scale string, lateDays int, on Day) []AssessorView {
	signatures, handBacks := map[PersonID][]Signed{}, map[PersonID][]CaseID{}
	for _, s := range signed {
		if !s.Withdrawn && DayOf(s.SignedAt) <= on {
			signatures[s.Assessor] = append(signatures[s.Assessor], s)
		}
	}
	for _, r := range returned {
		if !r.Withdrawn && DayOf(r.At) <= on {
			handBacks[r.By] = append(handBacks[r.By], r.Case)
		}
	}
	severity := SeveritiesOf(RatedOf(signed), scale, on)
	people := map[PersonID]bool{}
	for id := range signatures {
		people[id] = true
	}
	for id := range handBacks {
		people[id] = true
	}
	views := make([]AssessorView, 0, len(people))
	for id := range people {
		views = append(views, assessorView(id, signatures[id], handBacks[id], severity))
	}
	slices.SortFunc(views, func(a, b AssessorView) int { return cmp.Compare(a.Assessor, b.Assessor) })
	for i := range views {
		views[i].Says = views[i].words(otherDelays(signatures, views[i].Assessor), lateDays)
	}
	return views
}

// assessorView counts one assessor's.
func assessorView(id PersonID, signed []Signed, handBacks []CaseID, severity map[PersonID]AssessorSeverity) AssessorView {
	v := AssessorView{Assessor: id, N: len(signed), CaseList: []CaseID{}, Severity: severity[id]}
	if v.Severity.N == 0 {
		v.Severity.Withheld = "no case signed yet"
	}
	slices.SortFunc(signed, func(a, b Signed) int { return cmp.Or(a.SignedAt.Compare(b.SignedAt), cmp.Compare(a.Case, b.Case)) })
	last := map[CaseID]Signed{}
	for _, s := range signed {
		v.CaseList = append(v.CaseList, s.Case)
		v.Returned.count(false)
		v.Commented.note(s.Case, commented(s.Statement), false)
		v.Late.note(s.Case, s.LateRecall, true)
		last[s.Case] = s
	}
	for _, id := range handBacks {
		v.Returned.note(id, true, true)
	}
	accounted := make([]Accounted, 0, len(last))
	for _, s := range last {
		accounted = append(accounted, s.accounted())
	}
	slices.SortFunc(accounted, func(a, b Accounted) int { return cmp.Or(a.SignedAt.Compare(b.SignedAt), cmp.Compare(a.Case, b.Case)) })
	v.Steps = AgreementOf(accounted).Steps
	v.Delay = delayOf(delays(signed))
	for _, share := range []*AgreementShare{&v.Returned, &v.Commented, &v.Late} {
		share.settle()
	}
	return v
}

// note counts, and lists the case where the answer is the one that is looked at.
func (s *AgreementShare) note(id CaseID, hit, listed bool) {
	s.count(hit)
	if hit == listed {
		s.CaseList = append(s.CaseList, id)
	}
}

// commented reports whether a statement says something to keep and something to change.
func commented(s Statement) bool {
	return strings.TrimSpace(s.Keep) != "" && strings.TrimSpace(s.Change) != ""
}

// delays are in days.
func delays(signed []Signed) []float64 {
	days := make([]float64, len(signed))
	for i, s := range signed {
		days[i] = s.SignedAt.Sub(s.SubmittedAt).Hours() / 24
	}
	return days
}

// otherDelays are those of everyone else, and nil unless at least two others have signed: of one alone it would be that person's.
func otherDelays(signed map[PersonID][]Signed, not PersonID) []float64 {
	var days []float64
	others := 0
	for id, list := range signed {
		if id != not {
			others++
			days = append(days, delays(list)...)
		}
	}
	if others < 2 {
		return nil
	}
	return days
}

// delayOf is the median with its interval.
func delayOf(days []float64) SignOffDelay {
	m, err := interval.Median(days, AgreementLevel)
	d := SignOffDelay{N: m.N, Median: rounded(m.Median)}
	switch {
	case errors.Is(err, interval.ErrTooFew):
		d.Refused = "an interval takes six signatures"
	case err != nil:
		d.Refused = "no signature yet"
	default:
		d.Bounds = &Interval{Low: rounded(m.Low), High: rounded(m.High), Level: m.Level, Method: interval.MethodMedian}
	}
	return d
}
