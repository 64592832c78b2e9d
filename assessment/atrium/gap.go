package atrium

import (
	"slices"
	"strings"
)

// mostBridged is how many lesions with gaps are tried again with their gaps closed. With more, or with more loose lines in a chamber
// than its circuits can be unrolled for, the plan is full of gaps and a list for each says nothing.
const mostBridged = 8

// bridge is a lesion's gaps in one chamber, closed together: a line with two open ends blocks nothing when only one is closed.
type bridge struct {
	lesion  int
	chamber Chamber
	across  []Lesion
}

// nameGaps tells for each gap what it leaves open: the circuits that are gone, and the veins and wall isolated, once the gaps of its lesion
// are closed by the shortest lines. plain has the result of the set as it is.
func (n *network) nameGaps(set LesionSet, plain *Result, arcs [2]int, w *work) {
	var bridges []bridge
	for k, chamber := range []*ChamberResult{&plain.LeftAtrium, &plain.RightAtrium} {
		if arcs[k] > layeredArcs {
			continue
		}
		of := []Chamber{LeftAtrium, RightAtrium}[k]
		for _, gap := range chamber.Gaps {
			across := Lesion{Chamber: of, Path: []Vec{gap.from, gap.to}}
			if last := len(bridges) - 1; last >= 0 && bridges[last].lesion == gap.Lesion {
				bridges[last].across = append(bridges[last].across, across)
			} else {
				bridges = append(bridges, bridge{gap.Lesion, of, []Lesion{across}})
			}
		}
	}
	for _, b := range bridges[:min(len(bridges), mostBridged)] {
		closed := set
		closed.Lesions = append(slices.Clone(set.Lesions), b.across...)
		fused, _, _ := n.blocks(closed, b.chamber, w)
		open := plain.opened(b.chamber, fused)
		for _, chamber := range []*ChamberResult{&plain.LeftAtrium, &plain.RightAtrium} {
			for i := range chamber.Gaps {
				if chamber.Gaps[i].Lesion == b.lesion {
					chamber.Gaps[i].LeavesOpen = open
				}
			}
		}
	}
}

// opened lists in words what a plan leaves open in a chamber that another result has closed.
func (plain *Result) opened(chamber Chamber, fused Result) []string {
	var open []string
	before, after := plain.LeftAtrium.Circuits, fused.LeftAtrium.Circuits
	if chamber == RightAtrium {
		before, after = plain.RightAtrium.Circuits, fused.RightAtrium.Circuits
	}
	left := map[string]int{}
	for _, c := range after {
		left[c.Name]++
	}
	for _, c := range before {
		if left[c.Name]--; left[c.Name] < 0 && len(c.Round) > 0 && !slices.Contains(open, c.Name) {
			open = append(open, c.Name)
		}
	}
	for _, vein := range fused.VeinsIsolated {
		if !slices.Contains(plain.VeinsIsolated, vein) {
			open = append(open, strings.ReplaceAll(vein, "-", " ")+" vein not isolated")
		}
	}
	if fused.PosteriorWallIsolated && !plain.PosteriorWallIsolated {
		open = append(open, "posterior wall not isolated")
	}
	return open
}
