package api

import (
	"isthmus/assessment"
	"isthmus/competency"
)

// stepChoices names the steps of an operation. Their order here means nothing: the one that is right is for the plan to find.
var stepChoices = []competency.Choice{
	{ID: string(assessment.StepArrest), Name: "Clamp the aorta and arrest the heart"},
	{ID: string(assessment.StepBlockTest), Name: "Test block by pacing"},
	{ID: string(assessment.StepClearClot), Name: "Clear any clot from the left atrium"},
	{ID: string(assessment.StepClosureCheck), Name: "Check the appendage's closure by echo"},
	{ID: string(assessment.StepVeinIsolation), Name: "Isolate the pulmonary veins"},
	{ID: string(assessment.StepLeftAtrialLines), Name: "Make the left atrial lines"},
	{ID: string(assessment.StepRightAtrialLines), Name: "Make the right atrial lines"},
	{ID: string(assessment.StepPacingWires), Name: "Place the pacing wires"},
	{ID: string(assessment.StepPrimaryOperation), Name: "Do the primary operation"},
	{ID: string(assessment.StepAppendage), Name: "Treat the left appendage"},
}

// wireChoices names the temporary pacing wires left at the end.
var wireChoices = []competency.Choice{
	{ID: string(assessment.WiresBoth), Name: "Atrial and ventricular wires"},
	{ID: string(assessment.WiresVentricular), Name: "Ventricular wires only"},
	{ID: string(assessment.WiresNone), Name: "No wires"},
}
