package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
)

const writtenCode = "7K2PD-0QX4M-9A1CE-RT5VB"

// keepReport keeps a finished report with that code and file, straight in the database.
func (on database) keepReport(t *testing.T, programme competency.ProgrammeID, file []byte) {
	t.Helper()
	at := time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)
	sum := sha256.Sum256(file)
	one := store.Report{ID: "r1", Programme: programme, By: "dan", Kind: store.MeetingPack, On: "2026-06-01", Total: 1, CreatedAt: at}
	done := one
	done.State, done.Ready, done.Code, done.Content, done.FileHash, done.ClosedAt = store.ReportDone, 1, writtenCode, strings.Repeat("a", 64), hex.EncodeToString(sum[:]), at
	err := onCurrent(t.Context(), Config{Database: on.url}, func(s *store.Store) error {
		return s.Write(t.Context(), store.Act{Programme: programme, Name: "report.done", At: at}, func(tx *store.Tx) error {
			dan := store.Person{ID: "dan", Email: "dan@example.org", Name: "Dan", PasswordHash: "x", CreatedAt: at}
			return errors.Join(tx.CreatePerson(dan), tx.CreateReport(one), tx.CloseReport(done, file, 1), tx.SealReport(done))
		})
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestReportVerify: the command tells a report that is on record from one that is not, from a changed file, and from a row that was changed
// in the database.
func TestReportVerify(t *testing.T) {
	eachDatabase(t, storetest.URL, func(t *testing.T, on database) {
		programme := strings.TrimSpace(on.do(t, "programme", "add", "North"))
		file := filepath.Join(t.TempDir(), "pack.pdf")
		on.keepReport(t, competency.ProgrammeID(programme), []byte("as it was written"))
		if out := on.do(t, "report", "verify", "7k2pd oqx4m 9alce rt5vb"); !strings.Contains(out, "matches the record of 1 June 2026") {
			t.Errorf("carelessly typed: %s", out)
		}
		for text, want := range map[string]int{"as it was written": 0, "as it was written.": 1} {
			if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
			if code, out, errs := command(t, "report", "verify", writtenCode, file, "--database", on.url); code != want || (want == 0) != strings.Contains(out, "not a byte") {
				t.Errorf("%q: exit %d\n%s%s", text, code, out, errs)
			}
		}
		for _, args := range [][]string{{"00000-00000-00000-00000"}, {"twelve"}, {writtenCode, filepath.Join(t.TempDir(), "none.pdf")}} {
			if code, out, _ := command(t, append([]string{"report", "verify", "--database", on.url}, args...)...); code == 0 {
				t.Errorf("%v: exit 0\n%s", args, out)
			}
		}
		if code, out, _ := command(t, "audit", "verify", "--database", on.url); code != 0 || strings.Contains(out, "report") {
			t.Errorf("untouched: exit %d\n%s", code, out)
		}
		on.tamper(t, "UPDATE reports SET file_hash = '"+strings.Repeat("b", 64)+"'")
		if code, out, _ := command(t, "report", "verify", writtenCode, "--database", on.url); code != 1 || !strings.Contains(out, "No report with this code") {
			t.Errorf("changed in the database: exit %d\n%s", code, out)
		}
		if code, out, _ := command(t, "audit", "verify", "--database", on.url); code != 1 || !strings.Contains(out, "North: report r1: what its code stands for was changed") {
			t.Errorf("audit of a changed row: exit %d\n%s", code, out)
		}
		on.tamper(t, "DELETE FROM reports")
		if code, out, _ := command(t, "audit", "verify", "--database", on.url); code != 1 || !strings.Contains(out, "North: report r1: it was removed") {
			t.Errorf("audit of a removed row: exit %d\n%s", code, out)
		}
	})
}

// take reads a report's file in the page, as the link would bring it, puts it into the field of the page that checks it, changed by one byte
// where it is to be, and gives how it begins.
const take = `(async () => {
  const link = document.querySelector(".reports a[download]");
  const bytes = new Uint8Array(await (await fetch(link.getAttribute("href"))).arrayBuffer());
  window.taken = { name: link.getAttribute("download"), bytes, code: document.querySelector(".reports code").textContent };
  return new TextDecoder().decode(bytes.slice(0, 4));
})()`

// TestReports: a trainee asks for the own portfolio and takes it, a director pack and workbook, at both widths; a code and its file are checked by a member of
// another role, a byte changed is found, and the command says the same.
func TestReports(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "ines")
		v.see("Ines")
		v.visit("/standing")
		v.see("Reports")
		v.press("Write it: Portfolio")
		v.see("Take it")
		v.audit("portfolio")
		if begins := eval[string](v, take); begins != "%PDF" {
			t.Errorf("the portfolio begins with %q", begins)
		}
		code := eval[string](v, "window.taken.code")
		v.press("Check a report")
		v.see("nothing of what the report holds")
		v.fill("Code", strings.ToLower(strings.ReplaceAll(code, "-", " ")))
		v.press("Check it")
		v.see("It matches.")
		v.audit("check a report")
		for _, c := range []struct{ change, says string }{{"", "not a byte was changed"}, {"bytes[bytes.length - 20] ^= 1;", "this file is not the one"}} {
			eval[string](v, `(() => { const { name, bytes } = window.taken; `+c.change+`
				const given = new DataTransfer(); given.items.add(new File([bytes], name));
				const field = document.querySelector("input[type=file]"); field.files = given.files; field.dispatchEvent(new Event("change", { bubbles: true })); return name; })()`)
			v.press("Check it")
			v.see(c.says)
		}
		v = newVisitor(t, browser, base, width)
		signIn(v, "amara")
		v.see("Who needs action")
		v.press("Write it: Meeting pack")
		v.press("Write it: Workbook")
		v.see("Take it")
		v.await("both to be written", `(() => document.querySelectorAll(".reports a[download]").length === 2 ? "yes" : "")`)
		v.audit("reports of the cohort")
		v = newVisitor(t, browser, base, width)
		signIn(v, "mei")
		v.see("Inbox")
		v.visit("/verify?code=" + code)
		v.press("Check it")
		v.see("It matches.")
		v.fill("Code", "twelve")
		v.press("Check it")
		v.see("four groups of five letters and digits")
	}
}
