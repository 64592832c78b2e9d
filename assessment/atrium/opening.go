package atrium

import "math"

// Opening is a round hole in a chamber's wall: a valve annulus, a vein, a vena cava or the coronary sinus ostium.
type Opening struct {
	Obstacle  Obstacle `json:"obstacle"`
	Name      string   `json:"name"`
	Centre    Vec      `json:"centre"`
	RadiusDeg float64  `json:"radius_deg"` // angular radius on a chamber of that diameter
}

// Normal sizes. The radii are those of a sphere with the volume of a normal chamber; the diameters that stand for them are our
// choice: 40 mm is the upper normal antero-posterior diameter of the left atrium (common practice, from memory).
const (
	normalLeftRadiusMM    = 25.0
	normalRightRadiusMM   = 26.0
	NormalLeftDiameterMM  = 40.0
	NormalRightDiameterMM = 42.0
)

// shape is a chamber at one size.
type shape struct {
	chamber  Chamber
	radius   float64 // mm
	openings []Opening
	ostium   Opening // of the left appendage; tissue unless excised or excluded
}

// annulus reports whether an opening is the chamber's valve, which grows with the chamber; veins and cavae keep their size.
func (o Obstacle) annulus() bool { return o == MitralAnnulus || o == TricuspidAnnulus }

func opening(obstacle Obstacle, centre Vec, degrees float64) Opening {
	return Opening{Obstacle: obstacle, Name: obstacleNames[obstacle], Centre: centre.unit(), RadiusDeg: degrees}
}

// newShape is a chamber at a diameter in mm; 0 means normal. A chamber smaller than normal is modelled at normal size: veins of
// normal width would otherwise run into one another.
func newShape(chamber Chamber, diameter float64) shape {
	s := shape{chamber: LeftAtrium, radius: normalLeftRadiusMM}
	normal := NormalLeftDiameterMM
	if chamber == RightAtrium {
		s, normal = shape{chamber: RightAtrium, radius: normalRightRadiusMM}, NormalRightDiameterMM
		s.openings = []Opening{
			opening(TricuspidAnnulus, Vec{-0.35, -0.35, -0.87}, 47),
			opening(SuperiorVenaCava, Vec{-0.05, 0.90, 0.42}, 20),
			opening(InferiorVenaCava, Vec{0, -0.86, 0.50}, 24),
			opening(CoronarySinusOstium, Vec{-0.80, -0.52, 0.05}, 10),
		}
	} else {
		s.openings = []Opening{
			opening(MitralAnnulus, Vec{-0.40, -0.62, -0.72}, 43),
			opening(LeftSuperiorVein, Vec{-0.60, 0.45, 0.65}, 14),
			opening(LeftInferiorVein, Vec{-0.62, -0.12, 0.77}, 14),
			opening(RightSuperiorVein, Vec{0.65, 0.45, 0.60}, 14),
			opening(RightInferiorVein, Vec{0.66, -0.12, 0.74}, 14),
		}
		s.ostium = opening(LeftAppendageStump, Vec{-0.86, 0.42, -0.28}, 20)
	}
	if scale := diameter / normal; scale > 1 {
		s.radius *= scale
		for i := range s.openings {
			s.openings[i] = s.openings[i].resized(scale)
		}
		s.ostium = s.ostium.resized(scale)
	}
	return s
}

// resized is the opening on a chamber scale times as large: an annulus keeps its angle, the others keep their radius in mm.
func (o Opening) resized(scale float64) Opening {
	if !o.Obstacle.annulus() && o.RadiusDeg > 0 {
		o.RadiusDeg = math.Asin(math.Min(1, math.Sin(o.RadiusDeg*math.Pi/180)/scale)) * 180 / math.Pi
	}
	return o
}

// reach is the opening's angular radius in radians.
func (o Opening) reach() float64 { return o.RadiusDeg * math.Pi / 180 }

// obstacleNames are the obstacles in words.
var obstacleNames = map[Obstacle]string{
	LeftSuperiorVein: "left superior vein", LeftInferiorVein: "left inferior vein", RightSuperiorVein: "right superior vein",
	RightInferiorVein: "right inferior vein", LeftAppendageStump: "left appendage stump", MitralAnnulus: "mitral annulus",
	SuperiorVenaCava: "superior vena cava", InferiorVenaCava: "inferior vena cava", CoronarySinusOstium: "coronary sinus ostium",
	TricuspidAnnulus: "tricuspid annulus",
}

// Openings lists the chamber's openings at a diameter in mm (0 means normal), the valve annulus first; the left atrium's list ends with
// the ostium of its appendage, which is tissue until the appendage is excised or excluded.
func Openings(chamber Chamber, diameterMM float64) []Opening {
	form := newShape(chamber, diameterMM)
	list := append([]Opening{}, form.openings...)
	if form.ostium.RadiusDeg > 0 {
		list = append(list, form.ostium)
	}
	return list
}

// RadiusMM is the chamber's radius at a diameter in mm (0 means normal).
func RadiusMM(chamber Chamber, diameterMM float64) float64 {
	return newShape(chamber, diameterMM).radius
}
