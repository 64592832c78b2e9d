package atrium

// Chamber names one of the two atria.
type Chamber string

// The two chambers.
const (
	LeftAtrium  Chamber = "left-atrium"
	RightAtrium Chamber = "right-atrium"
)

// LesionID names a lesion of the catalogue. The empty id means a drawn lesion.
type LesionID string

// The catalogue of named lesions (names are ours or the trade's).
const (
	LeftPulmonaryVeinIsolation  LesionID = "left-pulmonary-vein-isolation"
	RightPulmonaryVeinIsolation LesionID = "right-pulmonary-vein-isolation"
	RoofLine                    LesionID = "roof-line"
	FloorLine                   LesionID = "floor-line"
	MitralIsthmusLine           LesionID = "mitral-isthmus-line"
	CoronarySinusLesion         LesionID = "coronary-sinus-lesion"
	LeftAppendageLine           LesionID = "left-appendage-line"
	IntercavalLine              LesionID = "intercaval-line"
	FreeWallLine                LesionID = "free-wall-line"
	RightAppendageLine          LesionID = "right-appendage-line"
	CavotricuspidIsthmusLine    LesionID = "cavotricuspid-isthmus-line"
)

// Energy is the means by which a lesion is made.
type Energy string

// The energies a lesion can be made with. Incision is the cut-and-sew form.
const (
	BipolarRF  Energy = "bipolar-rf"
	UnipolarRF Energy = "unipolar-rf"
	Cryo       Energy = "cryo"
	Incision   Energy = "incision"
)

// BlockTest says how conduction block across a lesion was tested. The empty value means not tested.
type BlockTest string

// The ways block is tested: into a ring, out of it, both, or both ways across a line.
const (
	NotTested       BlockTest = "not-tested"
	EntranceBlock   BlockTest = "entrance"
	ExitBlock       BlockTest = "exit"
	ExitAndEntrance BlockTest = "exit-and-entrance"
	Bidirectional   BlockTest = "bidirectional"
)

// AppendageState says what was done with the left atrial appendage. The empty value means kept.
type AppendageState string

// The states of the left appendage. Excised and excluded both turn its ostium into an obstacle.
const (
	AppendageKept     AppendageState = "kept"
	AppendageExcised  AppendageState = "excised"
	AppendageExcluded AppendageState = "excluded"
)

// Lesion is one cut in atrial conduction: geometry, whatever its origin. Either Name is set (the catalogue's standard path is
// used) or Chamber and Path are (a drawn lesion).
type Lesion struct {
	Name         LesionID  `json:"lesion,omitempty" yaml:"lesion,omitempty"`
	Chamber      Chamber   `json:"chamber,omitempty" yaml:"chamber,omitempty"`
	Path         []Vec     `json:"path,omitempty" yaml:"path,omitempty"`     // directions from the chamber's centre; normalised on use
	Closed       bool      `json:"closed,omitempty" yaml:"closed,omitempty"` // the last point joins the first
	Energy       Energy    `json:"energy,omitempty" yaml:"energy,omitempty"`
	Applications int       `json:"applications,omitempty" yaml:"applications,omitempty"` // 0 means 1
	Block        BlockTest `json:"block,omitempty" yaml:"block,omitempty"`
}

// LesionSet is all lesions of a plan or a case with the state of the atria they are placed on; zero numbers mean the normal value.
type LesionSet struct {
	Lesions                 []Lesion       `json:"lesions" yaml:"lesions"`
	LeftAppendage           AppendageState `json:"left_appendage,omitempty" yaml:"left_appendage,omitempty"`
	LeftAtriumDiameterMM    float64        `json:"left_atrium_diameter_mm,omitempty" yaml:"left_atrium_diameter_mm,omitempty"`
	RightAtriumDiameterMM   float64        `json:"right_atrium_diameter_mm,omitempty" yaml:"right_atrium_diameter_mm,omitempty"`
	ConductionVelocityMPerS float64        `json:"conduction_velocity_m_s,omitempty" yaml:"conduction_velocity_m_s,omitempty"`
	RefractoryPeriodMS      float64        `json:"refractory_period_ms,omitempty" yaml:"refractory_period_ms,omitempty"`
}
