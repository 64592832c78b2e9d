// Package needs gives tests the programs they need from the machine. What is missing is a failure wherever everything has to run, under
// make test and in CI, and a skip that says so elsewhere.
package needs

import (
	"os"
	"os/exec"
	"testing"
)

// Tool is the path of a program.
func Tool(tb testing.TB, name string) string {
	tb.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		Missing(tb, name, err)
	}
	return path
}

// Missing ends a test that needs what this machine lacks.
func Missing(tb testing.TB, what string, err error) {
	tb.Helper()
	if os.Getenv("ISTHMUS_TEST_ALL") != "" || os.Getenv("CI") != "" {
		tb.Fatalf("%s is missing: %v (make test installs it)", what, err)
	}
	tb.Skipf("%s is missing: %v (make test installs it)", what, err)
}
