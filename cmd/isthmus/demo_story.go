package main

import (
	_ "embed"

	"isthmus/assessment"
	"isthmus/policies"
)

// The frame of the story. Everything and everybody in it is invented.
const (
	demoLength    = 548 // days: eighteen months
	demoProgramme = "Northmere programme (invented)"
	demoPassword  = "a-narrow-passage" // fixed: it guards invented data only
)

// demoStandard is the programme's standard; its thresholds are examples.
//
//go:embed demo_standard.yaml
var demoStandard string

var demoSites = []string{"Northmere Hill", "Northmere Quay"}

// demoPeople are the programme's members. joined is so many days before today.
var demoPeople = []struct {
	key, name string
	role      policies.Role
	joined    int
	stage     string
}{
	{"amara", "Amara Lindqvist", policies.Director, demoLength + 2, "reads the cohort"},
	{"jonas", "Jonas Okafor", policies.Coordinator, demoLength + 2, "sees who waits for whom"},
	{"mei", "Mei Castellano", policies.Faculty, demoLength + 2, "signs within days"},
	{"tomasz", "Tomasz Adeyemi", policies.Faculty, demoLength + 2, "signs late"},
	{"leila", "Leila Brandt", policies.Faculty, demoLength + 2, "signs within days"},
	{"petra", "Petra Osei", policies.Faculty, demoLength + 2, "rates strictly"},
	{"davit", "Davit Nolan", policies.Faculty, demoLength + 2, "rates kindly"},
	{"aiko", "Aiko Moreau", policies.Committee, demoLength + 2, "sits in the committee"},
	{"ruben", "Ruben Takahashi", policies.Committee, demoLength + 2, "sits in the committee"},
	{"ines", "Ines Haddad", policies.Trainee, 540, "ready for committee review"},
	{"kofi", "Kofi Marchetti", policies.Trainee, 500, "slipping: no case for half a year"},
	{"sana", "Sana Petrov", policies.Trainee, 420, "stalled: a returned case lies there"},
	{"mateo", "Mateo Yilmaz", policies.Trainee, 380, "well on the way"},
	{"hana", "Hana Dubois", policies.Trainee, 260, "claims more than the supervisors saw"},
	{"noor", "Noor Eriksen", policies.Trainee, 45, "new"},
}

// fate is what becomes of a case.
type fate int

const (
	signedOff   fate = iota
	waiting          // submitted
	returned         // and left lying
	resubmitted      // returned, corrected, signed
	withdrawn
	draft
	overclaimed // signed; the supervisor saw the trainee do less than the trainee says
)

// demoCase is one operation. ago is so many days before today, skill says how much the trainee does (0 watches, 5 everything alone),
// signed is so many days after the operation.
type demoCase struct {
	who   string
	ago   int
	af    string // paroxysmal, persistent, long-standing
	op    string // coronary and aortic-valve leave the left atrium closed
	set   string // veins, box, left, biatrial
	skill int
	by    string
	signs int
	fate  fate
}

// demoLeaning is how many levels of help given somebody rates above what the others would: two of the faculty do, each their own way. They
// sign no case that this would move past the level the standard asks for, so that nobody's standing rests on it.
var demoLeaning = map[string]int{"petra": -1, "davit": 1}

// demoCases: in about one signed operation in five for non-paroxysmal AF the right atrial lines are left out, which is the omission
// the cohort's headline counts (common practice, no source: the commonest there is).
var demoCases = []demoCase{
	{"ines", 520, "long-standing", "mitral", "left", 1, "mei", 2, signedOff},
	{"ines", 488, "paroxysmal", "coronary", "box", 1, "tomasz", 5, signedOff},
	{"ines", 455, "persistent", "mitral", "biatrial", 2, "davit", 1, signedOff},
	{"ines", 430, "long-standing", "mitral-and-tricuspid", "biatrial", 2, "petra", 3, signedOff},
	{"ines", 402, "paroxysmal", "coronary", "box", 3, "tomasz", 18, signedOff},
	{"ines", 371, "persistent", "mitral", "biatrial", 3, "petra", 2, signedOff},
	{"ines", 340, "long-standing", "mitral", "left", 3, "mei", 1, signedOff},
	{"ines", 310, "long-standing", "mitral-and-tricuspid", "biatrial", 3, "petra", 4, signedOff},
	{"ines", 281, "paroxysmal", "aortic-valve", "box", 4, "tomasz", 6, signedOff},
	{"ines", 255, "persistent", "mitral", "biatrial", 4, "leila", 1, signedOff},
	{"ines", 226, "long-standing", "mitral", "biatrial", 4, "mei", 2, signedOff},
	{"ines", 198, "persistent", "mitral", "biatrial", 3, "leila", 3, signedOff},
	{"ines", 170, "paroxysmal", "mitral", "left", 4, "leila", 2, signedOff},
	{"ines", 141, "long-standing", "mitral-and-tricuspid", "biatrial", 4, "mei", 1, signedOff},
	{"ines", 112, "persistent", "mitral", "biatrial", 4, "tomasz", 9, signedOff},
	{"ines", 84, "long-standing", "mitral", "biatrial", 5, "mei", 2, signedOff},
	{"ines", 55, "persistent", "mitral", "biatrial", 4, "leila", 2, signedOff},
	{"ines", 26, "long-standing", "mitral-and-tricuspid", "biatrial", 5, "tomasz", 7, signedOff},
	{"ines", 8, "persistent", "mitral", "biatrial", 4, "mei", 3, signedOff},

	{"kofi", 470, "long-standing", "mitral", "biatrial", 1, "davit", 2, signedOff},
	{"kofi", 446, "paroxysmal", "coronary", "box", 1, "tomasz", 20, signedOff},
	{"kofi", 421, "persistent", "mitral", "left", 2, "davit", 2, signedOff},
	{"kofi", 399, "long-standing", "mitral", "biatrial", 3, "petra", 3, signedOff},
	{"kofi", 377, "persistent", "mitral-and-tricuspid", "biatrial", 3, "petra", 1, signedOff},
	{"kofi", 352, "long-standing", "mitral", "biatrial", 3, "tomasz", 16, signedOff},
	{"kofi", 330, "paroxysmal", "coronary", "box", 4, "mei", 2, signedOff},
	{"kofi", 309, "persistent", "mitral", "biatrial", 4, "leila", 2, signedOff},
	{"kofi", 288, "long-standing", "mitral", "biatrial", 3, "mei", 4, signedOff},
	{"kofi", 262, "persistent", "mitral", "biatrial", 4, "tomasz", 6, signedOff},
	{"kofi", 231, "paroxysmal", "aortic-valve", "box", 4, "leila", 2, signedOff},
	{"kofi", 204, "long-standing", "mitral-and-tricuspid", "biatrial", 4, "mei", 1, signedOff},
	{"kofi", 198, "persistent", "mitral", "left", 4, "leila", 2, signedOff},

	{"sana", 395, "persistent", "mitral", "left", 0, "tomasz", 12, signedOff},
	{"sana", 362, "long-standing", "mitral", "biatrial", 1, "petra", 2, signedOff},
	{"sana", 318, "paroxysmal", "coronary", "veins", 0, "leila", 3, signedOff},
	{"sana", 341, "paroxysmal", "coronary", "box", 0, "davit", 3, signedOff},
	{"sana", 297, "paroxysmal", "aortic-valve", "box", 0, "davit", 2, signedOff},
	{"sana", 274, "persistent", "mitral", "left", 2, "tomasz", 22, signedOff},
	{"sana", 240, "long-standing", "mitral", "biatrial", 2, "davit", 2, signedOff},
	{"sana", 236, "persistent", "mitral", "biatrial", 2, "tomasz", 0, returned},

	{"mateo", 360, "long-standing", "mitral", "biatrial", 1, "davit", 2, signedOff},
	{"mateo", 335, "paroxysmal", "coronary", "box", 1, "mei", 4, signedOff},
	{"mateo", 306, "persistent", "mitral", "biatrial", 2, "tomasz", 17, signedOff},
	{"mateo", 270, "long-standing", "mitral", "left", 2, "leila", 2, overclaimed},
	{"mateo", 241, "persistent", "mitral", "biatrial", 3, "petra", 1, signedOff},
	{"mateo", 212, "paroxysmal", "coronary", "box", 3, "tomasz", 8, signedOff},
	{"mateo", 183, "long-standing", "mitral-and-tricuspid", "biatrial", 3, "leila", 6, resubmitted},
	{"mateo", 150, "persistent", "mitral", "biatrial", 3, "mei", 2, signedOff},
	{"mateo", 149, "persistent", "mitral", "biatrial", 3, "mei", 0, withdrawn},
	{"mateo", 118, "long-standing", "mitral", "biatrial", 4, "tomasz", 19, signedOff},
	{"mateo", 79, "persistent", "mitral", "biatrial", 4, "leila", 1, signedOff},
	{"mateo", 43, "paroxysmal", "aortic-valve", "box", 4, "mei", 3, signedOff},
	{"mateo", 17, "long-standing", "mitral", "biatrial", 4, "tomasz", 0, waiting},

	{"hana", 241, "persistent", "mitral", "left", 1, "davit", 3, overclaimed},
	{"hana", 207, "long-standing", "mitral", "left", 2, "tomasz", 6, signedOff},
	{"hana", 168, "paroxysmal", "coronary", "veins", 3, "petra", 2, signedOff},
	{"hana", 126, "persistent", "mitral", "biatrial", 2, "davit", 2, overclaimed},
	{"hana", 90, "long-standing", "mitral-and-tricuspid", "biatrial", 3, "leila", 1, signedOff},
	{"hana", 62, "persistent", "mitral", "left", 2, "tomasz", 21, overclaimed},
	{"hana", 31, "paroxysmal", "coronary", "box", 3, "mei", 2, signedOff},
	{"hana", 9, "long-standing", "mitral", "biatrial", 3, "leila", 0, waiting},

	{"noor", 30, "persistent", "mitral", "biatrial", 0, "mei", 2, signedOff},
	{"noor", 11, "long-standing", "mitral", "biatrial", 1, "leila", 3, signedOff},
	{"noor", 4, "paroxysmal", "coronary", "box", 1, "tomasz", 0, waiting},
	{"noor", 2, "persistent", "mitral", "biatrial", 1, "mei", 0, draft},
}

// demoPlan is one answer to a scenario: 0 is an expert's, n the scenario's n-th flawed one.
type demoPlan struct {
	who      string
	ago      int
	scenario assessment.ScenarioID
	flawed   int
}

var demoPlans = []demoPlan{
	{"ines", 515, "persistent-mitral-repair", 2}, {"ines", 470, "persistent-mitral-repair", 0}, {"ines", 412, "long-standing-mitral-and-tricuspid", 1},
	{"ines", 350, "long-standing-mitral-and-tricuspid", 0}, {"ines", 296, "paroxysmal-coronary-closed", 1}, {"ines", 250, "paroxysmal-coronary-closed", 0},
	{"ines", 120, "permanent-accepted", 0}, {"ines", 60, "clot-thoracoscopic", 0},
	{"kofi", 480, "persistent-mitral-repair", 1}, {"kofi", 450, "persistent-mitral-repair", 0}, {"kofi", 410, "paroxysmal-aortic-large-atrium", 0},
	{"kofi", 385, "long-standing-mitral-and-tricuspid", 2}, {"kofi", 360, "long-standing-mitral-and-tricuspid", 0},
	{"sana", 400, "persistent-mitral-repair", 2}, {"sana", 370, "paroxysmal-coronary-closed", 2}, {"sana", 300, "persistent-mitral-repair", 1},
	{"mateo", 370, "persistent-mitral-repair", 1}, {"mateo", 320, "persistent-mitral-repair", 0}, {"mateo", 280, "paroxysmal-mitral-repair", 0},
	{"mateo", 190, "long-standing-mitral-and-tricuspid", 3}, {"mateo", 66, "long-standing-mitral-and-tricuspid", 0},
	{"hana", 250, "persistent-mitral-repair", 3}, {"hana", 200, "paroxysmal-coronary-closed", 4}, {"hana", 100, "persistent-mitral-repair", 0},
	{"hana", 20, "clot-at-mitral-replacement", 1},
	{"noor", 38, "persistent-mitral-repair", 2}, {"noor", 21, "paroxysmal-coronary-closed", 1},
}

// What people write, taken in turn. None of it is about anybody.
var (
	demoNotes = []string{
		"", "Floor line took a third application before the exit test was quiet.", "P2 flail; ring and repair first, lesions on the arrested heart.",
		"", "Left veins hard to reach: heart lifted twice.", "Thick fat pad on the roof, frozen for 2 minutes.", "", "Sinus rhythm at the end, pacing wires left in.",
	}
	demoKeep = []string{
		"calm, complete exit tests on both rings", "good view of the annulus before freezing", "lines joined without a second look", "told the team each step ahead",
		"kept the clamp on the antrum, not the vein", "checked the phrenic nerve every time",
	}
	demoChange = []string{
		"slower on the floor line, look for the oesophagus first", "test entrance as well as exit", "carry the mitral line right to the annulus",
		"ask for the third application without being told", "plan the right atrial lines before going on bypass", "dry the surface before each application",
	}
)

// The demo's reasons.
const (
	demoReturned  = "the floor line was done but is not in the record: please add it with its step"
	demoWithdrawn = "entered twice: this operation is logged already"
)
