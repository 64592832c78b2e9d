package atrium

// Trigger cover: veins alone hold about 60 % of trigger sites, a closed box about 80 % (common practice, no source; it allows for
// long-standing fibrillation, as in paroxysmal patients 65 of 69 foci lay in veins). Among the veins sites are shared out as those foci
// were: left superior 31, right superior 17, left inferior 11, right inferior 6 (Haissaguerre 1998, 10.1056/NEJM199809033391003).
const (
	veinsPercent = 60.0
	wallPercent  = 20.0
)

var fociInVein = map[string]float64{"left-superior": 31, "right-superior": 17, "left-inferior": 11, "right-inferior": 6}

// triggerCover is the share in percent of trigger sites that a set isolates. It says nothing on outcome.
func triggerCover(veins []string, posteriorWall bool) float64 {
	all, isolated := 0.0, 0.0
	for _, foci := range fociInVein {
		all += foci
	}
	for _, vein := range veins {
		isolated += fociInVein[vein]
	}
	cover := veinsPercent * isolated / all
	if posteriorWall {
		cover += wallPercent
	}
	return roundTo(cover, 0)
}
