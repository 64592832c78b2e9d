package atrium

import "math"

// Projection is Lambert's azimuthal equal-area projection of a chamber about the point opposite its valve: the annulus becomes the rim
// of a disc, the posterior wall lies in the middle, and areas stay true. The viewer stands behind the heart, so the patient's right is
// on the right and superior is up. Lengths are always computed on the sphere, never on the map.
type Projection struct {
	Centre Vec `json:"centre"`
	Right  Vec `json:"right"`
	Up     Vec `json:"up"`
}

// ProjectionOf is the projection of a chamber.
func ProjectionOf(chamber Chamber) Projection {
	centre := newShape(chamber, 0).openings[0].Centre.times(-1)
	superior := Vec{0, 1, 0}
	up := superior.plus(centre.times(-superior.dot(centre))).unit()
	return Projection{Centre: centre, Right: up.cross(centre), Up: up}
}

// Point is where a direction lies on the map of the unit sphere: at most 2 from the middle, which is the point opposite the centre.
func (p Projection) Point(v Vec) (x, y float64) {
	u := v.unit()
	scale := math.Sqrt(2 / math.Max(1+u.dot(p.Centre), 1e-9))
	return scale * u.dot(p.Right), scale * u.dot(p.Up)
}

// Direction is the inverse of Point; a point off the map counts as the nearest on its edge.
func (p Projection) Direction(x, y float64) Vec {
	squared := x*x + y*y
	if squared > 4 {
		x, y, squared = x*2/math.Sqrt(squared), y*2/math.Sqrt(squared), 4
	}
	across, along := math.Sqrt(1-squared/4), 1-squared/2
	return p.Right.times(across * x).plus(p.Up.times(across * y)).plus(p.Centre.times(along)).unit()
}
