package service

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
	"isthmus/competency"
	"isthmus/policies"
)

// StandardTrial is a standard in the making: its text, or what a form says of it, written in the manner of the text.
type StandardTrial struct {
	YAML        string
	Standard    *competency.Standard // nil: the text alone
	InForceFrom competency.Day       // empty: not said yet
}

// StandardCheck is what a standard in the making says, what is wrong with it, and what it would mean.
type StandardCheck struct {
	YAML     string                      `json:"yaml"`
	Standard *competency.Standard        `json:"standard,omitempty"` // absent when the text cannot be read
	Faults   []strict.Fault              `json:"faults"`
	Lines    []StandardLine              `json:"lines"`
	Against  *StandardSummary            `json:"against,omitempty"` // the version in force today, which the changes are against
	Changes  []competency.StandardChange `json:"changes"`
	Effect   *StandardEffect             `json:"effect,omitempty"` // absent while there are faults
	Caution  string                      `json:"caution"`
}

// StandardLine is one requirement in plain words.
type StandardLine struct {
	Requirement string `json:"requirement"`
	Says        string `json:"says"` // empty while it has faults
}

// CheckStandard reads a standard in the making. Nothing is kept. The error is ErrForbidden.
func (s *Service) CheckStandard(ctx context.Context, actor Actor, programme competency.ProgrammeID, trial StandardTrial) (StandardCheck, error) {
	check := StandardCheck{YAML: trial.YAML, Faults: []strict.Fault{}, Lines: []StandardLine{}, Changes: []competency.StandardChange{}, Caution: atrium.Caution}
	if trial.Standard != nil {
		check.YAML = string(competency.RewriteStandard([]byte(trial.YAML), *trial.Standard))
	}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Standard, policies.Preview, policies.InProgramme); err != nil {
			return err
		}
		standard, faults, read := competency.ReadStandard([]byte(check.YAML))
		check.Faults = append(check.Faults, faults.List...)
		if !read {
			return nil
		}
		check.Standard, check.Lines = &standard, linesOf(standard)
		for i := range check.Lines {
			if at := fmt.Sprintf("requirements[%d]", i); slices.ContainsFunc(faults.List, func(f strict.Fault) bool { return strings.HasPrefix(f.Field, at) }) {
				check.Lines[i].Says = ""
			}
		}
		check.Faults = append(check.Faults, competency.ScreenStandard([]byte(check.YAML)).List...)
		line, err := h.standards()
		if err != nil {
			return err
		}
		check.Faults = append(check.Faults, inText(check.YAML, line.succession(standard, trial.InForceFrom, h.today)).List...)
		unaskable, err := h.unaskable(standard)
		if err != nil {
			return err
		}
		check.Faults = append(check.Faults, inText(check.YAML, unaskable).List...)
		if err := check.compare(h); err != nil || len(check.Faults) > 0 {
			return err
		}
		check.Effect, err = h.effectOf(line, standard)
		return err
	})
	return check, err
}

// inText gives faults found beside a standard's text their places in it; the day is not in the text.
func inText(yaml string, faults strict.Faults) strict.Faults {
	var standard competency.Standard
	document, _ := strict.YAML("", []byte(yaml), &standard)
	for i, f := range faults.List {
		if f.Field != inForceFrom {
			faults.List[i].Line, faults.List[i].Column = document.Place(f.Field)
		}
	}
	return faults
}

// linesOf puts every requirement in words.
func linesOf(standard competency.Standard) []StandardLine {
	lines := make([]StandardLine, len(standard.Requirements))
	for i, r := range standard.Requirements {
		lines[i] = StandardLine{r.ID, r.Says()}
	}
	return lines
}

// compare finds what differs from the version in force today; nothing to compare with is no fault.
func (c *StandardCheck) compare(h *scene) error {
	row, err := h.tx.StandardInForce(h.programme.ID, h.today)
	if errors.Is(err, ErrNotFound) {
		return nil
	}
	if err != nil {
		return err
	}
	before, err := decodeStored(row)
	if err != nil {
		return err
	}
	against := summaryOfStandard(row, before)
	c.Against, c.Changes = &against, c.Standard.Differences(before)
	return nil
}

// inForceFrom is the field of the day from which a standard is in force.
const inForceFrom = "in_force_from"

// succession compares a new standard with those there are: nobody is judged by rules made later. An empty day is not looked at.
func (line timeline) succession(standard competency.Standard, from, today competency.Day) strict.Faults {
	var faults strict.Faults
	if len(line.standards) == 0 {
		return faults
	}
	latest := line.standards[len(line.standards)-1]
	highest := slices.MaxFunc(line.standards, func(a, b datedStandard) int { return a.Version - b.Version })
	if highest.Version >= standard.Version {
		faults.Add("version", "must be higher than %d, the latest version there is", highest.Version)
	}
	switch {
	case from == "":
	case from < latest.from:
		faults.Add(inForceFrom, "must not be before %s, when the latest version came into force", latest.from)
	case from < today:
		faults.Add(inForceFrom, "must not be before today: nobody is judged by rules made later")
	}
	return faults
}

// StandardDifferences is what one version of the standard says otherwise than another.
type StandardDifferences struct {
	Before  StandardSummary             `json:"before"`
	After   StandardSummary             `json:"after"`
	Changes []competency.StandardChange `json:"changes"`
	Same    []StandardLine              `json:"same"` // lines that both have
}

// CompareStandards tells two versions of the programme's standard apart; before 0 is the version added before the other. The error is ErrNotFound or ErrForbidden.
func (s *Service) CompareStandards(ctx context.Context, actor Actor, programme competency.ProgrammeID, before, after int) (StandardDifferences, error) {
	answer := StandardDifferences{Same: []StandardLine{}}
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.may(policies.Standard, policies.Read, policies.InProgramme); err != nil {
			return err
		}
		if before == 0 {
			rows, err := h.tx.Standards(programme) // newest first
			if err != nil {
				return err
			}
			for _, row := range rows {
				if row.Version < after {
					before = row.Version
					break
				}
			}
		}
		var both [2]competency.Standard
		for i, version := range []int{before, after} {
			row, err := h.tx.StandardByVersion(programme, version)
			if err != nil {
				return err
			}
			if both[i], err = decodeStored(row); err != nil {
				return err
			}
			*[]*StandardSummary{&answer.Before, &answer.After}[i] = summaryOfStandard(row, both[i])
		}
		answer.Changes = both[1].Differences(both[0])
		for _, line := range linesOf(both[1]) {
			if !slices.ContainsFunc(answer.Changes, func(c competency.StandardChange) bool { return c.Requirement == line.Requirement }) {
				answer.Same = append(answer.Same, line)
			}
		}
		return nil
	})
	return answer, err
}
