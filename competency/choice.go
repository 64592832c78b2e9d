package competency

import (
	"slices"
	"strings"
)

// Choice is one entry of a closed list: the id that is stored and the words people read.
type Choice struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// The closed lists of a record, in the order a form shows them. They are never changed while the program runs.
var (
	Operations = []Choice{
		{"mitral", "Mitral valve"}, {"mitral-and-tricuspid", "Mitral and tricuspid valve"}, {"aortic-valve", "Aortic valve"},
		{"coronary", "Coronary bypass"}, {"aortic-valve-and-coronary", "Aortic valve and coronary bypass"},
		{"stand-alone", "Ablation alone"}, {"other", "Other"},
	}
	Approaches       = []Choice{{"sternotomy", "Sternotomy"}, {"mini-thoracotomy", "Mini-thoracotomy"}, {"thoracoscopic", "Thoracoscopic"}}
	Urgencies        = []Choice{{"elective", "Elective"}, {"urgent", "Urgent"}, {"emergency", "Emergency"}}
	LeftAtriumBands  = bandChoices()
	AppendageMethods = []Choice{
		{"excision-and-suture", "Excision and suture"}, {"stapled-excision", "Stapled excision"},
		{"epicardial-occluder", "Epicardial occluder"}, {"internal-suture", "Suture from inside"},
	}
	AppendageResults = []Choice{
		{"closed", "Closed, no flow"}, {"residual-flow", "Residual flow"}, {"stump", "Stump left"}, {"not-checked", "Not checked"},
	}
	Events = []Choice{
		{"bleeding-reoperation", "Reoperation for bleeding"}, {"pacemaker", "Permanent pacemaker"}, {"stroke", "Stroke"},
		{"phrenic-palsy", "Phrenic nerve palsy"}, {"death", "Death"}, {"other", "Other"},
	}
	Performers = []Choice{
		{string(ByTrainee), "Trainee"}, {string(ByTraineeWithHelp), "Trainee with help"}, {string(BySupervisor), "Supervisor"},
	}
	RoleChoices  = []Choice{{string(RolePrimary), "Primary"}, {string(RoleAssistant), "Assistant"}, {string(RoleObserver), "Observer"}}
	ScopeChoices = []Choice{
		{"none", "none"}, {"pulmonary-vein-isolation", "vein isolation"}, {"box", "box"}, {"left-atrial", "left atrial set"}, {"biatrial", "biatrial set"},
	}
	PatternChoices = []Choice{
		{"paroxysmal", "paroxysmal"}, {"persistent", "persistent"}, {"long-standing-persistent", "long-standing persistent"}, {"permanent", "permanent"},
	}
)

// Level is one step of a rating scale.
type Level struct {
	Level int    `json:"level"`
	Name  string `json:"name"`
}

// The two rating scales. One looks back at this operation, the other ahead to the next; they are never mixed.
var (
	HelpLevels = []Level{
		{1, "Trainee watched"}, {2, "Assisted"}, {3, "Performed with hands-on help"}, {4, "Performed with spoken advice"}, {5, "Performed without help"},
	}
	SupervisionLevels = []Level{
		{1, "Watch"}, {2, "Operate with the supervisor scrubbed"}, {3, "Operate with the supervisor at call"}, {4, "Operate alone"}, {5, "May teach others"},
	}
)

// band is a range of left atrial diameters and the diameter that stands for it, in millimetres.
type band struct {
	id, name   string
	midpointMM float64
}

// bands: the middle of each closed range; for the two open ones the middle of the 5 mm or so next to the cut (common practice, no source).
var bands = []band{
	{"under-40", "under 40 mm", 37}, {"40-44", "40 to 44 mm", 42}, {"45-49", "45 to 49 mm", 47},
	{"50-54", "50 to 54 mm", 52}, {"55-60", "55 to 60 mm", 57.5}, {"over-60", "over 60 mm", 63},
}

func bandChoices() []Choice {
	choices := make([]Choice, len(bands))
	for i, b := range bands {
		choices[i] = Choice{b.id, b.name}
	}
	return choices
}

// BandMidpointMM is the left atrial diameter that stands for a band, in millimetres; false for an unknown band.
func BandMidpointMM(id string) (float64, bool) {
	for _, b := range bands {
		if b.id == id {
			return b.midpointMM, true
		}
	}
	return 0, false
}

// has reports whether id is in the list.
func has(list []Choice, id string) bool {
	return slices.ContainsFunc(list, func(c Choice) bool { return c.ID == id })
}

// nameOf is the words of an id, or the id itself when it is unknown.
func nameOf(list []Choice, id string) string {
	for _, c := range list {
		if c.ID == id {
			return c.Name
		}
	}
	return id
}

// idsOf lists the ids for a message.
func idsOf(list []Choice) string {
	ids := make([]string, len(list))
	for i, c := range list {
		ids[i] = c.ID
	}
	return strings.Join(ids, ", ")
}
