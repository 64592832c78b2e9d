package question

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
)

// short says what a drawing falls short of; nothing when it is right.
func (t Task) short(m Conductor, path []atrium.Vec) ([]string, error) {
	if t.Near != nil {
		return t.far(path), nil
	}
	return t.ineffective(m, path)
}

// far marks by distance on the surface. What is printed is rounded; what is compared is not.
func (t Task) far(path []atrium.Vec) []string {
	away := t.apartMM(path, t.Key)
	if away <= t.Near.WithinMM {
		return nil
	}
	return []string{fmt.Sprintf("%.0f mm away on the model's surface; within %.0f mm counts.", math.Ceil(away), t.Near.WithinMM)}
}

// missMM is how near a wrong drawing marked by its effect lies to a foreseen one to be taken for it: our choice, about what a finger strays.
const missMM = 8

// missed is the feedback of the foreseen wrong drawing that is nearest, when it is near enough.
func (t Task) missed(path []atrium.Vec) []string {
	said, nearest := []string(nil), float64(missMM)
	if t.Near != nil {
		nearest = t.Near.WithinMM
	}
	for _, miss := range t.Misses {
		if away := t.apartMM(path, miss.Path); away <= nearest {
			said, nearest = []string{miss.Feedback}, away
		}
	}
	return said
}

// apartMM is how far two drawings of the task lie apart.
func (t Task) apartMM(a, b []atrium.Vec) float64 {
	if t.Draw == Point {
		return atrium.DistanceMM(t.Chamber, t.diameterMM(), a[0], b, false)
	}
	return atrium.ApartMM(t.Chamber, t.diameterMM(), t.around(a), t.around(b))
}

// around is a drawing with the way back of a ring.
func (t Task) around(path []atrium.Vec) []atrium.Vec {
	if !t.closed() {
		return path
	}
	return append(slices.Clone(path), path[0])
}

// ineffective adds the drawing to what is shown and asks the model.
func (t Task) ineffective(m Conductor, path []atrium.Vec) ([]string, error) {
	set := t.Shown
	set.Lesions = append(slices.Clone(t.Shown.Lesions), atrium.Lesion{Chamber: t.Chamber, Path: path, Closed: t.closed()})
	r, err := m.Conduct(set)
	if err != nil {
		return nil, fmt.Errorf("mark a drawing: %w", err)
	}
	chamber := r.LeftAtrium
	if t.Chamber == atrium.RightAtrium {
		chamber = r.RightAtrium
	}
	short := append(t.circuitsWrong(chamber), t.notIsolated(r)...)
	short = append(short, t.harm(r, chamber)...)
	if length := lengthMM(t, path); t.Effect.MostMM > 0 && length > t.Effect.MostMM {
		short = append(short, fmt.Sprintf("It is %.0f mm long; at most %.0f mm is asked for.", math.Ceil(length), t.Effect.MostMM))
	}
	return short, nil
}

// circuitsWrong are the circuits that should be closed and are left, and the other way round.
func (t Task) circuitsWrong(chamber atrium.ChamberResult) []string {
	var short []string
	for _, c := range t.Effect.Closes {
		if left, found := c.in(chamber); found {
			short = append(short, fmt.Sprintf("A circuit %s is left, %.0f mm long.", left.Name, left.LengthMM))
		}
	}
	for _, c := range t.Effect.Leaves {
		if _, found := c.in(chamber); !found {
			short = append(short, fmt.Sprintf("The circuit round the %s is changed; it was to be left alone.", c.words()))
		}
	}
	return short
}

// in finds a circuit that goes round exactly these obstacles.
func (c Circuit) in(chamber atrium.ChamberResult) (atrium.Circuit, bool) {
	want := slices.Sorted(slices.Values(c))
	for _, left := range chamber.Circuits {
		if slices.Equal(want, slices.Sorted(slices.Values(left.Round))) {
			return left, true
		}
	}
	return atrium.Circuit{}, false
}

func (c Circuit) words() string {
	names := make([]string, len(c))
	for i, obstacle := range c {
		names[i] = strings.ReplaceAll(string(obstacle), "-", " ")
	}
	return strings.Join(names, " and the ")
}

// notIsolated is what should be isolated and is not.
func (t Task) notIsolated(r atrium.Result) []string {
	var short []string
	for _, what := range t.Effect.Isolates {
		switch {
		case what == posteriorWall && !r.PosteriorWallIsolated:
			short = append(short, "The posterior wall still conducts.")
		case what != posteriorWall && !slices.Contains(r.VeinsIsolated, what):
			short = append(short, "The "+strings.ReplaceAll(what, "-", " ")+" vein still conducts.")
		}
	}
	return short
}

// harm is what no drawing may do: cut the way to the AV node, isolate tissue nobody wants isolated, come too near to something.
func (t Task) harm(r atrium.Result, chamber atrium.ChamberResult) []string {
	var short []string
	if !r.SinusToAVNode {
		short = append(short, "The sinus node no longer reaches the AV node.")
	}
	for _, island := range chamber.Islands {
		if !island.Wanted {
			short = append(short, fmt.Sprintf("It isolates %.1f cm2 of tissue that must conduct.", island.AreaCM2))
		}
	}
	for _, clear := range t.Effect.Clear {
		for _, h := range r.Hazards {
			if h.Lesion == len(t.Shown.Lesions) && h.Structure == clear.Structure && h.DistanceMM < clear.LeastMM {
				short = append(short, fmt.Sprintf("It comes within %.1f mm of the %s; %.0f mm is the least here.",
					h.DistanceMM, strings.ReplaceAll(h.Structure, "-", " "), clear.LeastMM))
			}
		}
	}
	return short
}

// lengthMM is how long a drawing is on the surface.
func lengthMM(t Task, path []atrium.Vec) float64 {
	total := 0.0
	for i := 1; i < len(path); i++ {
		total += atrium.DistanceMM(t.Chamber, t.diameterMM(), path[i], path[i-1:i], false)
	}
	if t.closed() && len(path) > 2 {
		total += atrium.DistanceMM(t.Chamber, t.diameterMM(), path[0], path[len(path)-1:], false)
	}
	return total
}
