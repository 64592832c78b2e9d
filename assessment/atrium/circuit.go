package atrium

import (
	"slices"
	"strings"
)

// Circuits are found in three steps.
//
//  1. Fuse: find the holes of the tissue (hole.go). One of them, with the valve annulus, is the reference. From each other hole a way
//     is drawn to it, over arcs from hole to hole (arc.go). A closed path's side pattern is the set of ways it crosses an odd number of
//     times: two paths with the same pattern part the holes in the same way. The coronary sinus strip along the annulus, which runs
//     outside the shell, counts as one more arc.
//  2. Search: find the shortest closed path of each pattern that matters (settle.go says which, cover.go finds them).
//  3. Report: leave out a path that is no shorter than two smaller circuits joined at a point, unless it is one that the lines turn on.
//
// A good plan has fused nearly everything, has few arcs, and so costs almost nothing to check.

// told lists the patterns that are reported however short two smaller circuits are: the way round a valve that stands alone, and the way
// round both cavae while neither is joined to anything. The lines of either atrium turn on these. That the valve is the reference, and
// its pattern that of all others, is a choice of the method; and on a large atrium, where the annulus has grown but veins and cavae have
// not, the sum of smaller circuits would hide it.
func (t *tissue) told() []uint64 {
	if t.reference < 0 || len(t.holes) >= mostArcs {
		return nil
	}
	var patterns []uint64
	if len(t.holes[t.reference].obstacles) == 1 {
		patterns = append(patterns, 1<<len(t.drawn)-1)
	}
	cavae, count, bit := uint64(0), 0, uint64(1)
	for h, hole := range t.holes {
		if h == t.reference {
			continue
		}
		if len(hole.obstacles) == 1 && (hole.obstacles[0] == SuperiorVenaCava || hole.obstacles[0] == InferiorVenaCava) {
			cavae |= bit
			count++
		}
		bit <<= 1
	}
	if count == 2 {
		patterns = append(patterns, cavae)
	}
	return patterns
}

// report leaves out every loop that is no shorter than two smaller ones joined at a point, but for those always told. Of the loops over
// the coronary sinus strip it keeps the shortest: any other is that one joined with a loop in the shell.
func report(loops []loop, strip uint64, told []uint64) []loop {
	const joined = 1e-6
	length := map[uint64]float64{}
	var kept []loop
	overStrip := false
	for _, l := range loops {
		composed := l.pattern&strip != 0 && overStrip
		overStrip = overStrip || l.pattern&strip != 0
		for _, part := range kept {
			if rest, ok := length[l.pattern^part.pattern]; ok && part.length+rest <= l.length+joined {
				composed = true
				break
			}
		}
		length[l.pattern] = l.length
		if !composed || slices.Contains(told, l.pattern) {
			kept = append(kept, l)
		}
	}
	return kept
}

// circuit draws a loop and names it.
func (t *tissue) circuit(n *network, l loop, wavelength float64) Circuit {
	c := Circuit{LengthMM: roundTo(l.length, 1), Verdict: judge(l.length, wavelength)}
	for _, node := range fromLowest(l.nodes) {
		c.Path = append(c.Path, n.site(node))
	}
	c.ThroughCoronarySinus = l.pattern&t.stripBit != 0
	if c.Round = t.round(l.pattern); c.ThroughCoronarySinus {
		c.Round = []Obstacle{MitralAnnulus} // the strip runs along it, whichever side of the veins the way back takes
	}
	c.Name = circuitName(c)
	return c
}

// fromLowest turns a closed path to begin at its lowest node and to go on to the lower of its neighbours, so that how it was found does
// not show.
func fromLowest(nodes []int32) []int32 {
	if len(nodes) < 3 {
		return nodes
	}
	first := slices.Index(nodes, slices.Min(nodes))
	turned := slices.Concat(nodes[first:], nodes[:first])
	if turned[len(turned)-1] < turned[1] {
		slices.Reverse(turned[1:])
	}
	return turned
}

// round lists the obstacles on the side of a pattern away from the reference, or the reference's own where that side is all the rest
// and the valve annulus stands alone.
func (t *tissue) round(pattern uint64) []Obstacle {
	names := []Obstacle{}
	bit, all := 0, true
	for h := range t.holes {
		if h == t.reference {
			continue
		}
		if bit < mostArcs && pattern&(1<<bit) != 0 {
			names = append(names, t.holes[h].obstacles...)
		} else {
			all = false
		}
		bit++
	}
	if own := t.holes[t.reference].obstacles; pattern == 0 || all && len(own) == 1 {
		return slices.Clone(own[:1]) // the annulus comes first
	}
	slices.SortFunc(names, func(a, b Obstacle) int { return slices.Index(obstacleOrder, a) - slices.Index(obstacleOrder, b) })
	return names
}

// obstacleOrder is the order in which obstacles are listed.
var obstacleOrder = []Obstacle{MitralAnnulus, TricuspidAnnulus, LeftSuperiorVein, LeftInferiorVein, RightSuperiorVein, RightInferiorVein,
	LeftAppendageStump, SuperiorVenaCava, InferiorVenaCava, CoronarySinusOstium}

// groupNames are the sets of obstacles that have a name of their own.
var groupNames = map[string]string{
	"left-superior-vein left-inferior-vein":                                         "round the left veins",
	"right-superior-vein right-inferior-vein":                                       "round the right veins",
	"left-superior-vein right-superior-vein":                                        "round the superior veins, over the roof",
	"left-inferior-vein right-inferior-vein":                                        "round the inferior veins",
	"left-superior-vein left-inferior-vein right-superior-vein right-inferior-vein": "round all four veins",
	"superior-vena-cava inferior-vena-cava":                                         "round both cavae",
}

func circuitName(c Circuit) string {
	words := make([]string, len(c.Round))
	for i, o := range c.Round {
		words[i] = string(o)
	}
	name, known := groupNames[strings.Join(words, " ")]
	switch {
	case known:
	case len(words) == 0:
		name = "round a loose line"
	default:
		for i, o := range c.Round {
			words[i] = obstacleNames[o]
		}
		name = "round the " + strings.Join(words, ", the ")
	}
	if c.ThroughCoronarySinus {
		name += ", through the coronary sinus"
	}
	return name
}

// Thresholds for re-entry. Under 78 mm fibrillation was inducible only below that wavelength in the classic animal work (Rensma 1988,
// Circulation Research, from memory); shorter loops cannot hold a wave that long.
const harmlessMM = 78.0

// The wavelength used where a set gives none: slowed conduction after persistent AF, 0.60 m/s (from memory) x 199 ms (refractory period after
// cardioversion of persistent AF, PMID 12784779) = 119.4 mm.
const (
	defaultVelocityMPerS = 0.60
	defaultRefractoryMS  = 199.0
)

func judge(length, wavelength float64) Verdict {
	switch {
	case length < harmlessMM:
		return Harmless
	case length < wavelength:
		return Possible
	}
	return CanSustain
}

// wavelength is conduction velocity times refractory period, in mm (m/s x ms).
func (set LesionSet) wavelength() float64 {
	velocity, refractory := set.ConductionVelocityMPerS, set.RefractoryPeriodMS
	if velocity == 0 {
		velocity = defaultVelocityMPerS
	}
	if refractory == 0 {
		refractory = defaultRefractoryMS
	}
	return velocity * refractory
}
