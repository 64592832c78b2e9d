package atrium

// Scope is what a lesion set amounts to, computed from its effect and never from the names of its lesions.
type Scope string

// The scopes, in rising order.
const (
	ScopeNone                   Scope = "none"
	ScopePulmonaryVeinIsolation Scope = "pulmonary-vein-isolation"
	ScopeBox                    Scope = "box"
	ScopeLeftAtrial             Scope = "left-atrial"
	ScopeBiatrial               Scope = "biatrial"
)

// Rank orders scopes: none 0 to biatrial 4; -1 for an unknown scope.
func (s Scope) Rank() int {
	for i, known := range []Scope{ScopeNone, ScopePulmonaryVeinIsolation, ScopeBox, ScopeLeftAtrial, ScopeBiatrial} {
		if s == known {
			return i
		}
	}
	return -1
}

// Verdict says whether a circuit can hold a re-entrant wave.
type Verdict string

// The verdicts: shorter than 78 mm; shorter than the wavelength; at least the wavelength.
const (
	Harmless   Verdict = "harmless"
	Possible   Verdict = "possible"
	CanSustain Verdict = "can-sustain"
)

// Obstacle names something tissue conducts round.
type Obstacle string

// The obstacles of both chambers. The stump is one only once the appendage is excised or excluded.
const (
	LeftSuperiorVein    Obstacle = "left-superior-vein"
	LeftInferiorVein    Obstacle = "left-inferior-vein"
	RightSuperiorVein   Obstacle = "right-superior-vein"
	RightInferiorVein   Obstacle = "right-inferior-vein"
	LeftAppendageStump  Obstacle = "left-appendage-stump"
	MitralAnnulus       Obstacle = "mitral-annulus"
	SuperiorVenaCava    Obstacle = "superior-vena-cava"
	InferiorVenaCava    Obstacle = "inferior-vena-cava"
	CoronarySinusOstium Obstacle = "coronary-sinus-ostium"
	TricuspidAnnulus    Obstacle = "tricuspid-annulus"
)

// Result is the conduction result of one lesion set. Its first fields are the contract of `isthmus conduct` and of the API.
type Result struct {
	Model                 string        `json:"model"`
	Scope                 Scope         `json:"scope"`
	LeftAtrium            ChamberResult `json:"left_atrium"`
	RightAtrium           ChamberResult `json:"right_atrium"`
	SinusToAVNode         bool          `json:"sinus_to_av_node"`
	VeinsIsolated         []string      `json:"veins_isolated"` // left-superior, left-inferior, right-superior, right-inferior
	PosteriorWallIsolated bool          `json:"posterior_wall_isolated"`
	WavelengthMM          float64       `json:"wavelength_mm"`         // the wavelength the verdicts used
	BetweenAtria          []Circuit     `json:"between_atria"`         // loops over two bridges, told apart and never a fault of a plan
	Activation            Activation    `json:"activation"`            // of a beat from the sinus node
	TriggerCoverPercent   float64       `json:"trigger_cover_percent"` // share of trigger sites isolated, with no claim on outcome
	SubstrateLeft         Substrate     `json:"substrate_left"`
	Economy               Economy       `json:"economy"`
	Hazards               []Hazard      `json:"hazards"` // in the order of the set
	Lesions               []DrawnLesion `json:"lesions"` // the geometry used, in the order of the set
	Caution               string        `json:"caution"`
}

// ChamberResult is what the lesion set does to one atrium.
type ChamberResult struct {
	IndependentCircuits int       `json:"independent_circuits"` // first Betti number of the tissue still connected to the sinus node
	IsolatedPercent     float64   `json:"isolated_percent"`     // share of the chamber's tissue not reached from the sinus node
	Circuits            []Circuit `json:"circuits"`             // shortest first
	Gaps                []Gap     `json:"gaps"`
	Islands             []Island  `json:"islands"`
}

// Circuit is a closed path left for re-entry round one or more obstacles.
type Circuit struct {
	Round                []Obstacle `json:"round"`
	Name                 string     `json:"name"` // in words, for people
	LengthMM             float64    `json:"length_mm"`
	Verdict              Verdict    `json:"verdict"`
	ThroughCoronarySinus bool       `json:"through_coronary_sinus,omitempty"`
	Path                 []Site     `json:"path"` // closed: the last site joins the first
}

// Site is a place on a chamber's surface.
type Site struct {
	Chamber Chamber `json:"chamber"`
	At      Vec     `json:"at"` // unit direction, rounded to 4 decimals
}

// Gap is a place where a line's end fails to reach what it should join.
type Gap struct {
	Lesion  int     `json:"lesion"` // index in the set
	At      Vec     `json:"at"`
	WidthMM float64 `json:"width_mm"` // distance to the nearest opening or other lesion
	Nearest string  `json:"nearest"`  // what that is
	// LeavesOpen names the circuits, and what is not isolated, that closing the gaps of this lesion would deal with; absent when that
	// is nothing, and for plans with a great many gaps.
	LeavesOpen []string `json:"leaves_open,omitempty"`

	from, to Vec // the shortest line that closes it
}

// Island is tissue no longer reached from the sinus node.
type Island struct {
	Name    string  `json:"name"` // for example posterior-wall, left-pulmonary-veins, wall-at-mitral-annulus, free-wall
	AreaCM2 float64 `json:"area_cm2"`
	Wanted  bool    `json:"wanted"`
	Outline [][]Vec `json:"outline"` // closed rings round the tissue, for drawing
}

// DrawnLesion is the path a lesion took on the surface.
type DrawnLesion struct {
	Lesion     LesionID `json:"lesion,omitempty"`
	Recognised LesionID `json:"recognised,omitempty"` // the named lesion whose work a drawn one does; empty when it does none's
	Chamber    Chamber  `json:"chamber"`
	Path       []Vec    `json:"path"`
	Closed     bool     `json:"closed"`
}
