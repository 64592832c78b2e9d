package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"isthmus/api/needs"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// prints are a director's pages as they are put on paper. verdict: it says something of a lesion set or a person, so the caution is on it.
var prints = []struct {
	name, path, words string
	verdict           bool
}{
	{"cohort", "/cohort", "6 trainees against standard", true},
	{"case mix", "/case-mix", "What each still lacks", true},
	{"practice", "/practice", "What was left out", true},
	{"assessors", "/assessors", "How far the ratings can be trusted", true},
	{"outcomes", "/outcomes", "What this cannot say", true},
	{"simulations", "/simulations", "made-up trainees", false},
	{"meetings", "/meetings", "decided", false},
	{"exports", "/exports", "What was taken out", false},
	{"knowledge", "/knowledge-cohort", "Knowledge of the trainees", true},
	{"library", "/library", "Library", false},
	{"standard", "/standards/1", "Whom it judges today", false},
}

// wrongOnPaper finds, on the page as it is printed, controls that are painted (what folds open stays, as a heading), pictures and tables beyond the page's width, and a ground that is not white.
const wrongOnPaper = `(() => {
  const seen = one => one.checkVisibility({ visibilityProperty: true }) && one.getBoundingClientRect().width > 1;
  const wide = document.documentElement.clientWidth, wrong = [];
  for (const one of document.querySelectorAll("button, input, select, textarea")) if (seen(one) && !one.matches(".row-button, .rung"))
    wrong.push("control: " + (one.closest("label, .field")?.textContent || one.textContent || one.outerHTML).trim().slice(0, 60));
  for (const one of document.querySelectorAll("svg.chart, table")) if (seen(one) && one.getBoundingClientRect().right > wide + 1)
    wrong.push("too wide: " + (one.getAttribute("aria-label") || one.textContent).trim().slice(0, 60) + " " + Math.round(one.getBoundingClientRect().right) + " of " + wide);
  const ground = getComputedStyle(document.body).backgroundColor;
  if (!["rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"].includes(ground)) wrong.push("ground: " + ground);
  return wrong.join("\n");
})()`

// TestPrint puts every page of a director on paper, from a dark screen of 1280 pixels: no controls, nothing beyond the width, light, the caution
// where a verdict is, and text that can be selected.
func TestPrint(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	reader := needs.Tool(t, "pdftotext")
	v := newVisitor(t, browser, base, 1280)
	v.do(darkened())
	signIn(v, "amara")
	v.see("Amara")
	for _, one := range prints {
		v.visit(one.path)
		v.see(one.words)
		v.await("the page to be read", "settled")
		file := v.printed()
		if shots := os.Getenv("ISTHMUS_SHOTS"); shots != "" {
			if err := os.WriteFile(filepath.Join(shots, "print-"+strings.ReplaceAll(one.name, " ", "-")+".pdf"), file, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		read := exec.Command(reader, "-", "-")
		read.Stdin = bytes.NewReader(file)
		text, err := read.Output()
		if err != nil {
			t.Fatal(err)
		}
		flat := strings.Join(strings.Fields(string(text)), " ")
		if !strings.Contains(flat, one.words) {
			t.Errorf("%s: on paper %q is missing", one.name, one.words)
		}
		if one.verdict && !strings.Contains(flat, "Not advice on a patient") {
			t.Errorf("%s: on paper the caution is missing", one.name)
		}
		v.onPaper(one.name)
	}
}

// printed is the page as a PDF on A4.
func (v *visitor) printed() (file []byte) {
	v.t.Helper()
	v.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		printed, err := cdp.Call(ctx, target, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: 8.27, PaperHeight: 11.69})
		file = printed.Data
		return err
	}))
	return file
}

// onPaper looks at the page as it is laid out for A4 less a centimetre on each side, and goes back to the screen.
func (v *visitor) onPaper(name string) {
	v.t.Helper()
	v.do(darkOnPaper(), chromedp.EmulateViewport(718, 1000))
	v.await("the page to be read", "settled")
	if wrong := eval[string](v, wrongOnPaper); wrong != "" {
		v.t.Errorf("%s on paper:\n%s", name, wrong)
	}
	v.do(darkened(), chromedp.EmulateViewport(1280, 900))
}

// darkOnPaper prints for a person who reads the screen in the dark.
func darkOnPaper() chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Media: "print", Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}},
		})
		return err
	})
}
