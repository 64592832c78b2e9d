package atrium

// Vec is a direction from a chamber's centre: x to the patient's right, y superior, z posterior.
type Vec [3]float64
