package outcome

import (
	"fmt"
	"math"
	"strings"
)

// rounded is a figure as it is told: to four decimals.
func rounded(x float64) float64 { return math.Round(x*1e4) / 1e4 }

// within writes a share with its limits: 62 %, 95 % limits 45 to 77 %.
func within(share, low, high float64) string {
	return fmt.Sprintf("%s, %s limits %.0f to %.0f %%", percent(share), percent(Level), 100*low, 100*high)
}

func percent(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }

func counted(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// Words writes an id of a closed list as words.
func Words(id string) string {
	if id == "pulmonary-vein-isolation" {
		return "vein isolation"
	}
	if rest, found := strings.CutPrefix(id, "long-standing-"); found {
		return "long-standing " + rest
	}
	return strings.ReplaceAll(id, "-", " ")
}
