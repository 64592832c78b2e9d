package assessment

import (
	"fmt"
	"slices"
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
	g.tooNear()
	for i, drawn := range g.result.Lesions {
		if drawn.Chamber == atrium.LeftAtrium {
			g.ringOnVein(i, drawn)
		}
	}
}

// clot judges what is done while there is thrombus in the left atrium. Clearing it first needs the left atrium open.
func (g *grading) clot() {
	if !g.hasClot() {
		return
	}
	cleared := g.clearsClot()
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

// harms are the structures a lesion can harm: in words, and the finding it raises.
var harms = map[string]struct{ name, code string }{
	"sinus-node":            {"sinus node", "near-sinus-node"},
	"av-node":               {"AV node", "near-av-node"},
	"sinus-node-artery":     {"artery of the sinus node", "near-sinus-node-artery"},
	"oesophagus":            {"oesophagus", "posterior-wall-heat"},
	"circumflex-artery":     {"circumflex artery", "near-circumflex-artery"},
	"right-coronary-artery": {"right coronary artery", "near-right-coronary-artery"},
	"right-phrenic-nerve":   {"right phrenic nerve", "near-phrenic-nerve"},
	"left-phrenic-nerve":    {"left phrenic nerve", "near-phrenic-nerve"},
}

// tooNear holds the distances the model measured to the policy's thresholds for the energy of each lesion. A sinus node that is sick
// already has less to lose.
func (g *grading) tooNear() {
	sick := false
	for _, h := range g.result.Hazards {
		for _, limit := range g.policy.Hazards {
			energy := g.plan.Lesions[h.Lesion].Energy
			if limit.Structure != h.Structure || h.DistanceMM >= limit.WithinMM || len(limit.Energies) > 0 && !slices.Contains(limit.Energies, energy) {
				continue
			}
			harm := harms[h.Structure]
			what := fmt.Sprintf("%s passes %.1f mm from the %s", capital(g.lesionName(h.Lesion)), h.DistanceMM, harm.name)
			if len(limit.Energies) > 0 {
				what += " with " + energyNames[energy]
			}
			what += fmt.Sprintf("; keep %g mm away.", limit.WithinMM)
			place := &Place{Chamber: g.result.Lesions[h.Lesion].Chamber, At: h.At, Lesion: &h.Lesion}
			found := g.find(harm.code, what, place)
			found.Source = strings.TrimPrefix(found.Source+"; threshold: "+limit.Source, "; ")
			if h.Structure == "sinus-node" && g.scenario.Patient.SinusNodeDisease && !g.scenario.Patient.Pacemaker && !sick {
				sick = true
				g.find("sick-sinus-node-at-risk", "The sinus node is sick already, and a line runs close to it.", place)
			}
			break
		}
	}
}

var energyNames = map[atrium.Energy]string{
	atrium.BipolarRF: "the radiofrequency clamp", atrium.UnipolarRF: "unipolar radiofrequency", atrium.Cryo: "cold", atrium.Incision: "an incision",
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

// lesionName names a lesion of the plan for people; drawn ones are numbered among themselves, as on the map, with the named lesion whose
// work they do.
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
	name := fmt.Sprintf("drawn %d", number)
	if i >= 0 && i < len(g.result.Lesions) && g.result.Lesions[i].Recognised != "" {
		name += " (" + strings.ReplaceAll(string(g.result.Lesions[i].Recognised), "-", " ") + ")"
	}
	return name
}
