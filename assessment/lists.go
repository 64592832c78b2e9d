package assessment

import (
	"slices"

	"isthmus/assessment/af"
	"isthmus/assessment/atrium"
)

// Lists are the closed lists of a scenario and of a scope policy, each in the order it is offered. Everything else a form offers is the
// atria's own.
type Lists struct {
	Asks                 []Ask          `json:"asks"`
	Primaries            []string       `json:"primaries"`
	Urgencies            []string       `json:"urgencies"`
	Approaches           []string       `json:"approaches"`
	MitralRegurgitations []string       `json:"mitral_regurgitations"`
	StrokeRiskItems      []string       `json:"stroke_risk_items"`
	EarlierAblations     []string       `json:"earlier_ablations"`
	Patterns             []af.Pattern   `json:"patterns"`
	Scopes               []atrium.Scope `json:"scopes"` // rising
	Reasons              []Reason       `json:"reasons"`
	Letters              []Letter       `json:"letters"` // falling
	Codes                []Code         `json:"codes"`   // by part, then code
}

// Code is a finding code with the part its findings belong to and how serious they are.
type Code struct {
	Code     string   `json:"code"`
	Part     Part     `json:"part"`
	Severity Severity `json:"severity"`
}

// AllLists gives the lists; the caller may keep and change them.
func AllLists() Lists {
	lists := Lists{
		Asks: slices.Clone(asks), Primaries: slices.Clone(primaries), Urgencies: slices.Clone(urgencies), Approaches: slices.Clone(approaches),
		MitralRegurgitations: slices.Clone(regurgitationLevels), StrokeRiskItems: slices.Clone(strokeRiskItems),
		EarlierAblations: slices.Clone(earlierAblations), Patterns: slices.Clone(patterns), Scopes: slices.Clone(scopes),
		Reasons: slices.Clone(reasons), Letters: slices.Clone(letters),
	}
	for _, part := range parts {
		for _, code := range Codes() {
			if kind := kinds[code]; kind.part == part {
				lists.Codes = append(lists.Codes, Code{Code: code, Part: part, Severity: kind.severity})
			}
		}
	}
	return lists
}
