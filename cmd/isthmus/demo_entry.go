package main

import (
	"isthmus/competency"
)

// The demo's programme shortens once how long a proof of identity carries signatures.
const (
	demoSigningBefore = 30 // minutes
	demoSigningReason = "The computer in the theatre corridor is shared, and half an hour is long there."
)

// demoPatterns are operations that a trainee begins cases from: one case for each, who and by whom, and what the trainee calls it.
var demoPatterns = []struct {
	name string
	from demoCase
}{
	{"Mitral, biatrial", demoCase{ago: 20, who: "ines", by: "mei", op: "mitral", af: "long-standing", set: "biatrial", skill: 6}},
	{"Coronary, veins only", demoCase{ago: 22, who: "ines", by: "tomasz", op: "coronary", af: "paroxysmal", set: "veins", skill: 6}},
}

// tellEntry puts in their place what the programme set and the patterns that a trainee saved.
func (t *demoTeller) tellEntry() {
	t.acts = append(t.acts, demoAct{t.at(demoLength-30, 12, 0), t.shortenSigning}, demoAct{t.at(2, 19, 0), t.savePatterns})
}

func (t *demoTeller) shortenSigning() error {
	settings := competency.Defaults()
	settings.Sites = demoSites
	_, err := t.service.ChangeSettings(t.ctx, t.as("amara"), t.programme, 0, settings, demoSigningReason)
	return err
}

func (t *demoTeller) savePatterns() error {
	for _, pattern := range demoPatterns {
		if _, err := t.service.SaveCasePattern(t.ctx, t.as(pattern.from.who), t.programme, pattern.name, t.record(pattern.from, pattern.from.skill)); err != nil {
			return err
		}
	}
	return nil
}
