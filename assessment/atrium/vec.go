package atrium

import "math"

// Vec is a direction from a chamber's centre: x to the patient's right, y superior, z posterior.
type Vec [3]float64

func (a Vec) dot(b Vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func (a Vec) cross(b Vec) Vec {
	return Vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func (a Vec) plus(b Vec) Vec      { return Vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a Vec) times(k float64) Vec { return Vec{a[0] * k, a[1] * k, a[2] * k} }
func (a Vec) length() float64     { return math.Sqrt(a.dot(a)) }
func (a Vec) unit() Vec           { return a.times(1 / a.length()) }
func (a Vec) angle(b Vec) float64 { return math.Atan2(a.cross(b).length(), a.dot(b)) } // radians; exact near 0 and pi, where acos is not
func triple(a, b, c Vec) float64  { return a.dot(b.cross(c)) }
func towards(a, b Vec, by float64) Vec { // the direction reached from a by turning by radians towards b
	side := b.plus(a.times(-a.dot(b))).unit()
	return a.times(math.Cos(by)).plus(side.times(math.Sin(by)))
}

// round rounds each coordinate to 4 decimals (0.003 mm at most on the largest atrium), so that results print the same everywhere.
func (a Vec) round() Vec {
	for i := range a {
		a[i] = math.Round(a[i]*1e4) / 1e4
		if a[i] == 0 {
			a[i] = 0 // no negative zero
		}
	}
	return a
}
