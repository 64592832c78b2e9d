package atrium

import (
	"math"
	"testing"
)

// TestCatalogueFor holds anchored ends to the edge of their openings, and rings to their margin, whatever the size of the atria.
func TestCatalogueFor(t *testing.T) {
	for _, diameter := range []float64{0, 38, 55, 70} {
		sized := CatalogueFor(diameter, diameter)
		if len(sized) != len(catalogue) {
			t.Fatalf("%d lesions at %v mm, want %d", len(sized), diameter, len(catalogue))
		}
		for i, lesion := range sized {
			form, l := newShape(lesion.Chamber, diameter), catalogue[i]
			for end, obstacle := range l.anchor {
				if obstacle == "" {
					continue
				}
				at := lesion.Path[end*(len(lesion.Path)-1)].unit()
				opening := form.find(obstacle)
				if off := (at.angle(opening.Centre) - opening.reach()) * form.radius; off > 0.1 {
					t.Errorf("%s at %v mm ends %.1f mm from %s", lesion.ID, diameter, off, obstacle)
				}
			}
			for _, obstacle := range l.ring {
				opening, nearest := form.find(obstacle), math.Inf(1)
				for _, at := range lesion.Path {
					nearest = min(nearest, at.unit().angle(opening.Centre)-opening.reach())
				}
				if margin := marginDeg * math.Pi / 180; math.Abs(nearest-margin) > 1e-3 {
					t.Errorf("%s at %v mm runs %.3f outside %s, want %.3f", lesion.ID, diameter, nearest, obstacle, margin)
				}
			}
		}
	}
}
