// Package atrium is a small, deterministic teaching model of how two atria conduct. Each chamber is a sphere with round openings, the
// simplest surface with the right topology and near-right lengths; a lesion set is a set of cuts, and the model computes what those
// cuts do. A maze is exactly a set of cuts that fuses every obstacle while leaving the tissue in one piece: the package measures how far
// a lesion set goes towards that. It is pure geometry and knows no scenario; it is not a model of a patient.
package atrium

import (
	"slices"
	"sync"
)

// ModelVersion names the geometry and the rules of this package; it is stored with every verdict.
const ModelVersion = "1"

// Caution goes wherever a verdict shows.
const Caution = "For education. Not advice on a patient. Local policy and licensed practice decide."

// Model computes conduction results. It is safe for concurrent use.
type Model struct {
	sphere *sphere

	mu       sync.Mutex
	networks map[[2]float64]*network // by diameters; a small cache, as building one takes milliseconds
	scratch  sync.Pool
}

// cachedSizes bounds the cache of networks.
const cachedSizes = 32

// New builds a model on an icosphere of that frequency (22 gives a node every 1.5 mm on a normal atrium).
func New(frequency int) *Model {
	return &Model{sphere: newSphere(frequency), networks: map[[2]float64]*network{}}
}

// Default is the model with the mesh the published figures of this package were made with. It is built on first use.
var Default = sync.OnceValue(func() *Model { return New(22) })

// network is the network for a set's diameters.
func (m *Model) network(set LesionSet) *network {
	size := [2]float64{max(set.LeftAtriumDiameterMM, NormalLeftDiameterMM), max(set.RightAtriumDiameterMM, NormalRightDiameterMM)}
	m.mu.Lock()
	defer m.mu.Unlock()
	if n, ok := m.networks[size]; ok {
		return n
	}
	if len(m.networks) >= cachedSizes {
		clear(m.networks)
	}
	n := newNetwork(newMesh(m.sphere, newShape(LeftAtrium, size[0])), newMesh(m.sphere, newShape(RightAtrium, size[1])))
	m.networks[size] = n
	return n
}

// Conduct computes what a lesion set does. The same set gives the same result, byte for byte, on every machine. An invalid set gives
// strict.Faults that name each field.
func (m *Model) Conduct(set LesionSet) (Result, error) {
	if err := set.Validate().Err(); err != nil {
		return Result{}, err
	}
	n := m.network(set)
	w, _ := m.scratch.Get().(*work)
	if w == nil {
		w = &work{}
	}
	defer m.scratch.Put(w)
	w.tree.resize(n.size())
	return n.conduct(set, w), nil
}

func (n *network) conduct(set LesionSet, w *work) Result {
	closedOstium := set.LeftAppendage == AppendageExcised || set.LeftAppendage == AppendageExcluded
	plan := n.place(set, closedOstium)
	reached := n.flood(n.sinus, plan.severed, plan.lost)
	wavelength := set.wavelength()
	r := Result{
		Model: ModelVersion, WavelengthMM: roundTo(wavelength, 1), Caution: Caution, Lesions: plan.drawn,
		SinusToAVNode: reached[n.av], VeinsIsolated: n.veinsIsolated(reached), PosteriorWallIsolated: n.posteriorIsolated(reached),
	}
	left := n.tissue(n.left, reached, plan.severed, closedOstium)
	right := n.tissue(n.right, reached, plan.severed, false)
	r.LeftAtrium = left.result(n, plan, reached, wavelength, w)
	r.RightAtrium = right.result(n, plan, reached, wavelength, w)
	r.BetweenAtria = n.between(plan, wavelength, &w.tree)
	r.Scope = scope(r)
	return r
}

// result is what the set does to one chamber.
func (t *tissue) result(n *network, plan placed, reached []bool, wavelength float64, w *work) ChamberResult {
	m := t.mesh
	alive := reached[t.nodes : int(t.nodes)+len(m.nodes)]
	lost := plan.lost[t.nodes : int(t.nodes)+len(m.nodes)]
	out := ChamberResult{IndependentCircuits: t.arcs, Circuits: []Circuit{}, Gaps: plan.gaps[m.chamber], Islands: m.islands(alive, lost, plan.severed[t.edges:int(t.edges)+len(m.edges)])}
	if out.Gaps == nil {
		out.Gaps = []Gap{}
	}
	if out.Islands == nil {
		out.Islands = []Island{}
	}
	isolated := 0.0
	for i := range m.nodes {
		if m.tissue[i] && !alive[i] {
			isolated += m.area[i] * m.radius * m.radius
		}
	}
	out.IsolatedPercent = roundTo(100*isolated/m.areaMM2, 1)
	if t.reference < 0 {
		out.IndependentCircuits = 0 // none of the chamber conducts
		return out
	}
	for _, l := range report(t.shortest(n, plan.severed, w), t.stripBit) {
		out.Circuits = append(out.Circuits, t.circuit(n, l, wavelength))
	}
	return out
}

// placed is a lesion set laid on the network.
type placed struct {
	severed []bool // per edge
	lost    []bool // per node: no tissue there, or a closed appendage
	gaps    map[Chamber][]Gap
	drawn   []DrawnLesion
}

// place lays every lesion, joins its ends, and severs what it crosses.
func (n *network) place(set LesionSet, closedOstium bool) placed {
	p := placed{severed: make([]bool, n.edges), lost: make([]bool, n.size()), gaps: map[Chamber][]Gap{}, drawn: []DrawnLesion{}}
	for i, m := range []*mesh{n.left, n.right} {
		for k := range m.nodes {
			p.lost[i*len(n.left.nodes)+k] = !m.tissue[k] || closedOstium && m.inOstium[k]
		}
	}
	cuts := map[Chamber][]cut{}
	blind := map[int]bool{}
	for i, l := range set.Lesions {
		c, chamber, outside := n.lay(i, l)
		p.drawn = append(p.drawn, DrawnLesion{Lesion: l.Name, Chamber: chamber, Path: rounded(c.path), Closed: c.closed})
		if outside {
			n.severSinus(p.severed)
			continue
		}
		known, _ := lookUp(l.Name)
		blind[i] = known.blind
		cuts[chamber] = append(cuts[chamber], c)
	}
	for i, m := range []*mesh{n.left, n.right} {
		obstacles := m.openings
		if m.chamber == LeftAtrium && closedOstium {
			obstacles = append(append([]Opening{}, obstacles...), m.ostium)
		}
		drawn, laid := cuts[m.chamber], slices.Clone(cuts[m.chamber])
		for k := range laid { // ends look at the lines as drawn, so that the order of lesions does not matter
			others := slices.Delete(slices.Clone(drawn), k, k+1)
			p.gaps[m.chamber] = append(p.gaps[m.chamber], join(&laid[k], others, obstacles, m.radius, blind[laid[k].lesion])...)
		}
		own := p.severed[i*len(n.left.edges):]
		for _, c := range laid {
			m.sever(cut{c.lesion, nudge(c.path), c.closed}, own)
			p.drawn[c.lesion].Path = rounded(c.path)
		}
	}
	return p
}

// lay gives a lesion its path on its chamber.
func (n *network) lay(index int, l Lesion) (c cut, chamber Chamber, outside bool) {
	c = cut{lesion: index, closed: l.Closed}
	if l.Name == "" {
		for _, p := range l.Path {
			c.path = append(c.path, p.unit())
		}
		return c, l.Chamber, false
	}
	known, _ := lookUp(l.Name)
	form := n.left.shape
	if known.chamber == RightAtrium {
		form = n.right.shape
	}
	c.path, c.closed = known.path(form)
	return c, known.chamber, known.outside
}

// severSinus cuts the coronary sinus muscle along the mitral annulus.
func (n *network) severSinus(severed []bool) {
	for _, s := range n.strips {
		if s.sinus {
			for _, e := range s.edges {
				severed[e] = true
			}
		}
	}
}

func rounded(path []Vec) []Vec {
	out := make([]Vec, len(path))
	for i, p := range path {
		out[i] = p.round()
	}
	return out
}
