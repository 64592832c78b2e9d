package competency

import (
	"isthmus/assessment/atrium"
)

// SettingsExample is what two settings make of one made-up situation.
type SettingsExample struct {
	Field     string `json:"field"`     // the setting it is about
	Situation string `json:"situation"` // what happened
	Before    string `json:"before"`    // role, freedom or late recall, as its id
	BeforeWhy string `json:"before_why"`
	After     string `json:"after"`
	AfterWhy  string `json:"after_why"`
}

// Examples judges made-up situations by the settings and by those before, with the very rules that judge real ones.
func (s Settings) Examples(before Settings) []SettingsExample {
	s, before = s.Filled(), before.Filled()
	examples := make([]SettingsExample, 0, len(roleExamples)+len(followUpExamples))
	for _, one := range roleExamples {
		example := SettingsExample{Field: "role_rule", Situation: one.situation}
		was, why := RoleOf(one.steps, before.RoleRule)
		example.Before, example.BeforeWhy = string(was), why
		is, why := RoleOf(one.steps, s.RoleRule)
		example.After, example.AfterWhy = string(is), why
		examples = append(examples, example)
	}
	for _, one := range followUpExamples {
		example := SettingsExample{Field: "follow_up", Situation: one.situation}
		was, why := before.FollowUp.Judge(one.followUp)
		example.Before, example.BeforeWhy = string(was), why
		is, why := s.FollowUp.Judge(one.followUp)
		example.After, example.AfterWhy = string(is), why
		examples = append(examples, example)
	}
	return examples
}

// exampleSteps are those of a left atrial operation with the appendage closed: the first few by one, the rest by another.
func exampleSteps(first int, by, rest Performer) []Step {
	names := []atrium.LesionID{
		atrium.LeftPulmonaryVeinIsolation, atrium.RightPulmonaryVeinIsolation, atrium.RoofLine, atrium.FloorLine, atrium.MitralIsthmusLine, atrium.CoronarySinusLesion,
	}
	steps := make([]Step, 0, len(names)+1)
	for i, name := range names {
		steps = append(steps, Step{Step: string(name), PerformedBy: rest})
		if i < first {
			steps[i].PerformedBy = by
		}
	}
	return append(steps, Step{Step: StepAppendage, PerformedBy: rest})
}

// roleExamples are seven steps: both vein isolations, roof, floor and mitral line, the coronary sinus and the appendage.
var roleExamples = []struct {
	situation string
	steps     []Step
}{
	{"The trainee performs all seven steps of a left atrial operation.", exampleSteps(7, ByTrainee, ByTrainee)},
	{"The trainee performs all seven, the first two with help.", exampleSteps(2, ByTraineeWithHelp, ByTrainee)},
	{"The trainee performs the box and the mitral isthmus line, the supervisor the coronary sinus lesion and the appendage.", exampleSteps(5, ByTrainee, BySupervisor)},
	{"The trainee performs the box, the supervisor the mitral isthmus line and the rest.", exampleSteps(4, ByTrainee, BySupervisor)},
	{"The trainee performs one vein isolation with help, the supervisor the rest.", exampleSteps(1, ByTraineeWithHelp, BySupervisor)},
}

var followUpExamples = []struct {
	situation string
	followUp  FollowUp
}{
	{"Month 2: an episode over 30 s.", exampleFollowUp(2, 24, "over-30-s", "none")},
	{"Month 6: an episode over 30 s.", exampleFollowUp(6, 24, "over-30-s", "none")},
	{"Month 6: none over 30 s in 24 hours recorded, no drug.", exampleFollowUp(6, 24, "none", "none")},
	{"Month 6: none over 30 s in 24 hours recorded, on a class III drug.", exampleFollowUp(6, 24, "none", "class-iii")},
	{"Month 12: none over 30 s in 168 hours recorded, no drug.", exampleFollowUp(12, 168, "none", "none")},
	{"Month 12: none known, a single ECG only, no drug.", exampleFollowUp(12, 0, "none", "none")},
}

func exampleFollowUp(month, hours int, arrhythmia, drug string) FollowUp {
	f := FollowUp{Month: month, Rhythm: "sinus", Monitoring: "ambulatory", MonitoringHours: hours, Arrhythmia: arrhythmia, Antiarrhythmic: drug, Repeat: []string{}, Stroke: "none"}
	if hours == 0 {
		f.Monitoring = "single-ecg"
	}
	return f
}
