package assessment

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"isthmus/assessment/atrium"
)

// From which size on a difference of two measures is told: less is not worth a reader's time. Common practice, no source.
const (
	tellLengthMM = 10.0 // of all lesions together, and of a circuit in both plans
	tellDelayMS  = 10.0
	tellNearMM   = 5.0 // a lesion nearer than this to a structure is told when the other plan keeps away
)

// effects compares what the two plans leave: veins, wall, circuits, cut-off tissue, the way to the AV node.
func (c *comparison) effects() {
	y, t := c.yours.result, c.theirs.result
	c.differ(ofKind("vein-not-isolated", Difference{
		Topic: TopicEffect, About: "Veins not isolated", Yours: veinsOpen(y), Theirs: veinsOpen(t), Place: c.openVein(y, t), TheirPlace: c.openVein(y, t),
	}))
	wall := map[bool]string{true: "isolated", false: "connected"}
	at := &Place{Chamber: atrium.LeftAtrium, At: unit(posteriorWall)}
	c.differ(ofKind("posterior-wall-connected", Difference{
		Topic: TopicEffect, About: "Wall between the veins", Yours: wall[y.PosteriorWallIsolated], Theirs: wall[t.PosteriorWallIsolated], Place: at, TheirPlace: at,
	}))
	c.circuits(atrium.LeftAtrium, y.LeftAtrium, t.LeftAtrium)
	c.circuits(atrium.RightAtrium, y.RightAtrium, t.RightAtrium)
	c.islands(atrium.LeftAtrium, y.LeftAtrium, t.LeftAtrium)
	c.islands(atrium.RightAtrium, y.RightAtrium, t.RightAtrium)
	way := map[bool]string{true: "reached", false: "cut off"}
	c.differ(ofKind("sinus-to-av-broken", Difference{Topic: TopicEffect, About: "AV node from the sinus node", Yours: way[y.SinusToAVNode], Theirs: way[t.SinusToAVNode]}))
}

// allVeins in the order of the map, left to right and down.
var allVeins = []string{"left-superior", "left-inferior", "right-superior", "right-inferior"}

func veinsOpen(r atrium.Result) string {
	var open []string
	for _, vein := range allVeins {
		if !slices.Contains(r.VeinsIsolated, vein) {
			open = append(open, strings.ReplaceAll(vein, "-", " "))
		}
	}
	if len(open) == 0 {
		return "none"
	}
	return strings.Join(open, ", ")
}

// openVein is the first vein that only one of the two plans isolates.
func (c *comparison) openVein(y, t atrium.Result) *Place {
	for _, opening := range atrium.Openings(atrium.LeftAtrium, c.scenario.Patient.LeftAtriumMM) {
		vein, isVein := strings.CutSuffix(string(opening.Obstacle), "-vein")
		if isVein && slices.Contains(y.VeinsIsolated, vein) != slices.Contains(t.VeinsIsolated, vein) {
			return &Place{Chamber: atrium.LeftAtrium, At: opening.Centre}
		}
	}
	return nil
}

// circuits compares the circuits left in one chamber, the longest first; those too short to count in both plans are not told.
func (c *comparison) circuits(chamber atrium.Chamber, y, t atrium.ChamberResult) {
	type both struct{ yours, theirs int } // indexes; -1 for none
	found := map[string]both{}
	for i, circuit := range y.Circuits {
		found[circuitKey(circuit)] = both{i, -1}
	}
	for i, circuit := range t.Circuits {
		key := circuitKey(circuit)
		b, known := found[key]
		if !known {
			b.yours = -1
		}
		b.theirs = i
		found[key] = b
	}
	length := func(key string) float64 {
		mm := 0.0
		if i := found[key].yours; i >= 0 {
			mm = y.Circuits[i].LengthMM
		}
		if i := found[key].theirs; i >= 0 {
			mm = max(mm, t.Circuits[i].LengthMM)
		}
		return mm
	}
	keys := make([]string, 0, len(found))
	for key := range found {
		keys = append(keys, key)
	}
	slices.SortFunc(keys, func(a, b string) int { return cmp.Or(cmp.Compare(length(b), length(a)), strings.Compare(a, b)) })
	for _, key := range keys {
		c.circuit(chamber, pick(y, found[key].yours), pick(t, found[key].theirs), found[key].yours, found[key].theirs)
	}
}

// circuitKey identifies a circuit by what it goes round.
func circuitKey(c atrium.Circuit) string {
	names := make([]string, len(c.Round))
	for i, o := range c.Round {
		names[i] = string(o)
	}
	slices.Sort(names)
	return fmt.Sprint(names, c.ThroughCoronarySinus)
}

func pick(in atrium.ChamberResult, i int) *atrium.Circuit {
	if i < 0 {
		return nil
	}
	return &in.Circuits[i]
}

// circuit enters a circuit left in one plan only, or with another verdict or a clearly other length.
func (c *comparison) circuit(chamber atrium.Chamber, yours, theirs *atrium.Circuit, y, t int) {
	counts := func(circuit *atrium.Circuit) bool { return circuit != nil && matters(*circuit) }
	if !counts(yours) && !counts(theirs) {
		return
	}
	if yours != nil && theirs != nil && yours.Verdict == theirs.Verdict && math.Abs(yours.LengthMM-theirs.LengthMM) < tellLengthMM {
		return
	}
	says := func(circuit *atrium.Circuit) string {
		if circuit == nil {
			return "closed"
		}
		return fmt.Sprintf("%.0f mm, %s", circuit.LengthMM, verdicts[circuit.Verdict])
	}
	one := cmp.Or(yours, theirs)
	if yours != nil && theirs != nil && theirs.Name < yours.Name {
		one = theirs
	}
	d := Difference{Topic: TopicEffect, About: "A circuit " + one.Name, Yours: says(yours), Theirs: says(theirs)}
	d.Place, d.TheirPlace = onBoth(placeOf(chamber, yours, y), placeOf(chamber, theirs, t))
	if yours != nil && theirs != nil {
		d.Means = "A longer way round gives a wave more room to turn: lines that lengthen a circuit without closing it do harm."
		d.Source = "the logic of circuits"
		c.differ(d)
		return
	}
	in := c.yours.result
	if yours == nil {
		in = c.theirs.result
	}
	c.differ(ofKind(circuitCode(chamber, *one, in.PosteriorWallIsolated), d))
}

// circuitCode is the finding that a circuit left would be. Round the veins alone it belongs to an open wall; round a closed box to the
// mitral annulus, which the box is not joined to.
func circuitCode(chamber atrium.Chamber, c atrium.Circuit, boxed bool) string {
	switch {
	case chamber == atrium.RightAtrium && round(c, atrium.TricuspidAnnulus):
		return "tricuspid-circuit"
	case chamber == atrium.RightAtrium:
		return "caval-circuit"
	case c.ThroughCoronarySinus:
		return "coronary-sinus-left"
	case round(c, atrium.LeftAppendageStump):
		return "appendage-stump-circuit"
	case onlyVeins(c) && !boxed:
		return "posterior-wall-connected"
	}
	return "perimitral-circuit"
}

// islands compares tissue cut off unasked, by its name.
func (c *comparison) islands(chamber atrium.Chamber, y, t atrium.ChamberResult) {
	total := func(in atrium.ChamberResult) (area map[string]float64, at map[string]*Place) {
		area, at = map[string]float64{}, map[string]*Place{}
		for _, island := range in.Islands {
			if island.Wanted {
				continue
			}
			area[island.Name] += island.AreaCM2
			if at[island.Name] == nil && len(island.Outline) > 0 && len(island.Outline[0]) > 0 {
				at[island.Name] = &Place{Chamber: chamber, At: island.Outline[0][0]}
			}
		}
		return area, at
	}
	yours, yourPlaces := total(y)
	theirs, theirPlaces := total(t)
	names := make([]string, 0, len(yours)+len(theirs))
	for name := range yours {
		names = append(names, name)
	}
	for name := range theirs {
		if _, both := yours[name]; !both {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	says := func(area map[string]float64, name string) string {
		if area[name] == 0 {
			return "follows the sinus node"
		}
		return fmt.Sprintf("%.1f cm² cut off", area[name])
	}
	for _, name := range names {
		d := Difference{Topic: TopicEffect, About: capital(inWords(name)) + " of the " + inWords(chamber), Yours: says(yours, name), Theirs: says(theirs, name)}
		d.Place, d.TheirPlace = onBoth(yourPlaces[name], theirPlaces[name])
		c.differ(ofKind("unwanted-island", d))
	}
}
