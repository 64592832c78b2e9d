package assessment

import (
	"fmt"
	"slices"

	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// Limits of a plan and of the atria it is placed on.
const (
	mostNote      = 2000 // characters
	mostMonths    = 120
	leastAtriumMM = 25.0
	mostAtriumMM  = 90.0
)

// DecodePlan reads a plan in JSON and checks it whole. The error is strict.Faults with the field of every mistake.
func DecodePlan(data []byte) (Plan, error) { return DecodePlanFile("", data) }

// DecodePlanFile is DecodePlan for a named file: every mistake has its line and column.
func DecodePlanFile(file string, data []byte) (Plan, error) {
	if len(data) > strict.MaxBytes {
		return Plan{}, strict.Faults{File: file, List: []strict.Fault{{Message: fmt.Sprintf("larger than %d bytes", strict.MaxBytes)}}}
	}
	var plan Plan
	document, err := strict.JSONDocument(file, data, &plan)
	if err != nil {
		return Plan{}, err
	}
	if err := document.Locate(plan.Validate()).Err(); err != nil {
		return Plan{}, err
	}
	return plan, nil
}

// Validate reports every mistake in the plan taken alone: the decision missing, lesions without the decision to ablate, words out of
// the closed lists, numbers out of range. Whether it is a good plan is the grade's business.
func (p Plan) Validate() strict.Faults {
	var faults strict.Faults
	switch {
	case p.Ablate == nil:
		faults.Add("ablate", "must be true or false")
	case *p.Ablate && p.Reason != "":
		faults.Add("reason", "is the reason for no ablation: leave it out, or set ablate to false")
	case *p.Ablate && len(p.Lesions) == 0:
		faults.Add("lesions", "must have at least one lesion, or set ablate to false")
	case !*p.Ablate:
		checkAmong(&faults, "reason", p.Reason, reasons)
		if len(p.Lesions) > 0 {
			faults.Add("lesions", "must be empty when ablate is false")
		}
	}
	faults.List = append(faults.List, p.lesionSet(Patient{}, Wavelength{}).Validate().List...)
	checkAmong(&faults, "left_appendage.state", p.LeftAppendage.State, appendageStates)
	if p.LeftAppendage.Method != "" {
		checkAmong(&faults, "left_appendage.method", p.LeftAppendage.Method, appendageMethods)
	}
	if p.Aftercare != nil {
		p.Aftercare.check(&faults)
	}
	p.checkSteps(&faults)
	if p.PacingWires != "" {
		checkAmong(&faults, "pacing_wires", p.PacingWires, pacingWires)
	}
	if p.Told != nil {
		p.Told.SinusRhythm.check(&faults, "told.sinus_rhythm_percent")
		p.Told.Pacemaker.check(&faults, "told.pacemaker_percent")
	}
	checkText(&faults, "note", p.Note, 0, mostNote)
	return faults
}

// checkSteps checks that each step is known and done once; none at all is a valid plan.
func (p Plan) checkSteps(faults *strict.Faults) {
	if len(p.Steps) > len(steps) {
		faults.Add("steps", "at most %d steps, each once", len(steps))
		return
	}
	for i, step := range p.Steps {
		field := fmt.Sprintf("steps[%d]", i)
		checkAmong(faults, field, step, steps)
		if slices.Index(p.Steps, step) < i {
			faults.Add(field, "given twice: remove one")
		}
	}
}

// check checks an interval of percent.
func (r Range) check(faults *strict.Faults, field string) {
	before := len(faults.List)
	checkRange(faults, field+".low", r.Low, 0, 100)
	checkRange(faults, field+".high", r.High, 0, 100)
	if len(faults.List) == before && r.Low > r.High {
		faults.Add(field+".low", "must not be more than high, %g", r.High)
	}
}

func (a Aftercare) check(faults *strict.Faults) {
	checkRange(faults, "aftercare.anticoagulation_months", float64(a.AnticoagulationMonths), 0, mostMonths)
	checkAmong(faults, "aftercare.anticoagulation_then", a.AnticoagulationThen, anticoagulations)
	checkRange(faults, "aftercare.monitoring_hours", float64(a.MonitoringHours), 0, 24*366)
	if len(a.MonitoringMonths) > mostMonths {
		faults.Add("aftercare.monitoring_months", "at most %d months", mostMonths)
		return
	}
	for i, month := range a.MonitoringMonths {
		field := fmt.Sprintf("aftercare.monitoring_months[%d]", i)
		checkRange(faults, field, float64(month), 1, mostMonths)
		if slices.Index(a.MonitoringMonths, month) < i {
			faults.Add(field, "given twice: remove one")
		}
	}
}

// lesionSet is what the conduction model is asked about: the plan's lesions on the patient's atria.
func (p Plan) lesionSet(patient Patient, w Wavelength) atrium.LesionSet {
	set := atrium.LesionSet{
		Lesions:                 p.Lesions,
		LeftAtriumDiameterMM:    patient.LeftAtriumMM,
		RightAtriumDiameterMM:   patient.RightAtriumMM,
		ConductionVelocityMPerS: w.ConductionVelocityMPerS,
		RefractoryPeriodMS:      w.RefractoryPeriodMS,
	}
	if slices.Contains(appendageStates, p.LeftAppendage.State) { // an unknown state is the plan's own fault, reported once
		set.LeftAppendage = p.LeftAppendage.State
	}
	return set
}

// ablates reports the decision; a plan without one counts as none.
func (p Plan) ablates() bool { return p.Ablate != nil && *p.Ablate }
