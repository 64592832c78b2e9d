package service

import (
	"fmt"
	"strings"
	"time"

	"isthmus/api/report"
	"isthmus/api/store"
	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// stateWords say the state of a requirement.
var stateWords = map[competency.State]string{
	competency.Met: "Met", competency.OnCourse: "On course", competency.Short: "Short", competency.Lapsed: "Lapsed", competency.NotEnoughData: "Not enough data",
}

// chosen is the name of an entry of a closed list, with a capital; an unknown id is its own words.
func chosen[T ~string](list []competency.Choice, id T) string {
	name := competency.Words(string(id))
	for _, c := range list {
		if c.ID == string(id) {
			name = c.Name
		}
	}
	if name == "" {
		return ""
	}
	return strings.ToUpper(name[:1]) + name[1:]
}

// levelWords explain a scale in a sentence.
func levelWords(scale string, levels []competency.Level) string {
	words := make([]string, len(levels))
	for i, l := range levels {
		words[i] = fmt.Sprintf("%d %s", l.Level, strings.ToLower(l.Name[:1])+l.Name[1:])
	}
	return scale + ": " + strings.Join(words, ", ") + "."
}

// instantWords writes an instant to the minute.
func instantWords(at time.Time) string { return at.UTC().Format("2 Jan 2006, 15:04 UTC") }

// cover is a document with all that stands on each of its pages.
func (h *scene) cover(one store.Report, title, subject, standard string) report.Document {
	return report.Document{
		Title: title, Subject: subject, Programme: h.programme.Name, On: string(one.On), Standard: standard, Caution: atrium.Caution, Made: h.now,
	}
}

// standardWords name the version somebody is judged by.
func standardWords(s competency.Standard) string {
	words := standardTitle(s)
	if s.Example {
		words += " (an example, not set by the programme)"
	}
	return words
}

// text, quietText and tableOf are blocks.
func text(words string) report.Block      { return report.Block{Text: words} }
func quietText(words string) report.Block { return report.Block{Text: words, Quiet: true} }
func tableOf(empty string, columns []report.Column, rows [][]string) report.Block {
	return report.Block{Table: &report.Table{Columns: columns, Rows: rows, Empty: empty}}
}

// standingBlocks say a standing line by line.
func standingBlocks(s competency.Standing, waiting Waiting) []report.Block {
	rows := make([][]string, len(s.Requirements))
	for i, r := range s.Requirements {
		rests := r.Explanation
		if n := len(r.LeftOut); n > 0 {
			rests += fmt.Sprintf(" %d left out.", n)
		}
		rows[i] = []string{r.Says, stateWords[r.State], rests, r.Next}
	}
	facts := []report.Fact{{Name: "Overall", Value: s.Overall}, {Name: "Not evidence yet", Value: waitingWords(waiting)}}
	columns := []report.Column{{Name: "Requirement", Width: 5}, {Name: "State", Width: 1.9}, {Name: "What that rests on", Width: 4.6}, {Name: "What would move it", Width: 3.6}}
	return []report.Block{
		{Facts: facts}, tableOf("The standard has no requirement.", columns, rows),
		quietText("Evidence as judged: " + s.EvidenceHash + ". The same evidence under the same standard gives the same standing."),
	}
}

// waitingWords count the cases that are no evidence yet, as they are today.
func waitingWords(w Waiting) string {
	return fmt.Sprintf("%d for sign-off, %d returned, %d unfinished", w.Submitted, w.Returned, w.Drafts)
}

// decisionBlocks say what was decided, and who signed for it. A trainee's answer stands with it.
func decisionBlocks(v DecisionView) []report.Block {
	facts := []report.Fact{{Name: "Outcome", Value: chosen(competency.Outcomes, v.Outcome)}}
	add := func(name, value string) {
		if value != "" {
			facts = append(facts, report.Fact{Name: name, Value: value})
		}
	}
	add("Conditions", v.Conditions)
	add("Reasons", v.Reasons)
	add("Meeting of", dayOf(v.HeldOn))
	add("Judged by", fmt.Sprintf("%s, version %d", v.Standing.Standard, v.Standing.StandardVersion))
	add("Requirements not met", strings.Join(v.NotMet, ", "))
	votes := make([]string, len(v.Tally))
	for i, t := range v.Tally {
		votes[i] = fmt.Sprintf("%d for '%s'", t.Votes, chosen(competency.Outcomes, t.Outcome))
	}
	add("Recommendations", strings.Join(votes, ", "))
	if v.SupersededBy != "" {
		add("Today", "A later decision took its place.")
	}
	blocks := []report.Block{{Facts: facts}, {Signature: &report.Signature{Name: v.SignerName, At: v.SignedAt, Meaning: v.Meaning}}}
	if v.Response != nil {
		blocks = append(blocks, report.Block{Facts: []report.Fact{{Name: "The trainee answered", Value: v.Response.Text}, {Name: "On", Value: instantWords(v.Response.RespondedAt)}}})
	}
	return blocks
}

// dayOf writes a calendar day as people do.
func dayOf(day competency.Day) string {
	at, err := time.Parse(time.DateOnly, string(day))
	if err != nil {
		return string(day)
	}
	return dayWords(at)
}

// howToVerify closes every document.
func (h *scene) howToVerify() report.Section {
	return report.Section{Title: "How to check this report", Blocks: []report.Block{text(
		"The code at the foot of every page stands for every word above and for this programme. Whoever has an account here can type it under 'Check a report', and choose the file " +
			"as well to learn whether it was changed; the operator can do the same with the command isthmus report verify.")}}
}
