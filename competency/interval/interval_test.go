package interval

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"
)

// reference is testdata/proportions.json: values of base R (qbeta, qnorm), each case naming the published source it was compared with.
type reference struct {
	Cases []struct {
		ID, Source string
		Inputs     struct {
			X    int     `json:"x"`
			N    int     `json:"n"`
			Conf float64 `json:"conf"`
		}
		Outputs struct {
			Estimate       float64
			Wilson         [2]float64
			ClopperPearson [2]float64 `json:"clopper_pearson"`
		}
		Tolerance float64
		Published []struct {
			Output    string
			Published float64
			Unit      float64
		}
	}
}

func load(t *testing.T) reference {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "proportions.json"))
	if err != nil {
		t.Fatal(err)
	}
	var cases reference
	if err := json.Unmarshal(data, &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases.Cases) == 0 {
		t.Fatal("no reference cases")
	}
	return cases
}

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

// TestReference compares with base R to each case's tolerance (the source stands beside each case), and with the figures printed in
// Newcombe 1998, Stat Med 17:857, Table I (recalled) to their last digit.
func TestReference(t *testing.T) {
	for _, c := range load(t).Cases {
		t.Run(c.ID, func(t *testing.T) {
			wilson, err := Wilson(c.Inputs.X, c.Inputs.N, c.Inputs.Conf)
			if err != nil {
				t.Fatal(err)
			}
			exact, err := ClopperPearson(c.Inputs.X, c.Inputs.N, c.Inputs.Conf)
			if err != nil {
				t.Fatal(err)
			}
			got := map[string]float64{"wilson.1": wilson.Low, "wilson.2": wilson.High, "clopper_pearson.1": exact.Low, "clopper_pearson.2": exact.High}
			want := map[string]float64{
				"wilson.1": c.Outputs.Wilson[0], "wilson.2": c.Outputs.Wilson[1],
				"clopper_pearson.1": c.Outputs.ClopperPearson[0], "clopper_pearson.2": c.Outputs.ClopperPearson[1],
			}
			for limit, value := range want {
				if !near(got[limit], value, c.Tolerance) {
					t.Errorf("%s of %d/%d at %g = %.12f, want %.12f (%s)", limit, c.Inputs.X, c.Inputs.N, c.Inputs.Conf, got[limit], value, c.Source)
				}
			}
			for _, printed := range c.Published {
				if !near(got[printed.Output], printed.Published, printed.Unit/2+1e-12) {
					t.Errorf("%s = %.6f, printed as %g", printed.Output, got[printed.Output], printed.Published)
				}
			}
			if wilson.Estimate != c.Outputs.Estimate || wilson.N != c.Inputs.N || wilson.Level != c.Inputs.Conf || wilson.Method != MethodWilson {
				t.Errorf("Wilson carries %+v", wilson)
			}
		})
	}
}

func TestRefusals(t *testing.T) {
	for _, test := range []struct {
		x, n  int
		level float64
		want  error
	}{
		{0, 0, 0.95, ErrNoTrials}, {0, -1, 0.95, ErrNoTrials}, {-1, 5, 0.95, ErrCounts}, {6, 5, 0.95, ErrCounts},
		{1, 5, 0, ErrLevel}, {1, 5, 1, ErrLevel}, {1, 5, math.NaN(), ErrLevel},
	} {
		if _, err := Wilson(test.x, test.n, test.level); !errors.Is(err, test.want) {
			t.Errorf("Wilson(%d, %d, %g) gives %v, want %v", test.x, test.n, test.level, err, test.want)
		}
		if _, err := ClopperPearson(test.x, test.n, test.level); !errors.Is(err, test.want) {
			t.Errorf("ClopperPearson(%d, %d, %g) gives %v, want %v", test.x, test.n, test.level, err, test.want)
		}
	}
}

// TestShape checks what must hold of any data: limits in order inside [0, 1] round the estimate, mirrored for failures, Wilson's lower
// limit rising with every success.
func TestShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 400).Draw(t, "n")
		x := rapid.IntRange(0, n).Draw(t, "x")
		level := rapid.Float64Range(0.5, 0.999).Draw(t, "level")
		wilson, _ := Wilson(x, n, level)
		mirror, _ := Wilson(n-x, n, level)
		exact, _ := ClopperPearson(x, n, level)
		for _, p := range []Proportion{wilson, exact} {
			if p.Low < 0 || p.Low > p.Estimate+1e-12 || p.High < p.Estimate-1e-12 || p.High > 1 {
				t.Fatalf("%+v is out of order", p)
			}
		}
		if !near(wilson.Low, 1-mirror.High, 1e-12) {
			t.Fatalf("Wilson of %d/%d is not the mirror of its failures", x, n)
		}
		if x > 0 {
			if fewer, _ := Wilson(x-1, n, level); fewer.Low >= wilson.Low {
				t.Fatalf("one more success in %d does not raise the lower limit at %d", n, x)
			}
		}
	})
}
