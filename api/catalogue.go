package api

import (
	"context"
	"net/http"
	"strings"

	"isthmus/assessment"
	"isthmus/assessment/atrium"
	"isthmus/competency"
	"isthmus/policies"
)

// Catalogue is the atria as the model has them, and every closed list a form needs.
type Catalogue struct {
	Model             string              `json:"model"`
	Chambers          []Chamber           `json:"chambers"`
	Lesions           []CatalogueLesion   `json:"lesions"`
	Neighbours        []atrium.Neighbour  `json:"neighbours"` // what lies behind the walls
	Energies          []competency.Choice `json:"energies"`
	BlockTests        []competency.Choice `json:"block_tests"`
	AppendageStates   []competency.Choice `json:"appendage_states"`
	AppendageMethods  []competency.Choice `json:"appendage_methods"`
	AppendageResults  []competency.Choice `json:"appendage_results"`
	Performers        []competency.Choice `json:"performers"`
	HelpLevels        []competency.Level  `json:"help_levels"`
	SupervisionLevels []competency.Level  `json:"supervision_levels"`
	Operations        []competency.Choice `json:"operations"`
	Approaches        []competency.Choice `json:"approaches"`
	Urgencies         []competency.Choice `json:"urgencies"`
	LeftAtriumBands   []competency.Choice `json:"left_atrium_bands"`
	Events            []competency.Choice `json:"events"`
	Reasons           []competency.Choice `json:"reasons"`
	Scopes            []competency.Choice `json:"scopes"`
	Steps             []competency.Choice `json:"steps"`
	PacingWires       []competency.Choice `json:"pacing_wires"`
	FollowUp          FollowUpLists       `json:"follow_up"`
	Authoring         assessment.Lists    `json:"authoring"` // what scenarios and scope policies are written with
	Caution           string              `json:"caution"`
}

// FollowUpLists are the closed lists of a follow-up.
type FollowUpLists struct {
	Rhythms          []competency.Choice `json:"rhythms"`
	Monitorings      []competency.Choice `json:"monitorings"`
	Arrhythmias      []competency.Choice `json:"arrhythmias"`
	Antiarrhythmics  []competency.Choice `json:"antiarrhythmics"`
	PacemakerBands   []competency.Choice `json:"pacemaker_bands"`
	PacemakerReasons []competency.Choice `json:"pacemaker_reasons"`
	Repeats          []competency.Choice `json:"repeat_procedures"`
	Strokes          []competency.Choice `json:"strokes"`
}

// followUpLists are those of competency.
var followUpLists = FollowUpLists{
	Rhythms: competency.FollowUpRhythms, Monitorings: competency.FollowUpMonitorings, Arrhythmias: competency.FollowUpArrhythmias,
	Antiarrhythmics: competency.Antiarrhythmics, PacemakerBands: competency.PacemakerBands, PacemakerReasons: competency.PacemakerReasons,
	Repeats: competency.RepeatProcedures, Strokes: competency.Strokes,
}

// Chamber is one atrium as a ball seen from the front of its map: x to the patient's right, y superior, z posterior.
type Chamber struct {
	Chamber    atrium.Chamber  `json:"chamber"`
	Name       string          `json:"name"`
	RadiusMM   float64         `json:"radius_mm"`
	Projection Projection      `json:"projection"`
	Openings   []Opening       `json:"openings"`
	Sites      []CatalogueSite `json:"sites"`
}

// Projection is an equal-area map (Lambert's): its middle, and what is right and up in it.
type Projection struct {
	Centre atrium.Vec `json:"centre"`
	Right  atrium.Vec `json:"right"`
	Up     atrium.Vec `json:"up"`
}

// Opening is a hole in a chamber: a vein, an annulus, an ostium.
type Opening struct {
	Obstacle  atrium.Obstacle `json:"obstacle"`
	Name      string          `json:"name"`
	Centre    atrium.Vec      `json:"centre"`
	RadiusDeg float64         `json:"radius_deg"`
}

// CatalogueSite is a named place.
type CatalogueSite struct {
	Site string     `json:"site"`
	Name string     `json:"name"`
	At   atrium.Vec `json:"at"`
}

// CatalogueLesion is a named lesion with its standard path.
type CatalogueLesion struct {
	ID      atrium.LesionID `json:"id"`
	Name    string          `json:"name"`
	Chamber atrium.Chamber  `json:"chamber"`
	Closed  bool            `json:"closed"`
	Path    []atrium.Vec    `json:"path"`
}

func (s *server) registerCatalogue() {
	type size struct {
		Left  float64 `query:"left_atrium_diameter_mm" minimum:"20" maximum:"90" doc:"The normal size when absent."`
		Right float64 `query:"right_atrium_diameter_mm" minimum:"20" maximum:"90" doc:"The normal size when absent."`
	}
	register(s, operation{
		id: "atrium", method: http.MethodGet, path: "/api/atrium", tag: "Atria", object: policies.Catalogue, action: policies.Read,
		summary: "The atria as the model has them, the named lesions, and every closed list a form needs",
	}, func(_ context.Context, in *size) (*answer[Catalogue], error) {
		return &answer[Catalogue]{Body: catalogue(in.Left, in.Right)}, nil
	})
}

// catalogue is the same for everybody; the diameters in mm, 0 for normal, size the chambers' openings.
func catalogue(leftMM, rightMM float64) Catalogue {
	c := Catalogue{
		Model: atrium.ModelVersion, Chambers: []Chamber{chamberOf(atrium.LeftAtrium, leftMM), chamberOf(atrium.RightAtrium, rightMM)},
		Energies: []competency.Choice{
			{ID: string(atrium.BipolarRF), Name: "Bipolar radiofrequency"}, {ID: string(atrium.UnipolarRF), Name: "Unipolar radiofrequency"},
			{ID: string(atrium.Cryo), Name: "Cryothermy"}, {ID: string(atrium.Incision), Name: "Incision"},
		},
		BlockTests: []competency.Choice{
			{ID: string(atrium.NotTested), Name: "Not tested"}, {ID: string(atrium.EntranceBlock), Name: "Entrance block"},
			{ID: string(atrium.ExitBlock), Name: "Exit block"}, {ID: string(atrium.ExitAndEntrance), Name: "Exit and entrance block"},
			{ID: string(atrium.Bidirectional), Name: "Block in both directions"},
		},
		AppendageStates: []competency.Choice{
			{ID: string(atrium.AppendageKept), Name: "Kept"}, {ID: string(atrium.AppendageExcised), Name: "Excised"},
			{ID: string(atrium.AppendageExcluded), Name: "Excluded"},
		},
		AppendageMethods: competency.AppendageMethods, AppendageResults: competency.AppendageResults, Performers: competency.Performers,
		HelpLevels: competency.HelpLevels, SupervisionLevels: competency.SupervisionLevels, Operations: competency.Operations,
		Approaches: competency.Approaches, Urgencies: competency.Urgencies, LeftAtriumBands: competency.LeftAtriumBands, Events: competency.Events,
		Reasons: []competency.Choice{
			{ID: string(assessment.RhythmControlGivenUp), Name: "Rhythm control given up"}, {ID: string(assessment.Thrombus), Name: "Thrombus"},
			{ID: string(assessment.Emergency), Name: "Emergency"}, {ID: string(assessment.RiskTooHigh), Name: "Risk too high"},
		},
		Scopes: competency.ScopeChoices, Steps: stepChoices, PacingWires: wireChoices, FollowUp: followUpLists, Authoring: assessment.AllLists(), Caution: atrium.Caution,
	}
	c.Neighbours = append(atrium.Neighbours(atrium.LeftAtrium, leftMM), atrium.Neighbours(atrium.RightAtrium, rightMM)...)
	for _, lesion := range atrium.CatalogueFor(leftMM, rightMM) {
		c.Lesions = append(c.Lesions, CatalogueLesion{ID: lesion.ID, Name: lesion.Name, Chamber: lesion.Chamber, Closed: lesion.Closed, Path: lesion.Path})
	}
	return c
}

// chamberOf describes one chamber at a diameter in mm, 0 for normal.
func chamberOf(chamber atrium.Chamber, diameterMM float64) Chamber {
	seen := atrium.ProjectionOf(chamber)
	described := Chamber{
		Chamber: chamber, Name: firstUpper(competency.Words(string(chamber))), RadiusMM: atrium.RadiusMM(chamber, diameterMM),
		Projection: Projection{Centre: seen.Centre, Right: seen.Right, Up: seen.Up}, Openings: []Opening{}, Sites: []CatalogueSite{},
	}
	for _, opening := range atrium.Openings(chamber, diameterMM) {
		described.Openings = append(described.Openings, Opening{
			Obstacle: opening.Obstacle, Name: opening.Name, Centre: opening.Centre, RadiusDeg: opening.RadiusDeg,
		})
	}
	for _, site := range atrium.Sites() {
		if site.Site.Chamber == chamber {
			described.Sites = append(described.Sites, CatalogueSite{Site: site.ID, Name: site.Name, At: site.Site.At})
		}
	}
	return described
}

// firstUpper begins a name with a capital.
func firstUpper(name string) string {
	if name == "" {
		return name
	}
	return strings.ToUpper(name[:1]) + name[1:]
}
