package atrium

import "math"

// A strip is muscle that runs outside the shell of a chamber: a bridge between the atria, or the part of the coronary sinus muscle
// along the mitral annulus. It conducts along its length and is modelled as a row of nodes.
type strip struct {
	name     string
	from, to Site
	lengthMM float64 // 0: the great-circle distance on the chamber, for a strip with both ends on one
	sinus    bool    // the stretch along the mitral annulus that a coronary sinus lesion cuts
}

// stripStepMM is the spacing of nodes along a strip, that of the normal mesh.
const stripStepMM = 1.5

// Where the nodes lie in the right atrium.
var (
	SinusNode = Vec{0.35, 0.85, 0.05}.unit()
	AVNode    = Vec{-0.92, -0.10, -0.33}.unit()
)

// Landmark is a site shown on the map.
type Landmark struct {
	ID, Name string
	Site
}

// Sites lists the landmarks of both chambers.
func Sites() []Landmark {
	return []Landmark{
		{"sinus-node", "sinus node", Site{RightAtrium, SinusNode.round()}},
		{"av-node", "AV node", Site{RightAtrium, AVNode.round()}},
	}
}

// strips are the connections between the atria and the coronary sinus muscle. That last stretch runs outside the endocardium: a
// mitral line made from inside does not cut it, only a coronary sinus lesion does.
var strips = []strip{
	{name: "Bachmann bundle", from: Site{RightAtrium, Vec{-0.35, 0.80, -0.40}}, to: Site{LeftAtrium, Vec{0.45, 0.75, -0.45}}, lengthMM: 14},
	{name: "fossa rim", from: Site{RightAtrium, Vec{-0.95, 0.15, 0.20}}, to: Site{LeftAtrium, Vec{0.93, 0.05, -0.15}}, lengthMM: 6},
	{name: "coronary sinus muscle", from: Site{RightAtrium, Vec{-0.80, -0.52, 0.05}}, to: Site{LeftAtrium, Vec{0.45, -0.75, 0.15}}, lengthMM: 15},
	{name: "coronary sinus muscle along the mitral annulus", from: Site{LeftAtrium, Vec{0.45, -0.75, 0.15}}, to: Site{LeftAtrium, Vec{-0.75, -0.35, 0.35}}, sinus: true},
}

// span is a strip's length in mm on a chamber of that radius.
func (s strip) span(radius float64) float64 {
	if s.lengthMM > 0 {
		return s.lengthMM
	}
	return radius * s.from.At.unit().angle(s.to.At.unit())
}

// pieces is the number of edges a strip of that length is divided into.
func pieces(length float64) int { return max(1, int(math.Round(length/stripStepMM))) }
