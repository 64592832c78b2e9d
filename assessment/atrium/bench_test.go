package atrium

import "testing"

// The named rows of the topology table that bound the cost: nothing fused, half fused, all fused.
func BenchmarkConduct(b *testing.B) {
	for _, row := range []int{0, 1, 2, 6, 8} {
		b.Run(table[row].name, func(b *testing.B) {
			m := Default()
			if _, err := m.Conduct(table[row].set); err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := m.Conduct(table[row].set); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkNetwork is what a new size of atrium costs once.
func BenchmarkNetwork(b *testing.B) {
	m := Default()
	for b.Loop() {
		newNetwork(newMesh(m.sphere, newShape(LeftAtrium, 52)), newMesh(m.sphere, newShape(RightAtrium, 0)))
	}
}
