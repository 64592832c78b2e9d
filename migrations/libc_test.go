package migrations_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestLibc keeps modernc.org/libc at the version that modernc.org/sqlite was made and tested with, which its documentation demands; other
// modules ask for newer ones, so go.mod holds a replace line that has to follow every upgrade.
func TestLibc(t *testing.T) {
	ours := readFile(t, filepath.Join("..", "go.mod"))
	sqlite := match(t, ours, `modernc\.org/sqlite (v\S+)`)
	libc := match(t, ours, `replace modernc\.org/libc => modernc\.org/libc (v\S+)`)
	cache, err := exec.Command("go", "env", "GOMODCACHE").Output()
	if err != nil {
		t.Fatal(err)
	}
	theirs := readFile(t, filepath.Join(strings.TrimSpace(string(cache)), "cache", "download", "modernc.org", "sqlite", "@v", sqlite+".mod"))
	if want := match(t, theirs, `modernc\.org/libc (v\S+)`); libc != want {
		t.Errorf("go.mod replaces modernc.org/libc by %s, but modernc.org/sqlite %s wants %s", libc, sqlite, want)
	}
}

func readFile(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func match(t *testing.T, text, pattern string) string {
	t.Helper()
	found := regexp.MustCompile(pattern).FindStringSubmatch(text)
	if found == nil {
		t.Fatalf("no %s in go.mod", pattern)
	}
	return found[1]
}
