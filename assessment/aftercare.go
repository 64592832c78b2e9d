package assessment

import (
	"fmt"
	"slices"

	"isthmus/assessment/atrium"
)

// What the follow-up must hold at least: 24 hours of recording at 3, 6 and 12 months (Lee 2010, PMC2967773), and anticoagulation for
// 3 months (ACC/AHA/ACCP/HRS 2023, as quoted).
const (
	leastMonitoringHours       = 24
	leastAnticoagulationMonths = 3
)

var monitoringMonths = []int{3, 6, 12}

// aftercare judges block testing, the appendage, and what follows the operation; only what the scenario asks for.
func (g *grading) aftercare() {
	if g.plan.ablates() && g.scenario.asked(AskLesionSet) {
		g.blockTests()
	}
	if g.scenario.asked(AskAppendage) {
		g.leftAppendage()
	}
	if g.scenario.asked(AskAftercare) {
		g.followUp()
	}
	if g.scenario.asked(AskPacing) {
		g.wires()
	}
	if g.scenario.asked(AskTold) {
		g.told()
	}
}

// blockTests asks for entrance and exit block of each side's veins. A side that is not isolated counts as not tested: there is nothing a
// test could have shown.
func (g *grading) blockTests() {
	tested := 0
	for _, pair := range []struct {
		side  int
		name  string
		veins []string
	}{{-1, "left", []string{"left-superior", "left-inferior"}}, {1, "right", []string{"right-superior", "right-inferior"}}} {
		at := g.sidePlace(pair.side)
		isolated := slices.Contains(g.result.VeinsIsolated, pair.veins[0]) && slices.Contains(g.result.VeinsIsolated, pair.veins[1])
		switch best := g.bestTest(pair.side); {
		case !isolated:
			g.find("block-not-tested", "The "+pair.name+" veins are not isolated, so there is no block to prove.", at)
		case best == atrium.ExitAndEntrance || best == atrium.Bidirectional:
			tested++
		case best == atrium.EntranceBlock || best == atrium.ExitBlock:
			g.find("block-tested-one-way", fmt.Sprintf("Only %s block of the %s veins is tested.", best, pair.name), at)
		default:
			g.find("block-not-tested", "Block of the "+pair.name+" veins is not tested.", at)
		}
	}
	if tested == 2 {
		g.find("retest-after-20-minutes", "Block is tested both ways.", nil)
	}
}

// sidePlace points between the veins of a side, and at the first ring that may be theirs.
func (g *grading) sidePlace(wanted int) *Place {
	place := &Place{Chamber: atrium.LeftAtrium, At: unit(atrium.Vec{0.65 * float64(wanted), 0.17, 0.72})}
	for i, drawn := range g.result.Lesions {
		if !drawn.Closed || drawn.Chamber != atrium.LeftAtrium {
			continue
		}
		if s := sideOf(drawn.Path); s == 0 || s == wanted {
			place.Lesion = &i
			break
		}
	}
	return place
}

// bestTest is the most telling test of any ring on a side of the left atrium.
func (g *grading) bestTest(wanted int) atrium.BlockTest {
	order := []atrium.BlockTest{atrium.EntranceBlock, atrium.ExitBlock, atrium.Bidirectional, atrium.ExitAndEntrance}
	best := -1
	for i, drawn := range g.result.Lesions {
		if !drawn.Closed || drawn.Chamber != atrium.LeftAtrium {
			continue
		}
		if s := sideOf(drawn.Path); s == 0 || s == wanted {
			best = max(best, slices.Index(order, g.plan.Lesions[i].Block))
		}
	}
	if best < 0 {
		return atrium.NotTested
	}
	return order[best]
}

// leftAppendage judges what is done with the appendage and how its closure is judged.
func (g *grading) leftAppendage() {
	a, at := g.plan.LeftAppendage, &Place{Chamber: atrium.LeftAtrium, At: unit(appendage)}
	if a.State == atrium.AppendageKept {
		if g.scenario.Patient.ThrombusOnImaging && !g.scenario.Operation.LeftAtriumOpened {
			g.find("appendage-rightly-left", "The appendage is left alone.", at)
		} else {
			g.find("appendage-left", "The left appendage is left open.", at)
		}
		return
	}
	switch a.Method {
	case "":
		g.find("appendage-method-unnamed", "The appendage is "+string(a.State)+", but not said how.", at)
	case "internal-suture", "stapled-excision":
		g.find("appendage-method-weak", "The appendage is closed by the weaker method ("+a.Method+").", at)
	}
	if !a.FlowCheck {
		g.find("appendage-closure-not-checked", "Closure is not judged by echo.", at)
	}
}

// followUp judges rhythm monitoring and anticoagulation. Without ablation there is no success to monitor.
func (g *grading) followUp() {
	var after Aftercare
	if g.plan.Aftercare != nil {
		after = *g.plan.Aftercare
	}
	if g.plan.ablates() {
		missing := slices.ContainsFunc(monitoringMonths, func(m int) bool { return !slices.Contains(after.MonitoringMonths, m) })
		if missing || after.MonitoringHours < leastMonitoringHours {
			g.find("monitoring-short", fmt.Sprintf("Rhythm is recorded for %d hours at months %v.", after.MonitoringHours, after.MonitoringMonths), nil)
		}
	}
	if after.AnticoagulationMonths < leastAnticoagulationMonths {
		g.find("anticoagulation-short", fmt.Sprintf("Anticoagulation is planned for at least %d months.", after.AnticoagulationMonths), nil)
	}
	if after.AnticoagulationThen != byStrokeRisk {
		g.find("anticoagulation-stopped", "What follows is not decided by stroke risk.", nil)
	}
}
