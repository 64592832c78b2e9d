package competency

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// Settings are a programme's own choices about its cases.
type Settings struct {
	Sites          []string  `json:"sites"`            // where its members operate
	DatePrecision  Precision `json:"date_precision"`   // how exactly operation dates are kept
	LateRecallDays int       `json:"late_recall_days"` // a sign-off older than this many days after the operation is late recall
	RoleRule       RoleRule  `json:"role_rule"`
	SigningMinutes int       `json:"signing_minutes"` // a proof of identity older than this does not carry a signature any more

	FollowUp FollowUpRule `json:"follow_up"` // when follow-ups are due and what counts as success

	SmallCells int `json:"small_cells,omitempty"` // counts below this are hidden in what leaves the programme; 0 is the default
}

// Defaults are the settings of a new programme. Late recall after 14 days: ratings that old showed no variation between items in
// 87 % (Williams 2014, J Surg Educ 71:e132).
func Defaults() Settings {
	return Settings{Sites: []string{"Main site"}, DatePrecision: PrecisionDay, LateRecallDays: 14, RoleRule: DefaultRoleRule(), SigningMinutes: DefaultSigningMinutes, FollowUp: DefaultFollowUpRule(), SmallCells: DefaultSmallCells}
}

// DefaultSigningMinutes is how long a proof of identity carries signatures in a new programme (common practice, no source).
const DefaultSigningMinutes = 15

// Filled gives the settings with the default for what was not there yet when they were saved.
func (s Settings) Filled() Settings {
	if s.FollowUp.Version == 0 {
		s.FollowUp = DefaultFollowUpRule()
	}
	if s.SigningMinutes == 0 {
		s.SigningMinutes = DefaultSigningMinutes
	}
	if s.SmallCells == 0 {
		s.SmallCells = DefaultSmallCells
	}
	return s
}

// DefaultRoleRule is the primary surgeon as a new programme defines it: every vein isolation, box line, mitral line and right atrial
// line that was done is the trainee's, and so is half of all steps. Common practice, no source: a programme sets its own.
func DefaultRoleRule() RoleRule {
	return RoleRule{
		Version: 1,
		KeySteps: []string{
			string(atrium.LeftPulmonaryVeinIsolation), string(atrium.RightPulmonaryVeinIsolation), string(atrium.RoofLine), string(atrium.FloorLine),
			string(atrium.MitralIsthmusLine), string(atrium.IntercavalLine), string(atrium.FreeWallLine), string(atrium.RightAppendageLine),
			string(atrium.CavotricuspidIsthmusLine),
		},
		ShareOfSteps: 0.5,
		HelpCounts:   true,
	}
}

// Validate reports every setting that is out of range.
func (s Settings) Validate() strict.Faults {
	var faults strict.Faults
	if len(s.Sites) == 0 || len(s.Sites) > 50 {
		faults.Add("sites", "must list 1 to 50 sites, not %d", len(s.Sites))
	}
	for i, site := range s.Sites {
		if site != strings.TrimSpace(site) || site == "" || len(site) > 80 {
			faults.Add(fmt.Sprintf("sites[%d]", i), "must be 1 to 80 characters without spaces at the ends")
		}
		if slices.Contains(s.Sites[:i], site) {
			faults.Add(fmt.Sprintf("sites[%d]", i), "%q is listed twice: remove one", site)
		}
	}
	if !slices.Contains([]Precision{PrecisionDay, PrecisionWeek, PrecisionMonth}, s.DatePrecision) {
		faults.Add("date_precision", "must be day, week or month, not %q", s.DatePrecision)
	}
	if s.LateRecallDays < 1 || s.LateRecallDays > 365 {
		faults.Add("late_recall_days", "must be 1 to 365, not %d", s.LateRecallDays)
	}
	if minutes := s.Filled().SigningMinutes; minutes < 1 || minutes > 720 {
		faults.Add("signing_minutes", "must be 1 to 720, not %d", minutes)
	}
	if cells := s.Filled().SmallCells; cells < 3 || cells > 50 {
		faults.Add("small_cells", "must be 3 to 50, not %d", cells)
	}
	faults.Join("role_rule", s.RoleRule.Validate())
	faults.Join("follow_up", s.Filled().FollowUp.Validate())
	return faults
}

// Validate reports what is wrong with a role rule.
func (r RoleRule) Validate() strict.Faults {
	var faults strict.Faults
	if r.Version < 1 {
		faults.Add("version", "must be 1 or more, not %d", r.Version)
	}
	if len(r.KeySteps) == 0 {
		faults.Add("key_steps", "must name at least one lesion or %s", StepAppendage)
	}
	for i, step := range r.KeySteps {
		if !isStepName(step) {
			faults.Add(fmt.Sprintf("key_steps[%d]", i), "%q is no lesion of the catalogue: use its id, or %s", step, StepAppendage)
		}
	}
	if !(r.ShareOfSteps >= 0 && r.ShareOfSteps <= 1) {
		faults.Add("share_of_steps", "must be 0 to 1, not %g", r.ShareOfSteps)
	}
	return faults
}
