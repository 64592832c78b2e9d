package question_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
)

// onMap is a starter item by its id.
func onMap(t *testing.T, id question.ItemID) question.Item {
	t.Helper()
	it, found := question.Starter().Item(id)
	if !found || it.Kind != question.OnMap {
		t.Fatalf("no item %s on the map", id)
	}
	return it
}

func drawn(t *testing.T, it question.Item, path ...atrium.Vec) question.Mark {
	t.Helper()
	mark, err := question.MarkItem(atrium.Default(), it, question.Answer{Path: path}, question.Scheme{})
	if err != nil {
		t.Fatal(err)
	}
	return mark
}

// TestPointByDistance: a point counts up to the distance of the item and no farther, in whatever direction it lies.
func TestPointByDistance(t *testing.T) {
	it := onMap(t, "mark-sinus-node")
	rapid.Check(t, func(r *rapid.T) {
		v := atrium.Vec{rapid.Float64Range(-1, 1).Draw(r, "x"), rapid.Float64Range(-1, 1).Draw(r, "y"), rapid.Float64Range(-1, 1).Draw(r, "z")}
		if math.Hypot(math.Hypot(v[0], v[1]), v[2]) < 0.2 {
			return
		}
		away := atrium.DistanceMM(atrium.RightAtrium, 0, v, it.Map.Key, false)
		if mark := drawn(t, it, v); mark.Right != (away <= it.Map.Near.WithinMM) || mark.Right == (len(mark.Says) > 0) {
			r.Fatalf("%v mm away: %+v", away, mark)
		}
	})
}

// TestLineByPlace: a line is marked by both lines: neither may have a part the other has not, and it may be drawn from either end.
func TestLineByPlace(t *testing.T) {
	key := []atrium.Vec{{-0.55, 0.55, 0.60}, {0, 0.62, 0.75}, {0.60, 0.55, 0.55}}
	it := question.Item{ID: "roof", Kind: question.OnMap, Map: &question.Task{Chamber: atrium.LeftAtrium, Draw: question.Line, Near: &question.Near{WithinMM: 6}, Key: key}}
	turned := slices.Clone(key)
	slices.Reverse(turned)
	for _, tt := range []struct {
		name string
		path []atrium.Vec
		want bool
	}{
		{"the key", key, true}, {"from the other end", turned, true}, {"two points of it", []atrium.Vec{key[0], key[2]}, true},
		{"half of it", key[:2], false}, {"longer", append(slices.Clone(key), atrium.Vec{0.9, 0.1, 0.3}), false},
	} {
		if mark := drawn(t, it, tt.path...); mark.Right != tt.want {
			t.Errorf("%s: %+v, want %v", tt.name, mark, tt.want)
		}
	}
}

// TestForeseenDrawing: a wrong drawing near a foreseen one is told what was written for it; a ring may begin anywhere.
func TestForeseenDrawing(t *testing.T) {
	for _, it := range question.Starter().Items() {
		if it.Kind != question.OnMap {
			continue
		}
		for i, miss := range it.Map.Misses {
			path := slices.Clone(miss.Path)
			if it.Map.Draw == question.Ring {
				path = append(path[1:], path[0])
			}
			if mark := drawn(t, it, path...); mark.Right || !slices.Contains(mark.Says, miss.Feedback) {
				t.Errorf("%s, wrong drawing %d: %+v, want %q said", it.ID, i+1, mark, miss.Feedback)
			}
		}
		key := it.Map.Key
		if it.Map.Draw == question.Point {
			key = key[:1] // of a course any place is right
		}
		if says := drawn(t, it, key...).Says; len(says) > 0 {
			t.Errorf("%s: %q is said to the key", it.ID, says)
		}
	}
	it := onMap(t, "mark-sinus-node")
	feedback := it.Map.Misses[0].Feedback
	for _, tt := range []struct {
		name string
		at   atrium.Vec
		want bool
	}{{"there", it.Map.Misses[0].Path[0], true}, {"far from both", atrium.Vec{0, 0, -1}, false}} {
		if said := slices.Contains(drawn(t, it, tt.at).Says, feedback); said != tt.want {
			t.Errorf("%s: said is %v, want %v", tt.name, said, tt.want)
		}
	}
}

// TestEffect: each thing an effect asks for, failed alone, is said; and what no drawing may do fails whatever else it does.
func TestEffect(t *testing.T) {
	isthmus := onMap(t, "draw-tricuspid-line")
	for _, tt := range []struct {
		name   string
		change func(*question.Task)
		says   string
	}{
		{"right", func(*question.Task) {}, ""},
		{"not closed", func(task *question.Task) { task.Effect.Closes = []question.Circuit{{atrium.SuperiorVenaCava}} }, "A circuit"},
		{"not left", func(task *question.Task) { task.Effect.Leaves = []question.Circuit{{atrium.TricuspidAnnulus}} }, "to be left alone"},
		{"not isolated", func(task *question.Task) { task.Effect.Isolates = []string{"left-superior", "posterior-wall"} }, "left superior vein still conducts"},
		{"too long", func(task *question.Task) { task.Effect.MostMM = 20 }, "mm long; at most 20 mm"},
		{"too near", func(task *question.Task) {
			task.Effect.Clear = []question.Clearance{{Structure: "right-coronary-artery", LeastMM: 2}}
		}, "of the right coronary artery"},
	} {
		it, task := isthmus, *isthmus.Map
		effect := *isthmus.Map.Effect
		task.Effect = &effect
		tt.change(&task)
		it.Map = &task
		mark := drawn(t, it, task.Key...)
		if said := strings.Join(mark.Says, " "); mark.Right != (tt.says == "") || !strings.Contains(said, tt.says) {
			t.Errorf("%s: %v, says %q, want %q", tt.name, mark.Right, said, tt.says)
		}
	}
	ring := isthmus
	ring.Map = &question.Task{Chamber: atrium.RightAtrium, Draw: question.Ring, Effect: &question.Effect{Closes: []question.Circuit{{atrium.LeftAppendageStump}}}}
	around := []atrium.Vec{{-0.80, 0.12, -0.58}, {-0.98, 0.06, -0.18}, {-0.97, -0.22, -0.12}, {-0.82, -0.36, -0.44}} // between fossa and coronary sinus
	if mark := drawn(t, ring, around...); mark.Right || !strings.Contains(strings.Join(mark.Says, " "), "AV node") {
		t.Errorf("a ring round the AV node: %+v", mark)
	}
	island := []atrium.Vec{{0.9, 0.3, 0.1}, {0.9, 0, 0.4}, {0.9, -0.3, 0.1}, {0.9, 0, -0.2}}
	if mark := drawn(t, ring, island...); mark.Right || !strings.Contains(strings.Join(mark.Says, " "), "tissue that must conduct") {
		t.Errorf("a ring on the free wall: %+v", mark)
	}
}

type broken struct{}

func (broken) Conduct(atrium.LesionSet) (atrium.Result, error) {
	return atrium.Result{}, errors.New("no model")
}

// TestModelFails: when the model fails nobody is marked.
func TestModelFails(t *testing.T) {
	it := onMap(t, "draw-roof-line")
	if mark, err := question.MarkItem(broken{}, it, question.Answer{Path: it.Map.Key}, question.Scheme{}); err == nil || mark.Answered {
		t.Errorf("%+v, %v", mark, err)
	}
	if err := question.Try(broken{}, it); err == nil {
		t.Error("tried without a model")
	}
}

// TestTryFinds: a key that is not right and a miss that is are found, with their field.
func TestTryFinds(t *testing.T) {
	it := onMap(t, "draw-roof-line")
	task := *it.Map
	task.Key, task.Misses = it.Map.Misses[0].Path, []question.MissDrawn{{Path: it.Map.Key, Feedback: "x"}}
	it.Map = &task
	err := question.Try(atrium.Default(), it)
	if err == nil {
		t.Fatal("nothing found")
	}
	wantFault(t, err, "map.key", "not marked right")
	wantFault(t, err, "map.misses[0]", "marked right")
}
