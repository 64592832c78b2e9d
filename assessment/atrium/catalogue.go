package atrium

import "math"

// CatalogueLesion is a named lesion: what it is called, where it lies, and its standard path on a chamber of normal size.
type CatalogueLesion struct {
	ID      LesionID `json:"id"`
	Name    string   `json:"name"`
	Chamber Chamber  `json:"chamber"`
	Closed  bool     `json:"closed"`
	Path    []Vec    `json:"path"`
	// NeedsOpenAtrium says that the lesion can only be made inside an opened atrium: its annular end is out of a clamp's reach.
	NeedsOpenAtrium bool `json:"needs_open_atrium"`
}

// named is a lesion as data: a ring round openings, or a line whose ends may be anchored to an opening.
type named struct {
	id      LesionID
	name    string
	chamber Chamber
	ring    []Obstacle  // a hull round these
	line    []Vec       // otherwise the points of a line
	anchor  [2]Obstacle // an end that must reach this opening, whatever the chamber's size
	blind   bool        // it starts at the tip of an appendage, where nothing needs joining
	open    bool        // it needs the atrium opened
	outside bool        // made on the coronary sinus, outside the shell: it cuts the strip, not the mesh
}

// marginDeg is how far outside the veins' openings an isolating ring runs: on the antrum, not on the vein.
const marginDeg = 6

// catalogue is every named lesion with its standard path. The directions are ours, chosen on the model.
var catalogue = []named{
	{id: LeftPulmonaryVeinIsolation, name: "Left pulmonary vein isolation", chamber: LeftAtrium, ring: []Obstacle{LeftSuperiorVein, LeftInferiorVein}},
	{id: RightPulmonaryVeinIsolation, name: "Right pulmonary vein isolation", chamber: LeftAtrium, ring: []Obstacle{RightSuperiorVein, RightInferiorVein}},
	{id: RoofLine, name: "Roof line", chamber: LeftAtrium, line: []Vec{{-0.55, 0.55, 0.60}, {0, 0.62, 0.75}, {0.60, 0.55, 0.55}}, anchor: [2]Obstacle{LeftSuperiorVein, RightSuperiorVein}},
	{id: FloorLine, name: "Floor line", chamber: LeftAtrium, line: []Vec{{-0.55, -0.25, 0.75}, {0, -0.20, 1}, {0.60, -0.25, 0.72}}, anchor: [2]Obstacle{LeftInferiorVein, RightInferiorVein}},
	{id: MitralIsthmusLine, name: "Mitral isthmus line", chamber: LeftAtrium, line: []Vec{{-0.30, -0.24, 0.90}, {-0.30, -0.60, 0.60}, {-0.30, -0.85, 0.20}, {-0.32, -0.90, -0.20}}, anchor: [2]Obstacle{LeftInferiorVein, MitralAnnulus}, open: true},
	{id: CoronarySinusLesion, name: "Coronary sinus lesion", chamber: LeftAtrium, line: []Vec{{-0.30, -0.72, 0.42}, {-0.31, -0.80, 0.26}}, outside: true},
	{id: LeftAppendageLine, name: "Left appendage line", chamber: LeftAtrium, line: []Vec{{-0.86, 0.42, -0.28}, {-0.62, 0.45, 0.60}}, anchor: [2]Obstacle{LeftAppendageStump, LeftSuperiorVein}},
	{id: IntercavalLine, name: "Line between the cavae", chamber: RightAtrium, line: []Vec{{0.05, 0.92, 0.38}, {0.55, 0.30, 0.75}, {0.50, -0.40, 0.70}, {0.05, -0.86, 0.45}}, anchor: [2]Obstacle{SuperiorVenaCava, InferiorVenaCava}},
	{id: FreeWallLine, name: "Free wall line to the tricuspid annulus", chamber: RightAtrium, line: []Vec{{0.53, -0.10, 0.75}, {0.90, 0.05, 0.10}, {0.72, -0.05, -0.50}, {0.30, -0.20, -0.80}}, anchor: [2]Obstacle{"", TricuspidAnnulus}},
	{id: RightAppendageLine, name: "Right appendage line to the tricuspid annulus", chamber: RightAtrium, line: []Vec{{0.42, 0.75, -0.35}, {0.25, 0.62, -0.70}, {0, 0.10, -0.90}}, anchor: [2]Obstacle{"", TricuspidAnnulus}, blind: true},
	{id: CavotricuspidIsthmusLine, name: "Cavotricuspid isthmus line", chamber: RightAtrium, line: []Vec{{0, -0.86, 0.45}, {0.05, -0.98, -0.10}, {-0.10, -0.75, -0.60}}, anchor: [2]Obstacle{InferiorVenaCava, TricuspidAnnulus}},
}

// Catalogue lists the named lesions in a fixed order, on atria of normal size.
func Catalogue() []CatalogueLesion { return CatalogueFor(0, 0) }

// CatalogueFor lists the named lesions with their paths on atria of those diameters in mm, 0 for normal: the openings keep their size, so
// on an enlarged atrium a line that is anchored to one is longer.
func CatalogueFor(leftMM, rightMM float64) []CatalogueLesion {
	shapes := map[Chamber]shape{LeftAtrium: newShape(LeftAtrium, leftMM), RightAtrium: newShape(RightAtrium, rightMM)}
	list := make([]CatalogueLesion, len(catalogue))
	for i, l := range catalogue {
		path, closed := l.path(shapes[l.chamber])
		for k := range path {
			path[k] = path[k].round()
		}
		list[i] = CatalogueLesion{l.id, l.name, l.chamber, closed, path, l.open}
	}
	return list
}

func lookUp(id LesionID) (named, bool) {
	for _, l := range catalogue {
		if l.id == id {
			return l, true
		}
	}
	return named{}, false
}

// path lays the lesion on a chamber of that shape.
func (l named) path(form shape) (path []Vec, closed bool) {
	if l.ring != nil {
		return hull(form.find(l.ring[0]), form.find(l.ring[1]), marginDeg*math.Pi/180), true
	}
	path = make([]Vec, len(l.line))
	for i, p := range l.line {
		path[i] = p.unit()
	}
	for end, obstacle := range l.anchor {
		if obstacle == "" {
			continue
		}
		last := 0
		if end == 1 {
			last = len(path) - 1
		}
		// Reach well inside the opening, so that the end is joined at every size; tissue ends at the rim anyway.
		if hole := form.find(obstacle); path[last].angle(hole.Centre) > hole.reach()*0.7 {
			inside := towards(hole.Centre, path[last], hole.reach()*0.7)
			if end == 0 {
				path = append([]Vec{inside}, path...)
			} else {
				path = append(path, inside)
			}
		}
	}
	return path, false
}

// find is the opening of that name, or the appendage's ostium.
func (s shape) find(obstacle Obstacle) Opening {
	for _, o := range s.openings {
		if o.Obstacle == obstacle {
			return o
		}
	}
	return s.ostium
}

// hull is the shortest ring that keeps a margin (radians) to two round openings: an arc round each, joined by great circles.
func hull(a, b Opening, margin float64) []Vec {
	const steps = 12
	axis := a.Centre.cross(b.Centre).unit()
	ring := make([]Vec, 0, 2*(steps+1))
	for _, turn := range []struct {
		hole  Opening
		other Vec
		sign  float64
	}{{a, b.Centre, 1}, {b, a.Centre, -1}} {
		c := turn.hole.Centre
		away := c.times(c.dot(turn.other)).plus(turn.other.times(-1)).unit() // at c, pointing away from the other opening
		side := axis.times(turn.sign)
		reach := turn.hole.reach() + margin
		for k := range steps + 1 {
			phi := math.Pi * (float64(k)/steps - 0.5) // from one flank over the far side to the other
			heading := away.times(math.Cos(phi)).plus(side.times(math.Sin(phi)))
			ring = append(ring, c.times(math.Cos(reach)).plus(heading.times(math.Sin(reach))).unit())
		}
	}
	return ring
}
