package main

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestImportScreens imports a file in a real browser, at phone and desktop width: faults with their cells first, then the mended file, and
// undoes it. It fails on any accessibility violation and on any console error.
func TestImportScreens(t *testing.T) {
	browser := openBrowser(t)
	wrong := writeFile(t, "wrong.csv", "operated_on,site,operation\n2026-05-28,Nowhere,mitral\n")
	right := writeFile(t, "right.csv", "operation,note\nmitral,First of the list.\nmitral,Second of the list.\n")
	for _, width := range []int64{390, 1280} {
		t.Run(fmt.Sprintf("%d px", width), func(t *testing.T) {
			base, _ := serveDemo(t)
			v := newVisitor(t, browser, base, width)
			signIn(v, "ines")
			v.see("Today")
			v.visit("/import")
			v.see("None yet.")
			v.audit("import")
			v.do(chromedp.SetUploadFiles(`input[type=file]`, []string{wrong}))
			v.see("B2")
			v.see("is not a site of the programme")
			v.audit("import with faults")
			v.do(chromedp.SetUploadFiles(`input[type=file]`, []string{right}))
			v.see("2 rows, no fault")
			v.press("Import 2 cases")
			v.see("2 cases imported as drafts.")
			v.audit("import done")
			v.press("Undo the import of 2 cases")
			v.see("Undone: 2 cases.")
		})
	}
}

// writeFile keeps a text in a file of its own.
func writeFile(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}
