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
	yours, theirs := c.yours.nearest(), c.theirs.nearest()
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
		harm, known := harms[structure]
		if !known || (inYours && y.DistanceMM < tellNearMM) == (inTheirs && t.DistanceMM < tellNearMM) {
			continue
		}
		d := Difference{Topic: TopicMeasure, About: "Nearest to the " + harm.name, Yours: nearWords(y, inYours), Theirs: nearWords(t, inTheirs)}
		d.Place, d.TheirPlace = onBoth(c.yours.nearPlace(y, inYours), c.theirs.nearPlace(t, inTheirs))
		c.differ(ofKind(harm.code, d))
	}
}

// nearest is the nearest lesion to each structure that it could harm, the first of equals: anything to a node, heat from one side or a cut
// to an artery, a nerve or the oesophagus (common practice, no source). The model measures the standard lines across arteries that cold
// or a clamp does not harm.
func (h half) nearest() map[string]atrium.Hazard {
	near := map[string]atrium.Hazard{}
	for _, hazard := range h.result.Hazards {
		if hazard.Lesion >= len(h.plan.Lesions) {
			continue
		}
		energy := h.plan.Lesions[hazard.Lesion].Energy
		node := hazard.Structure == "sinus-node" || hazard.Structure == "av-node"
		if !node && energy != atrium.UnipolarRF && energy != atrium.Incision {
			continue
		}
		if best, known := near[hazard.Structure]; !known || hazard.DistanceMM < best.DistanceMM {
			near[hazard.Structure] = hazard
		}
	}
	return near
}

func nearWords(h atrium.Hazard, there bool) string {
	if !there {
		return "nothing that could harm it"
	}
	return fmt.Sprintf("%.1f mm", h.DistanceMM)
}

// nearPlace points at where a lesion comes near.
func (h half) nearPlace(hazard atrium.Hazard, there bool) *Place {
	if !there || hazard.Lesion >= len(h.made) {
		return nil
	}
	return &Place{Chamber: h.made[hazard.Lesion].laid.Chamber, At: hazard.At, Lesion: &hazard.Lesion}
}
