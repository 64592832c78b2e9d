package report

import (
	"encoding/csv"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"isthmus/api/needs"
)

// TestOfficeOpensWorkbook lets LibreOffice read a workbook and write its sheets as CSV: a file it had to repair would not be read without a
// screen. What a person typed is text there too, whatever it begins with.
func TestOfficeOpensWorkbook(t *testing.T) {
	office := needs.Tool(t, "soffice")
	typed := `=HYPERLINK("https://example.org";"keep dry")`
	data, err := XLSX(sampleBook(typed), "AAAAA-AAAAA-AAAAA-AAAAA")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "book.xlsx"), data, 0o600); err != nil {
		t.Fatal(err)
	}
	// The filter's twelfth value -1 asks for every sheet; the tenth, false, for values and not formulas.
	const filter = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1"
	run := exec.Command(office, "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--headless", "--convert-to", filter, "--outdir", dir, filepath.Join(dir, "book.xlsx"))
	if said, err := run.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	text, err := os.ReadFile(filepath.Join(dir, "book-cases.csv"))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil || len(rows) != 3 {
		t.Fatalf("%d rows, %v:\n%s", len(rows), err, text)
	}
	if got := strings.TrimPrefix(rows[1][0], "'"); got != typed {
		t.Errorf("what was typed is read as %q", rows[1][0])
	}
	if rows[1][1] != "7" || rows[1][4] != "2026-03-14" || rows[2][7] != "12" || rows[0][0] != "note" {
		t.Errorf("read as %q", rows)
	}
}
