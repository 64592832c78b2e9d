package atrium

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"isthmus/assessment/strict"
)

// Limits on what one lesion set may hold; they bound the time one computation takes.
const (
	MostLesions      = 200
	MostPoints       = 2000 // of all drawn paths together
	MostApplications = 10
)

// ParseLesionSet reads a lesion-set file (JSON, unknown fields refused) and checks it; file is its name in messages. The error is
// strict.Faults, each with line and column.
func ParseLesionSet(file string, data []byte) (LesionSet, error) {
	var set LesionSet
	document, err := strict.JSONDocument(file, data, &set)
	if err != nil {
		return LesionSet{}, err
	}
	if faults := set.Validate(); faults.Err() != nil {
		return LesionSet{}, document.Locate(faults)
	}
	return set, nil
}

// Validate reports what in the set the model cannot compute.
func (set LesionSet) Validate() strict.Faults {
	var f strict.Faults
	if len(set.Lesions) > MostLesions {
		f.Add("lesions", "has %d lesions; the most is %d", len(set.Lesions), MostLesions)
		return f
	}
	points := 0
	for i, l := range set.Lesions {
		points += len(l.Path)
		f.Join("lesions["+strconv.Itoa(i)+"]", l.Validate())
	}
	if points > MostPoints {
		f.Add("lesions", "hold %d points; the most is %d together", points, MostPoints)
	}
	oneOf(&f, "left_appendage", set.LeftAppendage, AppendageKept, AppendageExcised, AppendageExcluded)
	within(&f, "left_atrium_diameter_mm", set.LeftAtriumDiameterMM, 20, 90)
	within(&f, "right_atrium_diameter_mm", set.RightAtriumDiameterMM, 20, 90)
	within(&f, "conduction_velocity_m_s", set.ConductionVelocityMPerS, 0.1, 2)
	within(&f, "refractory_period_ms", set.RefractoryPeriodMS, 80, 400)
	return f
}

// Validate reports what is wrong with one lesion, with fields relative to it.
func (l Lesion) Validate() strict.Faults {
	var f strict.Faults
	if l.Name != "" {
		if _, known := lookUp(l.Name); !known {
			f.Add("lesion", "is %q, which is no lesion of the catalogue; use one of %s, or draw it with chamber and path", l.Name, catalogueIDs())
		}
		if l.Chamber != "" || len(l.Path) > 0 || l.Closed {
			f.Add("lesion", "names a lesion of the catalogue, which has its own path: leave out chamber, path and closed")
		}
	} else {
		l.validatePath(&f)
	}
	oneOf(&f, "energy", l.Energy, BipolarRF, UnipolarRF, Cryo, Incision)
	oneOf(&f, "block", l.Block, NotTested, EntranceBlock, ExitBlock, ExitAndEntrance, Bidirectional)
	if l.Applications < 0 || l.Applications > MostApplications {
		f.Add("applications", "is %d; give 1 to %d, or leave it out for 1", l.Applications, MostApplications)
	}
	return f
}

// validatePath checks the path of a drawn lesion.
func (l Lesion) validatePath(f *strict.Faults) {
	if l.Chamber == "" {
		f.Add("chamber", "is missing: name a lesion of the catalogue (lesion), or give chamber and path")
	}
	oneOf(f, "chamber", l.Chamber, LeftAtrium, RightAtrium)
	least := 2
	if l.Closed {
		least = 3
	}
	if len(l.Path) < least {
		f.Add("path", "has %d points; a line needs 2, a closed ring 3", len(l.Path))
		return
	}
	length := 0.0
	opposite := func(a, b Vec) bool { return a.unit().angle(b.unit()) > math.Pi-0.01 }
	for i, p := range l.Path {
		field := "path[" + strconv.Itoa(i) + "]"
		size := p.length()
		if !(size > 0.1 && size < 10) { // also catches NaN and infinity
			f.Add(field, "is no direction: give x, y and z from the chamber's centre, about 1 long")
			return
		}
		if i > 0 {
			length += p.unit().angle(l.Path[i-1].unit())
			if opposite(p, l.Path[i-1]) {
				f.Add(field, "is opposite the point before it, so the way between them is not defined: add a point between")
			}
		}
	}
	if l.Closed && opposite(l.Path[len(l.Path)-1], l.Path[0]) {
		f.Add("path[0]", "is opposite the last point, so the way that closes the ring is not defined: add a point between")
	}
	if length < 1e-3 {
		f.Add("path", "has no length")
	}
}

// oneOf checks a value against a closed list; the empty value stands for a default.
func oneOf[T ~string](f *strict.Faults, field string, value T, known ...T) {
	if value == "" || slices.Contains(known, value) {
		return
	}
	words := make([]string, len(known))
	for i, k := range known {
		words[i] = string(k)
	}
	f.Add(field, "is %q; use one of %s", value, strings.Join(words, ", "))
}

// within checks a number against a range; 0 stands for a default.
func within(f *strict.Faults, field string, value, low, high float64) {
	if value != 0 && !(value >= low && value <= high) {
		f.Add(field, "is %g; give %g to %g, or leave it out for the normal value", value, low, high)
	}
}

func catalogueIDs() string {
	ids := make([]string, len(catalogue))
	for i, l := range catalogue {
		ids[i] = string(l.id)
	}
	return strings.Join(ids, ", ")
}
