package published_test

import (
	"encoding/binary"
	"encoding/json"
	"math"
	"testing"
)

// awkward deals numbers out of a fuzzer's bytes, those that break formulas among them. When the bytes are used up it deals 0.
type awkward struct{ bytes []byte }

var breakers = []float64{
	math.NaN(), math.Inf(1), math.Inf(-1), 0, math.Copysign(0, -1), 5e-324, -5e-324, 1e-300, math.MaxFloat64, -math.MaxFloat64, 1e154, 1 - 1e-16, 1 + 1e-15, 1, 0.5, -1,
}

func (a *awkward) byte() int {
	if len(a.bytes) == 0 {
		return 0
	}
	b := a.bytes[0]
	a.bytes = a.bytes[1:]
	return int(b)
}

// number is any float64, tame for most bytes: with -1 to 20, shares, and now and then a breaker or eight raw bytes.
func (a *awkward) number() float64 {
	switch b := a.byte(); {
	case b < 128:
		return float64(b) / 128
	case b < 224:
		return float64(b-132) / 4
	case b < 240:
		return breakers[b-224]
	case len(a.bytes) >= 8:
		bits := binary.LittleEndian.Uint64(a.bytes)
		a.bytes = a.bytes[8:]
		return math.Float64frombits(bits)
	}
	return 1
}

func (a *awkward) below(n int) int { return a.byte() % n }

func (a *awkward) list(n int) []float64 {
	list := make([]float64, n)
	for i := range list {
		list[i] = a.number()
	}
	return list
}

func (a *awkward) table(rows, columns int) [][]float64 {
	table := make([][]float64, rows)
	for i := range table {
		table[i] = a.list(columns)
	}
	return table
}

// zeroOne is a table of answers: 0 and 1, and rarely something else.
func (a *awkward) zeroOne(rows, columns int) [][]float64 {
	table := make([][]float64, rows)
	for i := range table {
		table[i] = make([]float64, columns)
		for j := range table[i] {
			if table[i][j] = float64(a.byte() % 2); a.below(250) == 249 {
				table[i][j] = a.number()
			}
		}
	}
	return table
}

func (a *awkward) levels(n, most int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = a.below(most+1) - a.below(256)/255
	}
	return list
}

// fuzzJSON holds that what the functions called by deal give without an error can be written as JSON, whatever they were given: no NaN and
// no infinity comes out, and nothing panics.
func fuzzJSON(f *testing.F, deal func(a *awkward, show func(result any, err error))) {
	random := uint64(1)
	for size := range 60 { // seeds: pseudo-random bytes of growing length
		seed := make([]byte, 4*size)
		for i := range seed {
			random = random*6364136223846793005 + 1442695040888963407
			seed[i] = byte(random >> 56)
		}
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, bytes []byte) {
		deal(&awkward{bytes}, func(result any, err error) {
			if err != nil {
				return
			}
			if _, err := json.Marshal(result); err != nil {
				t.Fatalf("%+v: %v", result, err)
			}
		})
	})
}
