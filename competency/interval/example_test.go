package interval_test

import (
	"fmt"

	"isthmus/competency/interval"
)

func ExampleWilson() {
	p, _ := interval.Wilson(13, 15, 0.90)
	fmt.Printf("%.2f (%.2f to %.2f), n = %d, %s at %g\n", p.Estimate, p.Low, p.High, p.N, p.Method, p.Level)
	// Output: 0.87 (0.67 to 0.95), n = 15, Wilson score, two-sided at 0.9
}
