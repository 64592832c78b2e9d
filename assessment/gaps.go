package assessment

import (
	"fmt"
	"strings"

	"isthmus/assessment/atrium"
)

// gaps enters the free ends of one chamber. A gap that leaves a circuit open is already charged with the circuit, so that a line drawn
// short never costs more than a line left out; where nothing stays open it costs its own small price.
func (g *grading) gaps(chamber atrium.Chamber, list []atrium.Gap, open, needed bool) {
	ends := map[int]int{}
	for _, gap := range list {
		ends[gap.Lesion]++
	}
	for _, gap := range list {
		what := fmt.Sprintf("%s ends %.1f mm short of the nearest boundary (%s).", capital(g.lesionName(gap.Lesion)), gap.WidthMM, strings.ReplaceAll(gap.Nearest, "-", " "))
		if ends[gap.Lesion] > 1 {
			what += " Neither of its ends is joined: it only lengthens the way round."
		}
		cost := hundredths(g.policy.Deductions["gap"])
		if open || !needed {
			cost = 0
		}
		if open {
			what += " Its price is in the circuit it leaves open."
		}
		g.findAt("gap", what, &Place{Chamber: chamber, At: gap.At, Lesion: &gap.Lesion}, cost)
	}
}

// islands enters tissue that should follow the sinus node and no longer does.
func (g *grading) islands(chamber atrium.Chamber, list []atrium.Island) {
	for _, island := range list {
		if island.Wanted {
			continue
		}
		place := g.islandPlace(chamber, island)
		g.find("unwanted-island", fmt.Sprintf("%.1f cm² of the %s is cut off (%s).", island.AreaCM2, strings.ReplaceAll(string(chamber), "-", " "), strings.ReplaceAll(island.Name, "-", " ")), place)
	}
}

// islandPlace points at an island: its outline, or the opening it lies at, or, when it is too small for either, the first lesion of its
// chamber.
func (g *grading) islandPlace(chamber atrium.Chamber, island atrium.Island) *Place {
	if len(island.Outline) > 0 && len(island.Outline[0]) > 0 {
		return &Place{Chamber: chamber, At: island.Outline[0][0]}
	}
	for _, opening := range atrium.Openings(chamber, 0) {
		if strings.HasSuffix(island.Name, string(opening.Obstacle)) {
			return &Place{Chamber: chamber, At: opening.Centre}
		}
	}
	for i, drawn := range g.result.Lesions {
		if drawn.Chamber == chamber && len(drawn.Path) > 0 {
			return &Place{Chamber: chamber, At: drawn.Path[len(drawn.Path)/2], Lesion: &i}
		}
	}
	return nil
}
