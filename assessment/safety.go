package assessment

import (
	"fmt"
	"strings"

	"isthmus/assessment/atrium"
)

// posteriorWall is the middle of the left atrial wall between the four veins, in front of the oesophagus.
var posteriorWall = atrium.Vec{0, 0.10, 1}

// safety looks for hazards: clot, heat in front of the oesophagus, lesions too near the nodes, rings on the veins themselves.
func (g *grading) safety() {
	g.clot()
	if !g.plan.ablates() {
		return
	}
	for i, drawn := range g.result.Lesions {
		if drawn.Chamber == atrium.RightAtrium {
			g.nodes(i, drawn)
			continue
		}
		g.posteriorHeat(i, drawn)
		g.ringOnVein(i, drawn)
	}
}

// clot judges what is done while there is thrombus in the left atrium. Clearing it first needs the left atrium open.
func (g *grading) clot() {
	if !g.scenario.Patient.ThrombusOnImaging {
		return
	}
	cleared := g.plan.LeftAppendage.ClotFirst && g.scenario.Operation.LeftAtriumOpened
	handled := g.plan.LeftAppendage.State != atrium.AppendageKept
	at := &Place{Chamber: atrium.LeftAtrium, At: unit(appendage)}
	switch {
	case cleared:
	case handled && g.plan.LeftAppendage.ClotFirst:
		g.find("thrombus-handled", "The clot is to be cleared first, but the left atrium stays closed: it cannot be.", at)
	case handled:
		g.find("thrombus-handled", "The appendage is handled while there is clot in it.", at)
	case g.plan.ablates():
		g.find("thrombus-left-in-place", "The left atrium is ablated while there is clot in it.", at)
	}
}

// appendage is the left appendage's mouth.
var appendage = atrium.Vec{-0.86, 0.42, -0.28}

// nodes measures how near a right atrial lesion comes to the sinus node and the AV node.
func (g *grading) nodes(i int, drawn atrium.DrawnLesion) {
	radius := atrium.RadiusMM(atrium.RightAtrium, g.scenario.Patient.RightAtriumMM)
	for _, node := range []struct {
		code, name string
		at         atrium.Vec
		limit      float64
	}{
		{"near-sinus-node", "sinus node", atrium.SinusNode, g.policy.Hazards.SinusNodeMM},
		{"near-av-node", "AV node", atrium.AVNode, g.policy.Hazards.AVNodeMM},
	} {
		mm := nearest(drawn.Path, drawn.Closed, node.at) * radius
		if mm < node.limit {
			what := fmt.Sprintf("%s passes %.1f mm from the %s; keep %g mm away.", capital(g.lesionName(i)), mm, node.name, node.limit)
			g.find(node.code, what, &Place{Chamber: atrium.RightAtrium, At: unit(node.at), Lesion: &i})
		}
	}
}

// posteriorHeat flags one-sided radiofrequency on the wall in front of the oesophagus.
func (g *grading) posteriorHeat(i int, drawn atrium.DrawnLesion) {
	if g.plan.Lesions[i].Energy != atrium.UnipolarRF {
		return
	}
	if degrees(nearest(drawn.Path, drawn.Closed, posteriorWall)) < g.policy.Hazards.PosteriorWallDegrees {
		what := capital(g.lesionName(i)) + " burns the posterior wall with unipolar heat."
		g.find("posterior-wall-heat", what, &Place{Chamber: atrium.LeftAtrium, At: unit(posteriorWall), Lesion: &i})
	}
}

// ringOnVein flags a drawn ring that runs inside a vein's mouth instead of round it.
func (g *grading) ringOnVein(i int, drawn atrium.DrawnLesion) {
	if !drawn.Closed || drawn.Lesion != "" {
		return
	}
	for _, opening := range atrium.Openings(atrium.LeftAtrium, g.scenario.Patient.LeftAtriumMM) {
		isVein := strings.HasSuffix(string(opening.Obstacle), "-vein")
		if isVein && degrees(nearest(drawn.Path, true, opening.Centre)) < opening.RadiusDeg {
			what := fmt.Sprintf("%s runs on the %s itself.", capital(g.lesionName(i)), strings.ReplaceAll(string(opening.Obstacle), "-", " "))
			g.find("ring-on-vein", what, &Place{Chamber: atrium.LeftAtrium, At: opening.Centre, Lesion: &i})
			return
		}
	}
}

// lesionName names a lesion of the plan for people; drawn ones are numbered among themselves, as on the map.
func (g *grading) lesionName(i int) string {
	if i >= 0 && i < len(g.plan.Lesions) && g.plan.Lesions[i].Name != "" {
		return "the " + strings.ReplaceAll(string(g.plan.Lesions[i].Name), "-", " ")
	}
	number := 0
	for k := range min(i+1, len(g.plan.Lesions)) {
		if g.plan.Lesions[k].Name == "" {
			number++
		}
	}
	return fmt.Sprintf("drawn %d", number)
}
