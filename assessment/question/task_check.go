package question

import (
	"fmt"
	"math"
	"strings"

	"isthmus/assessment/atrium"
	"isthmus/assessment/strict"
)

// isolatable are what an effect can ask to be isolated.
var isolatable = []string{"left-superior", "left-inferior", "right-superior", "right-inferior", posteriorWall}

const posteriorWall = "posterior-wall"

// check checks a task on the map.
func (t Task) check(faults *strict.Faults) {
	checkAmong(faults, "map.chamber", t.Chamber, []atrium.Chamber{atrium.LeftAtrium, atrium.RightAtrium})
	checkAmong(faults, "map.draw", t.Draw, draws)
	faults.Join("map.shown", t.Shown.Validate())
	points := 0
	for _, lesion := range t.Shown.Lesions {
		points += len(lesion.Path)
	}
	checkRange(faults, "map.shown.lesions", float64(len(t.Shown.Lesions)), 0, mostShown)
	checkRange(faults, "map.shown.lesions", float64(points), 0, mostPoints)
	faults.Join("map", t.pathFaults("key", t.Key))
	checkRange(faults, "map.misses", float64(len(t.Misses)), 0, mostMisses)
	for i, miss := range t.Misses {
		field := fmt.Sprintf("misses[%d]", i)
		faults.Join("map", t.pathFaults(field+".path", miss.Path))
		checkText(faults, "map."+field+".feedback", miss.Feedback, 1, 1000)
	}
	switch {
	case (t.Near == nil) == (t.Effect == nil):
		faults.Add("map", "is marked either by near or by effect: give one of the two")
	case t.Near != nil:
		checkRange(faults, "map.near.within_mm", t.Near.WithinMM, 1, 40)
		if t.Draw == Ring {
			faults.Add("map.near", "a ring is marked by its effect")
		}
	default:
		t.checkEffect(faults)
	}
}

func (t Task) checkEffect(faults *strict.Faults) {
	e := *t.Effect
	if t.Draw == Point {
		faults.Add("map.effect", "a point has no effect: let a line or a ring be drawn, or mark by near")
	}
	if len(e.Closes)+len(e.Isolates) == 0 {
		faults.Add("map.effect", "must close or isolate something")
	}
	t.checkCircuits(faults, "map.effect.closes", e.Closes)
	t.checkCircuits(faults, "map.effect.leaves", e.Leaves)
	for i, what := range e.Isolates {
		checkAmong(faults, fmt.Sprintf("map.effect.isolates[%d]", i), what, isolatable)
	}
	structures := structuresOf(t.Chamber)
	for i, c := range e.Clear {
		field := fmt.Sprintf("map.effect.clear[%d]", i)
		checkAmong(faults, field+".structure", c.Structure, structures)
		checkRange(faults, field+".least_mm", c.LeastMM, 1, 40)
	}
	checkRange(faults, "map.effect.most_mm", e.MostMM, 0, 500)
}

func (t Task) checkCircuits(faults *strict.Faults, field string, list []Circuit) {
	known := obstaclesOf(t.Chamber)
	for i, circuit := range list {
		if len(circuit) == 0 {
			faults.Add(fmt.Sprintf("%s[%d]", field, i), "must name what the circuit goes round")
		}
		for j, obstacle := range circuit {
			checkAmong(faults, fmt.Sprintf("%s[%d][%d]", field, i, j), obstacle, known)
		}
	}
}

// Limits of drawings: a line drawn by hand, thinned, has some dozens of points. With what is shown they stay far below the model's own.
const (
	mostPoints = 400
	mostShown  = 30
)

// pathFaults are what is wrong with a drawing of this task, at a field. The key of a point may be a course: any place on it is right.
func (t Task) pathFaults(field string, path []atrium.Vec) strict.Faults {
	var faults strict.Faults
	switch {
	case len(path) > mostPoints:
		faults.Add(field, "has %d points; the most is %d", len(path), mostPoints)
	case t.Draw == Point && len(path) != 1 && !(field == "key" && len(path) > 1):
		faults.Add(field, "has %d points; one place is asked for", len(path))
	case t.Draw == Point && len(path) == 1:
		if size := math.Hypot(math.Hypot(path[0][0], path[0][1]), path[0][2]); !(size > 0.1 && size < 10) {
			faults.Add(field+"[0]", "is no direction: give x, y and z from the chamber's centre, about 1 long")
		}
	default:
		lesion := atrium.Lesion{Chamber: t.Chamber, Path: path, Closed: t.closed()}
		for _, fault := range lesion.Validate().List {
			if rest, isPath := strings.CutPrefix(fault.Field, "path"); isPath {
				faults.Add(field+rest, "%s", fault.Message)
			}
		}
	}
	return faults
}

// obstaclesOf are what a circuit of a chamber can go round.
func obstaclesOf(chamber atrium.Chamber) []atrium.Obstacle {
	var list []atrium.Obstacle
	for _, o := range atrium.Openings(chamber, 0) {
		list = append(list, o.Obstacle)
	}
	return list
}

// structuresOf are what a drawing in a chamber can come near to.
func structuresOf(chamber atrium.Chamber) []string {
	var list []string
	if chamber == atrium.RightAtrium {
		for _, site := range atrium.Sites() {
			list = append(list, site.ID)
		}
	}
	for _, n := range atrium.Neighbours(chamber, 0) {
		list = append(list, n.ID)
	}
	return list
}
