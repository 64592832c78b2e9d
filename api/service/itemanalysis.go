package service

import (
	"context"
	"slices"

	"isthmus/api/chart"
	"isthmus/assessment/question"
	"isthmus/competency"
	"isthmus/competency/item"
	"isthmus/policies"
)

// itemLevel is the confidence of the limits.
const itemLevel = 0.95

// ItemQuery chooses whose answers to what are looked at; empty fields do not narrow.
type ItemQuery struct {
	Topic question.Topic
	Test  string // as NamedTest names it
}

// ItemAnalysis is how the questions of a programme's tests work. Every trainee's first answer to a question in a test counts, and no other.
type ItemAnalysis struct {
	People     int              `json:"people"`
	Answers    int              `json:"answers"`
	Tests      []NamedTest      `json:"tests"` // those that were taken
	Topics     []question.Topic `json:"topics"`
	Items      []AnalysedItem   `json:"items"` // those with a flag first, then by topic and id
	Whole      WholeTest        `json:"whole"`
	Scale      ItemScale        `json:"scale"`
	Versions   []VersionsOfItem `json:"versions"` // questions asked in two versions
	Sites      SitesOfItems     `json:"sites"`
	Charts     []chart.Chart    `json:"charts"`
	Level      float64          `json:"level"`
	Thresholds []string         `json:"thresholds"` // what each flag means, and from when anything is told
	Caution    string           `json:"caution"`
}

// NamedTest is a test that answers can be narrowed to: one of the programme's own, or one that the program offers, which its title names.
type NamedTest struct {
	ID    string `json:"id"`
	Title string `json:"title"` // as it was last
}

// AnalysedItem is how one version of a question works. Of fewer people than it takes, all but the count is left out, and Withheld says why.
type AnalysedItem struct {
	Item       question.ItemID  `json:"item"`
	Version    int              `json:"version"`
	Topic      question.Topic   `json:"topic"`
	Kind       question.Kind    `json:"kind"`
	Stem       string           `json:"stem"`
	N          int              `json:"n"`
	Right      int              `json:"right"`
	Withheld   string           `json:"withheld,omitempty"`
	Difficulty *Limits          `json:"difficulty,omitempty"` // share right
	Corrected  *Limits          `json:"corrected,omitempty"`  // correlation with the share right of the others
	Upper      float64          `json:"upper"`                // share right among the best 27 %
	Lower      float64          `json:"lower"`
	Group      int              `json:"group"` // people in each of the two
	Options    []AnalysedOption `json:"options,omitempty"`
	Seconds    float64          `json:"seconds"` // median time
	Rasch      *RaschItem       `json:"rasch,omitempty"`
	Flags      []ItemFlag       `json:"flags"`
}

// Limits is a figure with its limits.
type Limits struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// AnalysedOption is how often an option was chosen.
type AnalysedOption struct {
	Text  string  `json:"text"`
	Key   bool    `json:"key"`
	N     int     `json:"n"`
	Upper float64 `json:"upper"` // share of the best group that chose it
	Lower float64 `json:"lower"`
}

// RaschItem is where a question lies on the scale, in log odds, and how it fits.
type RaschItem struct {
	Difficulty float64 `json:"difficulty"`
	SE         float64 `json:"se"`
	Infit      float64 `json:"infit"`
	Outfit     float64 `json:"outfit"`
}

// ItemFlag is a reason to look at a question again.
type ItemFlag struct {
	Flag item.Flag `json:"flag"`
	Says string    `json:"says"`
}

// WholeTest is how far the questions measure one thing.
type WholeTest struct {
	Withheld string  `json:"withheld,omitempty"`
	N        int     `json:"n"`
	Items    int     `json:"items"`
	Alpha    *Limits `json:"alpha,omitempty"`
	SEM      float64 `json:"sem"` // standard error of measurement, in questions
	Method   string  `json:"method"`
}

// ItemScale is the common scale of questions and people.
type ItemScale struct {
	Withheld string `json:"withheld,omitempty"`
	N        int    `json:"n"` // people who tell
	Items    int    `json:"items"`
	LeftOut  int    `json:"left_out"` // questions that everybody has right or nobody, or too few were asked
	Method   string `json:"method"`
	// Scores say what each number of right answers is worth, where all who answered were asked all questions of the scale; empty otherwise.
	Scores []ScoreEstimate `json:"scores"`
}

// ScoreEstimate is the ability that a number of right answers stands for, in log odds. It names nobody.
type ScoreEstimate struct {
	Right    int     `json:"right"`
	Trainees int     `json:"trainees"`
	Ability  float64 `json:"ability"`
	SE       float64 `json:"se"`
}

// ItemAnalysisOf computes how the questions work, for whoever may read questions. The error is ErrForbidden.
func (s *Service) ItemAnalysisOf(ctx context.Context, actor Actor, programme competency.ProgrammeID, q ItemQuery) (ItemAnalysis, error) {
	var view ItemAnalysis
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayQuestion(policies.Read); err != nil {
			return err
		}
		sheet, err := h.answerSheet(q)
		if err != nil {
			return err
		}
		view, err = h.analysed(sheet)
		return err
	})
	return view, err
}

// analysed computes all of the page.
func (h *scene) analysed(sheet answerSheet) (ItemAnalysis, error) {
	view := ItemAnalysis{
		People: len(sheet.people), Answers: sheet.answers, Tests: append([]NamedTest{}, sheet.tests...), Topics: append([]question.Topic{}, sheet.topics...), Items: []AnalysedItem{},
		Versions: []VersionsOfItem{}, Charts: []chart.Chart{}, Level: itemLevel, Thresholds: thresholdWords(), Caution: itemCaution,
	}
	view.Whole, view.Scale = WholeTest{Method: alphaMethod}, ItemScale{Method: raschMethod, Scores: []ScoreEstimate{}}
	table := sheet.table()
	list, err := item.Analyse(table, item.UpperLower)
	if err != nil { // nobody, or a single question
		view.Whole.Withheld, view.Scale.Withheld = "Fewer than two trainees or questions.", "Fewer than two trainees or questions."
		for j, ref := range sheet.refs {
			view.Items = append(view.Items, sheet.item(j, ref, item.Analysis{N: sheet.count(j)}, nil))
		}
		view.Sites = SitesOfItems{Items: []SiteItem{}, Withheld: "Fewer than two trainees or questions."}
		return view, nil
	}
	view.Whole = sheet.whole(table)
	scale, places, fit := sheet.scale(table)
	view.Scale = scale
	if view.Sites, err = h.sitesOfItems(sheet, table); err != nil {
		return view, err
	}
	for j, ref := range sheet.refs {
		var rasch *RaschItem
		if at := slices.Index(places, j); at >= 0 && fit != nil {
			rasch = &RaschItem{fit.Difficulty[at], fit.SE[at], fit.Infit[at], fit.Outfit[at]}
		}
		line := sheet.item(j, ref, list[j], rasch)
		if view.Sites.differs(ref) {
			line.Flags = append(line.Flags, ItemFlag{item.Differs, flagWords[item.Differs]})
		}
		view.Items = append(view.Items, line)
	}
	slices.SortStableFunc(view.Items, byNeed)
	view.Versions = sheet.versions()
	if fit != nil {
		view.Charts = append(view.Charts, personItemChart(table, places, *fit))
	}
	return view, nil
}

// count is how many were asked a column.
func (s answerSheet) count(j int) int {
	n := 0
	for _, row := range s.cells {
		if row[j].asked {
			n++
		}
	}
	return n
}
