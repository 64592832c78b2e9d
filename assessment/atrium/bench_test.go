package atrium

import (
	"syscall"
	"testing"
)

// conductBench are the named rows of the topology table that bound the cost (nothing fused, half fused, all fused) and a first line drawn
// on intact atria, which no cache knows.
func conductBench() []row {
	rows := []row{table[0], table[1], table[2], table[6], table[8]}
	first := LesionSet{Lesions: []Lesion{
		{Chamber: LeftAtrium, Path: []Vec{{0.2, -0.5, 0.8}, {0.3, -0.6, 0.7}, {0.1, -0.8, 0.5}}},
		{Chamber: RightAtrium, Path: []Vec{{0.5, 0.2, 0.7}, {0.5, -0.2, 0.7}}}}}
	alone := LesionSet{Lesions: first.Lesions[:1]}
	return append(rows, row{name: "a loose line in the left atrium", set: alone}, row{name: "a loose line in each atrium", set: first})
}

// spent is the processor time the process has used, in ms: unlike the clock it is the same on a busy machine.
func spent() float64 {
	var use syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &use); err != nil {
		return 0
	}
	return float64(use.Utime.Nano()+use.Stime.Nano()) / 1e6
}

func BenchmarkConduct(b *testing.B) {
	for _, row := range conductBench() {
		b.Run(row.name, func(b *testing.B) { benchmarkSet(b, Default(), row.set) })
	}
}

func benchmarkSet(b *testing.B, m *Model, set LesionSet) {
	if _, err := m.Conduct(set); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	before := spent()
	for b.Loop() {
		if _, err := m.Conduct(set); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric((spent()-before)/float64(b.N), "cpu-ms/op")
}

// BenchmarkGrowth is the biatrial set and both vein pairs on meshes with nodes every 3, 1.5 and 0.75 mm.
func BenchmarkGrowth(b *testing.B) {
	for _, size := range []struct {
		name      string
		frequency int
	}{{"frequency 11", 11}, {"frequency 22", 22}, {"frequency 44", 44}} {
		m := New(size.frequency)
		for _, row := range []row{table[1], table[8]} {
			b.Run(size.name+"/"+row.name, func(b *testing.B) { benchmarkSet(b, m, row.set) })
		}
	}
}

// BenchmarkNetwork is what a new size of atrium costs once.
func BenchmarkNetwork(b *testing.B) {
	m := Default()
	for b.Loop() {
		newNetwork(newMesh(m.sphere, newShape(LeftAtrium, 52)), newMesh(m.sphere, newShape(RightAtrium, 0)))
	}
}

// BenchmarkRecognise is what recognising every lesion costs where all are drawn.
func BenchmarkRecognise(b *testing.B) {
	set := LesionSet{LeftAppendage: AppendageExcised}
	for _, l := range drawable() {
		set.Lesions = append(set.Lesions, freehand(l, 0))
	}
	n := Default().network(set)
	l := n.layAll(set, true)
	for b.Loop() {
		n.recognise(&l, true)
	}
}
