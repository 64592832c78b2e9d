package atrium

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"isthmus/assessment/strict"
)

// spiral is a line that winds from one pole to the other, crossing nothing.
func spiral(points int) (path []Vec) {
	for k := range points {
		height := 1 - 2*(float64(k)+0.5)/float64(points)
		turn := 12 * math.Pi * float64(k) / float64(points)
		path = append(path, Vec{math.Sqrt(1-height*height) * math.Cos(turn), height, math.Sqrt(1-height*height) * math.Sin(turn)})
	}
	return path
}

// TestRefusedInput: what cannot be computed gets a fault that names the field and says what to do about it.
func TestRefusedInput(t *testing.T) {
	drawn := func(path ...Vec) []Lesion { return []Lesion{{Chamber: LeftAtrium, Path: path}} }
	here, there := Vec{0, 0.2, 0.98}, Vec{0.3, 0.3, 0.9}
	for _, c := range []struct {
		name        string
		lesions     []Lesion
		field, says string
	}{
		{"two coincident points", drawn(here, here), "lesions[0].path", "no length"},
		{"the same, one farther out", drawn(here, here.times(3)), "lesions[0].path", "no length"},
		{"two opposite points", drawn(here, here.times(-1)), "lesions[0].path[1]", "add a point between"},
		{"a ring that closes over opposite points", []Lesion{{Chamber: LeftAtrium, Closed: true, Path: []Vec{here, there.cross(here), here.times(-1)}}}, "lesions[0].path[0]", "add a point between"},
		{"a point at the centre", drawn(here, Vec{}), "lesions[0].path[1]", "give x, y and z"},
		{"a point far outside", drawn(here, there.times(1e6)), "lesions[0].path[1]", "about 1 long"},
		{"not a number", drawn(here, Vec{math.NaN(), 0, 1}), "lesions[0].path[1]", "is no direction"},
		{"infinity", drawn(Vec{0, math.Inf(1), 0}, there), "lesions[0].path[0]", "is no direction"},
		{"minus infinity", drawn(Vec{0, math.Inf(-1), 1}, there), "lesions[0].path[0]", "is no direction"},
		{"an unknown chamber", []Lesion{{Chamber: "left-ventricle", Path: []Vec{here, there}}}, "lesions[0].chamber", "use one of left-atrium, right-atrium"},
		{"ten thousand points", drawn(spiral(10000)...), "lesions", "the most is 2000"},
		{"five hundred lesions", make([]Lesion, 500), "lesions", "the most is 200"},
	} {
		set := LesionSet{Lesions: c.lesions}
		_, conducted := coarse.Conduct(set)
		_, laid := coarse.Lay(set)
		_, activated := coarse.Activation(set)
		for _, err := range []error{conducted, laid, activated} {
			var faults strict.Faults
			if !errors.As(err, &faults) || faults.List[0].Field != c.field || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%s: %v; want a fault at %s that says %q", c.name, err, c.field, c.says)
			}
		}
	}
}

// TestOddInput: what is odd but means something gets a result with numbers in it: the same as without the oddity where that has none.
func TestOddInput(t *testing.T) {
	roof := Vec{0, 0.62, 0.75}
	line := []Vec{{-0.30, -0.24, 0.90}, {-0.30, -0.60, 0.60}, {-0.30, -0.85, 0.20}, {-0.32, -0.90, -0.20}}
	drawn := func(closed bool, path ...Vec) LesionSet {
		return LesionSet{Lesions: []Lesion{{Name: FloorLine}, {Chamber: LeftAtrium, Path: path, Closed: closed}}}
	}
	var twice, long, short []Vec
	for _, p := range line {
		twice, long, short = append(twice, p, p), append(long, p.times(7)), append(short, p.times(0.2))
	}
	for _, c := range []struct {
		name  string
		set   LesionSet
		plain []Vec // the same line without the oddity
	}{
		{"every point twice", drawn(false, twice...), line},
		{"points outside the surface", drawn(false, long...), line},
		{"points inside it", drawn(false, short...), line},
		{"a line that crosses itself", drawn(false, roof, Vec{0.4, 0.3, 0.8}, Vec{-0.3, 0.2, 0.9}, Vec{0.2, 0.6, 0.7}, Vec{0.2, -0.4, 0.9}), nil},
		{"a ring in the shape of an eight", drawn(true, Vec{-0.4, 0.3, 0.9}, Vec{0.4, -0.3, 0.9}, Vec{0.4, 0.3, 0.9}, Vec{-0.4, -0.3, 0.9}), nil},
		{"there and back", drawn(false, roof, Vec{0.4, 0.3, 0.8}, roof), nil},
		{"a ring of one point and another", drawn(true, roof, roof, Vec{0.4, 0.3, 0.8}), nil},
		{"an end twice on another line", drawn(false, Vec{0, -0.20, 1}, Vec{0, -0.20, 1}, Vec{0, 0.3, 0.9}), nil},
		{"two thousand points", drawn(false, spiral(1990)...), nil},
		{"on the other chamber's sinus node", LesionSet{Lesions: []Lesion{{Chamber: LeftAtrium, Path: []Vec{SinusNode, roof}}}}, nil},
	} {
		r, err := coarse.Conduct(c.set)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if _, err := json.Marshal(r); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		if c.plain == nil {
			continue
		}
		plain, err := coarse.Conduct(drawn(false, c.plain...))
		if err != nil || plain.LeftAtrium.IndependentCircuits != r.LeftAtrium.IndependentCircuits || plain.Scope != r.Scope || plain.Economy.TotalMM != r.Economy.TotalMM {
			t.Errorf("%s: %d circuits over %v mm, without it %d over %v mm (%v)", c.name, r.LeftAtrium.IndependentCircuits, r.Economy.TotalMM, plain.LeftAtrium.IndependentCircuits, plain.Economy.TotalMM, err)
		}
	}
}

// drawnSet is a set of lines and rings only, as a hand may draw them: some loose, some crossing, some over openings.
func drawnSet(r *rand.Rand) LesionSet {
	direction := func() Vec {
		for {
			if v := (Vec{r.Float64()*2 - 1, r.Float64()*2 - 1, r.Float64()*2 - 1}); v.length() > 0.2 && v.length() < 1 {
				return v.unit()
			}
		}
	}
	set := LesionSet{LeftAppendage: []AppendageState{AppendageKept, AppendageExcised}[r.IntN(2)]}
	for range 1 + r.IntN(6) {
		l, at := Lesion{Chamber: []Chamber{LeftAtrium, RightAtrium}[r.IntN(2)], Closed: r.IntN(3) == 0}, direction()
		for range 3 + r.IntN(5) {
			l.Path = append(l.Path, at)
			at = towards(at, direction(), 0.05+0.7*r.Float64())
		}
		set.Lesions = append(set.Lesions, l)
	}
	return set
}

// TestDrawnSetsMatchBetti: on two thousand drawn sets the circuits counted from holes are as many as the first Betti number from the Euler
// characteristic of the tissue left (pieces - V + E - F), which knows nothing of holes.
func TestDrawnSetsMatchBetti(t *testing.T) {
	model, w, r := New(7), &work{}, rand.New(rand.NewPCG(20, 25))
	counts := map[int]int{}
	for k := range 2000 {
		set := drawnSet(r)
		n, closed := model.network(set), set.closesAppendage()
		plan := n.place(set, closed, w)
		for _, m := range []*mesh{n.left, n.right} {
			tissue := n.tissue(m, plan, closed, w)
			if tissue.reference < 0 {
				continue // none of the chamber conducts
			}
			counts[tissue.arcs]++
			if want := betti(n, m, plan); want != tissue.arcs {
				t.Errorf("set %d, %s: %d circuits from holes, first Betti number %d", k, m.chamber, tissue.arcs, want)
			}
		}
	}
	if len(counts) < 8 {
		t.Errorf("too little variety among the sets: %v", counts)
	}
}
