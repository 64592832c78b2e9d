// Package atrium is a small, deterministic teaching model of how two atria conduct. Each chamber is a sphere with round openings, the
// simplest surface with the right topology and near-right lengths; a lesion set is a set of cuts, and the model computes what those
// cuts do. A maze is exactly a set of cuts that fuses every obstacle while leaving the tissue in one piece: the package measures how far
// a lesion set goes towards that. It is pure geometry and knows no scenario; it is not a model of a patient.
package atrium

import "sync"

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
	n, w := m.network(set), m.memory()
	defer m.scratch.Put(w)
	return n.conduct(set, w), nil
}

// memory is that of an earlier computation, to be put back.
func (m *Model) memory() *work {
	if w, ok := m.scratch.Get().(*work); ok {
		return w
	}
	return &work{}
}

// closesAppendage reports whether the left appendage's ostium is an obstacle.
func (set LesionSet) closesAppendage() bool {
	return set.LeftAppendage == AppendageExcised || set.LeftAppendage == AppendageExcluded
}

func (n *network) conduct(set LesionSet, w *work) Result {
	wavelength := set.wavelength()
	r, plan, tissues := n.blocks(set, "", w)
	r.Model, r.WavelengthMM, r.Caution, r.Lesions = ModelVersion, roundTo(wavelength, 1), Caution, plan.drawn
	r.Activation = n.activation(plan, set.sinusVelocity(), w)
	r.BetweenAtria = n.between(plan, wavelength, w)
	r.Scope = scope(r)
	r.TriggerCoverPercent = triggerCover(r.VeinsIsolated, r.PosteriorWallIsolated)
	r.SubstrateLeft = n.substrate(plan, wavelength, w)
	r.Economy = n.economy(plan.drawn, set.closesAppendage(), tissues[0], tissues[1])
	r.Hazards = n.hazards(plan.drawn)
	n.recognise(&plan.laid, set.closesAppendage())
	n.nameGaps(set, &r, [2]int{tissues[0].arcs, tissues[1].arcs}, w) // last, as it lays other sets in the same memory
	return r
}

// blocks is what a set blocks: the part of a result that follows from its cuts alone, with the set as laid and the tissues it leaves.
// Where only one chamber is asked for, the other's part is left out.
func (n *network) blocks(set LesionSet, only Chamber, w *work) (r Result, plan placed, tissues [2]*tissue) {
	w.tree.fit(n, n.size())
	closedOstium := set.closesAppendage()
	plan = n.place(set, closedOstium, w)
	r.SinusToAVNode, r.VeinsIsolated, r.PosteriorWallIsolated = plan.reached[n.av], n.veinsIsolated(plan.reached, plan.severed), n.posteriorIsolated(plan.reached)
	if only != RightAtrium {
		r.LeftAtrium, tissues[0] = n.chamber(n.left, plan, closedOstium, set.wavelength(), w)
	}
	if only != LeftAtrium {
		r.RightAtrium, tissues[1] = n.chamber(n.right, plan, closedOstium, set.wavelength(), w)
	}
	return r, plan, tissues
}

// chamber is what the set does to one chamber, and the tissue it leaves.
func (n *network) chamber(m *mesh, plan placed, closedOstium bool, wavelength float64, w *work) (ChamberResult, *tissue) {
	from, edges := int(n.offset(m)), int(n.edgeOffset(m))
	alive, lost := plan.reached[from:from+len(m.nodes)], plan.lost[from:from+len(m.nodes)]
	found := n.circuits(m, plan, closedOstium, w)
	out := ChamberResult{IndependentCircuits: found.tissue.arcs, Circuits: []Circuit{}, Gaps: plan.gaps[m.chamber],
		Islands: m.islands(alive, lost, plan.severed[edges:edges+len(m.edges)])}
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
	if found.tissue.reference < 0 {
		out.IndependentCircuits = 0 // none of the chamber conducts
	}
	for _, l := range found.loops {
		out.Circuits = append(out.Circuits, found.tissue.circuit(n, l, wavelength))
	}
	return out, found.tissue
}

// placed is a lesion set laid on the network.
type placed struct {
	severed []bool  // per edge: a lesion crosses it
	shut    []bool  // per edge: severed, or at a node that is lost
	shell   []bool  // per edge: shut, or part of a strip outside the shell
	lost    []bool  // per node: no tissue there, or a closed appendage
	reached []bool  // per node: connected to the sinus node
	touched [2]bool // left, right: something there is severed or lost
	laid
}

// place lays every lesion and severs what it crosses.
func (n *network) place(set LesionSet, closedOstium bool, w *work) placed {
	w.severed, w.lost = sized(w.severed, n.edges), sized(w.lost, n.size())
	p := placed{severed: w.severed, lost: w.lost, touched: [2]bool{closedOstium, false}, laid: n.layAll(set, closedOstium)}
	for i, m := range []*mesh{n.left, n.right} {
		for k := range m.nodes {
			p.lost[i*len(n.left.nodes)+k] = !m.tissue[k] || closedOstium && m.inOstium[k]
		}
		own := p.severed[i*len(n.left.edges):]
		for _, c := range p.cuts[i] {
			m.sever(cut{c.lesion, nudge(c.path), c.closed}, own)
		}
		p.touched[i] = p.touched[i] || len(p.cuts[i]) > 0
	}
	if p.onSinus {
		n.severSinus(p.severed)
		p.touched[0] = true
	}
	n.spreadFrom(&p, closedOstium, w)
	return p
}

// changed reports whether a chamber, left 0 or right 1, is other than without lesions: something there is severed, or the beat does not
// come there.
func (p placed) changed(n *network, side int) bool {
	return p.touched[side] || !p.reached[[]int32{n.posterior[0], n.av}[side]]
}

// spreadFrom finds what does not conduct and what the sinus node still reaches.
func (n *network) spreadFrom(p *placed, closedOstium bool, w *work) {
	w.shut, w.shell, w.reached = append(w.shut[:0], p.severed...), w.shell[:0], sized(w.reached, n.size())
	if closedOstium {
		for e, ends := range n.left.edges {
			if n.left.inOstium[ends[0]] || n.left.inOstium[ends[1]] {
				w.shut[e] = true
			}
		}
	}
	w.shell = append(w.shell, w.shut...)
	for _, s := range n.strips {
		for _, e := range s.edges {
			w.shell[e] = true
		}
		for _, landing := range []int32{s.nodes[0], s.nodes[len(s.nodes)-1]} {
			if p.lost[landing] {
				w.shut[s.edges[0]] = true
			}
		}
	}
	p.shut, p.shell, p.reached = w.shut, w.shell, w.reached
	w.queue = n.flood(n.sinus, p.shut, p.reached, w.queue)
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
