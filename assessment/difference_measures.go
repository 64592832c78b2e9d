package assessment

import (
	"fmt"
	"math"
	"slices"

	"isthmus/assessment/atrium"
)

// measures compares what is measured: delay of activation, length of all lesions, how near lesions come to what must not be harmed.
func (c *comparison) measures() {
	y, t := c.yours.result, c.theirs.result
	c.delay("left atrium", y.Activation.DelayMS.LeftAtrium, t.Activation.DelayMS.LeftAtrium, y.Activation.LeftAtrium, t.Activation.LeftAtrium)
	c.delay("right atrium", y.Activation.DelayMS.RightAtrium, t.Activation.DelayMS.RightAtrium, y.Activation.RightAtrium, t.Activation.RightAtrium)
	if math.Abs(y.Economy.TotalMM-t.Economy.TotalMM) >= tellLengthMM {
		c.differ(Difference{
			Topic: TopicMeasure, About: "All lesions together", Yours: fmt.Sprintf("%.0f mm", y.Economy.TotalMM), Theirs: fmt.Sprintf("%.0f mm", t.Economy.TotalMM),
			Means: "More line is more time on the arrested heart and more scar; what counts is what it closes.", Source: commonPractice,
		})
	}
	c.nearness()
}

// delay compares how much later than in intact atria a chamber's last place is activated in sinus rhythm.
func (c *comparison) delay(chamber string, y, t *float64, yours, theirs atrium.ChamberActivation) {
	if y != nil && t != nil && math.Abs(*y-*t) < tellDelayMS {
		return
	}
	says := func(ms *float64) string {
		if ms == nil {
			return "not reached"
		}
		return fmt.Sprintf("%.0f ms", *ms)
	}
	at := func(a atrium.ChamberActivation) *Place {
		if a.LatestAt == nil {
			return nil
		}
		return &Place{Chamber: a.LatestAt.Chamber, At: a.LatestAt.At}
	}
	c.differ(Difference{
		Topic: TopicMeasure, About: "Delay of the " + chamber + " in sinus rhythm", Yours: says(y), Theirs: says(t), Place: at(yours), TheirPlace: at(theirs),
		Means: "Cuts lengthen the way of the sinus beat: what is activated late fills the ventricle late.", Source: commonPractice,
	})
}

// nearness tells each structure that lesions of one plan come near to and those of the other keep away from.
func (c *comparison) nearness() {
	yours, theirs := nearestTo(c.yours.result), nearestTo(c.theirs.result)
	var structures []string
	for _, near := range []map[string]atrium.Hazard{yours, theirs} {
		for structure := range near {
			if !slices.Contains(structures, structure) {
				structures = append(structures, structure)
			}
		}
	}
	slices.Sort(structures)
	for _, structure := range structures {
		y, inYours := yours[structure]
		t, inTheirs := theirs[structure]
		if (inYours && y.DistanceMM < tellNearMM) == (inTheirs && t.DistanceMM < tellNearMM) {
			continue
		}
		d := Difference{Topic: TopicMeasure, About: "Nearest to the " + inWords(structure), Yours: nearWords(y, inYours), Theirs: nearWords(t, inTheirs)}
		d.Place, d.TheirPlace = onBoth(c.yours.nearPlace(y, inYours), c.theirs.nearPlace(t, inTheirs))
		if _, known := kinds["near-"+structure]; known {
			d = ofKind("near-"+structure, d)
		} else {
			d.Means, d.Source = "Heat or cold so near can harm what lies behind the wall.", commonPractice
		}
		c.differ(d)
	}
}

// nearestTo is the nearest lesion to each structure, the first of equals.
func nearestTo(r atrium.Result) map[string]atrium.Hazard {
	near := map[string]atrium.Hazard{}
	for _, h := range r.Hazards {
		if best, known := near[h.Structure]; !known || h.DistanceMM < best.DistanceMM {
			near[h.Structure] = h
		}
	}
	return near
}

func nearWords(h atrium.Hazard, there bool) string {
	if !there {
		return "no lesion in that atrium"
	}
	return fmt.Sprintf("%.1f mm", h.DistanceMM)
}

// nearPlace points at the lesion that comes near.
func (s half) nearPlace(h atrium.Hazard, there bool) *Place {
	if !there || h.Lesion >= len(s.made) {
		return nil
	}
	return s.made[h.Lesion].at()
}
