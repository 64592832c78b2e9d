package atrium

// Neighbour is a structure outside a chamber's wall that a lesion can harm, with a course of our own on the chamber's surface: where it
// lies behind the wall, drawn simply. It is for teaching what lies where; hearts differ.
type Neighbour struct {
	ID      string  `json:"id"` // as in Hazard
	Name    string  `json:"name"`
	Chamber Chamber `json:"chamber"`
	Path    []Vec   `json:"path"` // unit directions along the course
	Source  string  `json:"source"`
}

// unsourced is what stands behind a course that no publication known to this package gives.
const unsourced = "schematic; common practice, no source"

// neighbours are the structures of both chambers. A course is given as directions, so it keeps to the annulus or to the wall it lies
// behind at every size.
var neighbours = []Neighbour{
	{"oesophagus", "oesophagus", LeftAtrium, // down behind the wall between the veins, nearer to the left ones
		[]Vec{{-0.12, 0.72, 0.68}, {-0.12, 0.17, 0.98}, {-0.08, -0.35, 0.93}, {-0.04, -0.64, 0.77}}, unsourced},
	{"circumflex-artery", "circumflex artery", LeftAtrium, // round the annulus from below the appendage, inside the coronary sinus
		[]Vec{{-0.78, 0.13, -0.62}, {-0.91, 0.01, -0.42}, {-0.97, -0.20, -0.15}, {-0.85, -0.51, 0.10}, {-0.56, -0.80, 0.20}, {-0.18, -0.98, 0.12}},
		"schematic; between coronary sinus and mitral annulus in 80 % (Choure 2006, PMID 17112981)"},
	{"left-phrenic-nerve", "left phrenic nerve", LeftAtrium, // down over the appendage
		[]Vec{{-0.62, 0.77, -0.15}, {-0.90, 0.42, -0.12}, {-0.97, 0.05, -0.22}, {-0.95, -0.28, 0.05}}, unsourced},
	{"sinus-node-artery", "artery of the sinus node", RightAtrium, // up the front of the septal wall from the right coronary artery
		[]Vec{{-0.31, 0.57, -0.76}, {-0.30, 0.87, -0.39}, {0, 0.99, -0.10}, {0.35, 0.85, 0.05}},
		"schematic; from the right coronary artery in 68 %, but behind the superior vena cava in 47 % (Vikse 2016, PMID 26849441)"},
	{"right-coronary-artery", "right coronary artery", RightAtrium, // round the annulus, in the groove outside it
		[]Vec{{-0.31, 0.57, -0.76}, {0.19, 0.36, -0.91}, {0.50, -0.08, -0.86}, {0.48, -0.58, -0.65}, {0.14, -0.91, -0.38}, {-0.23, -0.95, -0.20}}, unsourced},
	{"right-phrenic-nerve", "right phrenic nerve", RightAtrium, // down beside the superior vena cava and over the lateral wall
		[]Vec{{0.33, 0.82, 0.47}, {0.80, 0.42, 0.43}, {0.93, -0.05, 0.36}, {0.72, -0.55, 0.42}, {0.52, -0.74, 0.43}}, unsourced},
}

// Neighbours lists the structures behind a chamber's wall, in a fixed order, at a diameter in mm (0 means normal).
func Neighbours(chamber Chamber, diameterMM float64) []Neighbour {
	list := []Neighbour{}
	for _, n := range neighbours {
		if n.Chamber == chamber {
			n.Path = rounded(n.course(newShape(chamber, diameterMM)))
			list = append(list, n)
		}
	}
	return list
}

// course is the neighbour's path on a chamber of that shape. What runs in the groove outside an annulus keeps its distance from it in mm;
// that is a matter of degrees less on a large chamber.
func (n Neighbour) course(form shape) []Vec {
	annulus, path := form.openings[0], make([]Vec, len(n.Path))
	for i, p := range n.Path {
		path[i] = p.unit()
		if n.ID == "circumflex-artery" || n.ID == "right-coronary-artery" {
			normal := newShape(n.Chamber, 0).radius
			path[i] = towards(annulus.Centre, path[i], annulus.reach()+(path[i].angle(annulus.Centre)-annulus.reach())*normal/form.radius)
		}
	}
	return path
}
