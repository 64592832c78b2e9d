package assessment

import (
	"fmt"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
)

// decisions compares everything but the lesions, as far as the scenario asks for it.
func (c *comparison) decisions() {
	if c.scenario.asked(AskAppendage) {
		c.appendage()
	}
	if c.scenario.asked(AskSteps) {
		c.steps()
	}
	if c.scenario.asked(AskPacing) {
		c.differ(Difference{
			Topic: TopicPacing, About: "Pacing wires left", Yours: inWords(c.yours.plan.PacingWires), Theirs: inWords(c.theirs.plan.PacingWires),
			Means: "After lines in the right atrium the sinus node may be slow for days: an atrial wire paces without losing the atrial beat.", Source: commonPractice,
		})
	}
	if c.scenario.asked(AskTold) {
		c.told()
	}
	if c.scenario.asked(AskAftercare) {
		c.followUp()
	}
}

// appendage compares what is done with the left appendage.
func (c *comparison) appendage() {
	y, t := c.yours.plan.LeftAppendage, c.theirs.plan.LeftAppendage
	at := &Place{Chamber: atrium.LeftAtrium, At: unit(appendage)}
	about := func(about, yours, theirs string) Difference {
		return Difference{Topic: TopicAppendage, About: about, Yours: yours, Theirs: theirs, Place: at, TheirPlace: at}
	}
	state := about("Left appendage", inWords(y.State), inWords(t.State))
	if y.State == atrium.AppendageKept || t.State == atrium.AppendageKept {
		state = ofKind("appendage-left", state)
	} else {
		state.Means, state.Source = "Both close it: cut off it is gone, excluded it stays in place and must be proven closed.", commonPractice
	}
	c.differ(state)
	if y.State != atrium.AppendageKept && t.State != atrium.AppendageKept {
		c.differ(ofKind("appendage-method-weak", about("How the appendage is closed", inWords(y.Method), inWords(t.Method))))
		looked := map[bool]string{true: "judged by echo", false: "not judged"}
		c.differ(ofKind("appendage-closure-not-checked", about("Closure of the appendage", looked[y.FlowCheck], looked[t.FlowCheck])))
	}
	clot := map[bool]string{true: "cleared before the appendage is handled", false: "not cleared first"}
	if c.scenario.Patient.ThrombusOnImaging {
		c.differ(ofKind("thrombus-handled", about("Clot in the appendage", clot[y.ClotFirst], clot[t.ClotFirst])))
	}
}

// steps compares the order in which the parts of the operation are done.
func (c *comparison) steps() {
	y, t := c.yours.plan.Steps, c.theirs.plan.Steps
	says := func(list []Step) string {
		names := make([]string, len(list))
		for i, step := range list {
			names[i] = inWords(step)
		}
		if len(names) == 0 {
			return "not said"
		}
		return strings.Join(names, ", ")
	}
	d := Difference{Topic: TopicSteps, About: "Order of the steps", Yours: says(y), Theirs: says(t)}
	if a, b, found := turned(y, t); found {
		d.Means = fmt.Sprintf("The two do %s and %s in opposite order.", inWords(a), inWords(b))
	} else {
		d.Means = "What both do they do in the same order; the steps that only one has are the difference."
	}
	c.differ(d)
}

// turned finds two steps that the lists have in opposite order: the first such in the order steps are offered in.
func turned(y, t []Step) (a, b Step, found bool) {
	for i, a := range steps {
		for _, b := range steps[i+1:] {
			ya, yb, ta, tb := slices.Index(y, a), slices.Index(y, b), slices.Index(t, a), slices.Index(t, b)
			if ya >= 0 && yb >= 0 && ta >= 0 && tb >= 0 && (ya < yb) != (ta < tb) {
				return a, b, true
			}
		}
	}
	return "", "", false
}

// told compares what the patient is told to expect.
func (c *comparison) told() {
	says := func(p Plan, of func(Told) Range) string {
		if p.Told == nil {
			return "not said"
		}
		r := of(*p.Told)
		return fmt.Sprintf("%g to %g %%", r.Low, r.High)
	}
	for _, one := range []struct {
		about, means string
		of           func(Told) Range
	}{
		{"Sinus rhythm at 12 months", "A patient who is promised more than the figures hold will feel failed; one who is promised less may decline what would help.", func(t Told) Range { return t.SinusRhythm }},
		{"Pacemaker after the operation", "The risk of a pacemaker is the price of more lines and belongs in the consent.", func(t Told) Range { return t.Pacemaker }},
	} {
		c.differ(Difference{
			Topic: TopicTold, About: "Told: " + lower(one.about), Yours: says(c.yours.plan, one.of), Theirs: says(c.theirs.plan, one.of), Means: one.means, Source: commonPractice,
		})
	}
}

// followUp compares anticoagulation and rhythm monitoring.
func (c *comparison) followUp() {
	after := func(p Plan) Aftercare {
		if p.Aftercare == nil {
			return Aftercare{}
		}
		return *p.Aftercare
	}
	y, t := after(c.yours.plan), after(c.theirs.plan)
	months := func(a Aftercare) string { return "at least " + count(a.AnticoagulationMonths, "month") }
	d := ofKind("anticoagulation-short", Difference{Topic: TopicAftercare, About: "Anticoagulation", Yours: months(y), Theirs: months(t)})
	if min(y.AnticoagulationMonths, t.AnticoagulationMonths) >= leastAnticoagulationMonths {
		d.Means, d.Source = "Both reach the least that is asked for; longer means less clot and more bleeding.", commonPractice
	}
	c.differ(d)
	c.differ(ofKind("anticoagulation-stopped", Difference{
		Topic: TopicAftercare, About: "Anticoagulation afterwards", Yours: inWords(y.AnticoagulationThen), Theirs: inWords(t.AnticoagulationThen),
	}))
	monitoring := func(a Aftercare) string {
		if len(a.MonitoringMonths) == 0 || a.MonitoringHours == 0 {
			return "no recording"
		}
		sorted := slices.Sorted(slices.Values(a.MonitoringMonths))
		return fmt.Sprintf("%d hours at months %s", a.MonitoringHours, strings.Trim(strings.ReplaceAll(fmt.Sprint(sorted), " ", ", "), "[]"))
	}
	d = ofKind("monitoring-short", Difference{Topic: TopicAftercare, About: "Rhythm recording", Yours: monitoring(y), Theirs: monitoring(t)})
	if y.recordsEnough() && t.recordsEnough() {
		d.Means, d.Source = "Both record enough for the definition of success; longer recordings find more silent AF.", commonPractice
	}
	c.differ(d)
}

// recordsEnough reports whether the recordings meet the definition of success.
func (a Aftercare) recordsEnough() bool {
	missing := slices.ContainsFunc(monitoringMonths, func(m int) bool { return !slices.Contains(a.MonitoringMonths, m) })
	return !missing && a.MonitoringHours >= leastMonitoringHours
}
