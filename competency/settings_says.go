package competency

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"isthmus/assessment/atrium"
)

// SettingsLine is one of a programme's settings in plain words.
type SettingsLine struct {
	Field string `json:"field"` // its JSON name in Settings
	Title string `json:"title"`
	Says  string `json:"says"`
}

// Says puts the settings in plain words, in the order a page shows them.
func (s Settings) Says() []SettingsLine {
	s = s.Filled()
	return []SettingsLine{
		{"sites", "Sites", "Members operate at " + anded(s.Sites) + "."},
		{"date_precision", "Operation dates", fmt.Sprintf("Operation dates are kept to the %s.", s.DatePrecision)},
		{"late_recall_days", "Late recall", fmt.Sprintf("A sign-off more than %s after the operation is marked as late recall.", plural(s.LateRecallDays, "day"))},
		{"signing_minutes", "Signing", fmt.Sprintf("A proof of identity carries signatures for %s; after that the password is asked for again.", plural(s.SigningMinutes, "minute"))},
		{"small_cells", "Small numbers", fmt.Sprintf("Counts of cases below %d are hidden in what leaves the programme.", s.SmallCells)},
		{"role_rule", "Role", s.RoleRule.Says()},
		{"role_rule.key_steps", "Key steps", "Key steps: " + anded(stepNames(s.RoleRule.KeySteps)) + "."},
		{"follow_up.months", "Follow-up", s.FollowUp.saysSchedule()},
		{"follow_up", "Success", s.FollowUp.Says()},
	}
}

// stepNames gives steps the names of the catalogue, as within a sentence.
func stepNames(steps []string) []string {
	names := make([]string, len(steps))
	for i, step := range steps {
		names[i] = Words(step)
		for _, lesion := range atrium.Catalogue() {
			if string(lesion.ID) == step {
				names[i] = lowerFirst(lesion.Name)
			}
		}
	}
	return names
}

// Says puts the rule in plain words, without the list of key steps.
func (r RoleRule) Says() string {
	help := "A step performed with help counts as the trainee's."
	if !r.HelpCounts {
		help = "A step performed with help does not count as the trainee's."
	}
	return fmt.Sprintf("Primary surgeon: the trainee performed every key step that was done, one at least, and %s or more of all steps. %s "+
		"Assistant: the trainee had a hand in any step. Observer: in none.", percent(r.ShareOfSteps), help)
}

// saysSchedule says when follow-ups are due.
func (r FollowUpRule) saysSchedule() string {
	months := make([]string, len(r.Months))
	for i, month := range r.Months {
		months[i] = strconv.Itoa(month)
	}
	yearly := ""
	if len(r.allMonths()) > len(r.Months) {
		yearly = fmt.Sprintf(" and yearly up to year %d", r.YearlyUntil)
	}
	return fmt.Sprintf("Due %s months after the operation%s, shown %s before and late %s after.", anded(months), yearly, plural(r.RemindBeforeDays, "day"), plural(r.LateAfterDays, "day"))
}

// Says puts the definition of success in plain words.
func (r FollowUpRule) Says() string {
	drugs := "off class I and III drugs"
	if !r.OffAntiarrhythmics {
		drugs = "on or off class I and III drugs"
	}
	recorded := "however much was recorded"
	if r.LeastHours > 0 {
		recorded = fmt.Sprintf("with at least %s recorded without a break", plural(r.LeastHours, "hour"))
	}
	return fmt.Sprintf("No atrial arrhythmia over %d s later than %s of blanking, %s, %s.", r.EpisodeSeconds, plural(r.BlankingDays, "day"), drugs, recorded)
}

// SettingsChange is what differs between two settings in one place, in plain words.
type SettingsChange struct {
	Field   string   `json:"field"`
	Title   string   `json:"title"`
	Before  string   `json:"before"`
	After   string   `json:"after"`
	Added   []string `json:"added"`   // to a list: sites, key steps
	Removed []string `json:"removed"` // from it
}

// Differences lists what the settings say otherwise than those before, in the order of Says. Versions of rules do not differ by themselves.
func (s Settings) Differences(before Settings) []SettingsChange {
	changes := []SettingsChange{}
	was := before.Says()
	for i, line := range s.Says() {
		change := SettingsChange{Field: line.Field, Title: line.Title, Before: was[i].Says, After: line.Says, Added: []string{}, Removed: []string{}}
		switch line.Field {
		case "sites":
			change.Added, change.Removed = without(s.Sites, before.Sites), without(before.Sites, s.Sites)
		case "role_rule.key_steps":
			change.Added, change.Removed = without(s.RoleRule.KeySteps, before.RoleRule.KeySteps), without(before.RoleRule.KeySteps, s.RoleRule.KeySteps)
		}
		if change.Before != change.After {
			changes = append(changes, change)
		}
	}
	return changes
}

// without lists what is in list and not in other.
func without(list, other []string) []string {
	left := []string{}
	for _, one := range list {
		if !slices.Contains(other, one) {
			left = append(left, one)
		}
	}
	return left
}

// anded lists words as a sentence does.
func anded(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
