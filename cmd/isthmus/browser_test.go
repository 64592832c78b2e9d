package main

import (
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"isthmus/api/needs"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// finder is the page-side half of visitor: it finds things the way a person or a screen reader does, by role and name.
//
//go:embed testdata/finder.js
var finder string

// patience is how long a visitor waits for something to appear before giving up. The race detector and two noisy cores are slow.
const patience = 20 * time.Second

// visitor is a person at a real browser.
type visitor struct {
	t     *testing.T
	ctx   context.Context
	base  string
	width int64
	axe   string
}

// openBrowser starts Chromium for one test.
func openBrowser(t *testing.T) context.Context {
	t.Helper()
	ctx, cancel := chromedp.NewContext(t.Context(), chromedp.WithAllocatorOptions(
		chromedp.ExecPath(needs.Tool(t, "chromium")), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true)))
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil { // the first run starts the browser and must have no deadline
		t.Fatal(err)
	}
	return ctx
}

// newVisitor opens a fresh browser profile with a window width of pixels wide.
func newVisitor(t *testing.T, browser context.Context, base string, width int64) *visitor {
	t.Helper()
	axe, err := os.ReadFile(filepath.Join("..", "..", ".tools", "node_modules", "axe-core", "axe.min.js"))
	if err != nil {
		needs.Missing(t, "axe-core", err)
	}
	ctx, cancel := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil { // opening the tab must have no deadline either
		t.Fatal(err)
	}
	v := &visitor{t: t, ctx: ctx, base: base, width: width, axe: string(axe)}
	height := int64(900)
	if width < 600 {
		height = 844
	}
	v.do(chromedp.EmulateViewport(width, height))
	v.watchConsole()
	return v
}

// watchConsole fails the test for every console error and uncaught exception, except the browser's own note of an answer the test
// asked for (a refused sign-in, say), which the page shows to the person.
func (v *visitor) watchConsole() {
	messages := chromedp.Console(v.ctx)
	go func() {
		for message, err := range messages {
			if err != nil {
				return // the browser is closing
			}
			bad := message.IsException() || message.Type == chromedp.ConsoleError || message.Type == chromedp.ConsoleWarning
			if bad && message.Source != "network" {
				v.t.Errorf("console %s at %d px: %s (%s:%d)", message.Type, v.width, message.Text, message.URL, message.Line)
			}
		}
	}()
}

func (v *visitor) do(steps ...chromedp.Action[chromedp.Void]) {
	v.t.Helper()
	ctx, cancel := context.WithTimeout(v.ctx, patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		v.t.Fatalf("at %d px: %v", v.width, err)
	}
}

// eval runs an expression in the page and returns its value.
func eval[T any](v *visitor, expression string) T {
	v.t.Helper()
	ctx, cancel := context.WithTimeout(v.ctx, patience)
	defer cancel()
	value, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		v.t.Fatalf("at %d px: %v in %.120s", v.width, err, expression)
	}
	return value
}

// await polls a page-side question until it answers something other than the empty string.
func (v *visitor) await(what, question string, args ...any) string {
	v.t.Helper()
	quoted := make([]string, len(args))
	for i, arg := range args {
		text, _ := json.Marshal(arg)
		quoted[i] = string(text)
	}
	call := fmt.Sprintf("(() => { %s; return %s(%s) })()", finder, question, strings.Join(quoted, ", "))
	for deadline := time.Now().Add(patience); ; time.Sleep(50 * time.Millisecond) {
		if answer := eval[string](v, call); answer != "" {
			return answer
		}
		if time.Now().After(deadline) {
			v.shoot("failure")
			v.t.Fatalf("at %d px: waited in vain for %s; the page says:\n%s", v.width, what, eval[string](v, "document.body.innerText"))
		}
	}
}

// visit opens a path of the program.
func (v *visitor) visit(path string) {
	v.t.Helper()
	v.do(chromedp.Navigate(v.base + path))
}

// see waits for a text to be visible.
func (v *visitor) see(text string) {
	v.t.Helper()
	v.await(fmt.Sprintf("the text %q", text), "seeText", text)
}

// press clicks the button, link, radio button, checkbox or tab of that name with the mouse, where it really is.
func (v *visitor) press(name string) {
	v.t.Helper()
	var at struct{ X, Y float64 }
	what := fmt.Sprintf("something to press named %q", name)
	place := v.await(what, "placeOf", name)
	for again := ""; again != place; { // a page that still moves is not clicked at
		again = place
		time.Sleep(60 * time.Millisecond)
		place = v.await(what, "placeOf", name)
	}
	if err := json.Unmarshal([]byte(place), &at); err != nil {
		v.t.Fatal(err)
	}
	v.do(chromedp.MouseClickXY(at.X, at.Y))
}

// fill types into the field of that label, replacing what is there.
func (v *visitor) fill(label, text string) {
	v.t.Helper()
	v.await(fmt.Sprintf("a field labelled %q", label), "focusField", label)
	v.do(chromedp.KeyEvent(text))
}

// set puts a value into a field that the browser itself helps to fill, as a date.
func (v *visitor) set(label, value string) {
	v.t.Helper()
	v.await(fmt.Sprintf("a field labelled %q", label), "setField", label, value)
}

// tabTo presses the tabulator key until the thing of that name has the focus, and fails when it cannot be reached.
func (v *visitor) tabTo(name string) {
	v.t.Helper()
	for range 80 {
		v.do(chromedp.KeyEvent(kb.Tab))
		if v.await("a focus", "focusedName") == name {
			return
		}
	}
	v.t.Fatalf("at %d px: %q cannot be reached with the tabulator key", v.width, name)
}

// keys types keys at what has the focus.
func (v *visitor) keys(keys string) {
	v.t.Helper()
	v.do(chromedp.KeyEvent(keys))
}

// choose picks an option of the select box of that label.
func (v *visitor) choose(label, option string) {
	v.t.Helper()
	v.await(fmt.Sprintf("the option %q of %q", option, label), "chooseOption", label, option)
}

// audit fails the test for every accessibility violation, for a page wider than the window, and for a control of a phone page
// smaller than 24 by 24 pixels (WCAG 2.2, 2.5.8).
func (v *visitor) audit(page string) {
	v.t.Helper()
	v.await("the page to be read", "settled")
	v.shoot(page)
	if wide := eval[float64](v, "document.documentElement.scrollWidth - document.documentElement.clientWidth"); wide > 0 {
		v.t.Errorf("%s is %v px wider than its %d px window", page, wide, v.width)
	}
	violations := eval[string](v, "(async () => { if (!globalThis.axe) {"+v.axe+`}
		const report = await axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]});
		return report.violations.map(v => v.id + ": " + v.help + "\n" + v.nodes.slice(0, 3).map(n => "  " + n.target + " " + n.failureSummary).join("\n")).join("\n") })()`)
	if violations != "" {
		v.t.Errorf("%s at %d px breaks accessibility rules:\n%s", page, v.width, violations)
	}
}

// shoot keeps a picture of the whole page where ISTHMUS_SHOTS names a folder, for people to look at.
func (v *visitor) shoot(page string) {
	v.t.Helper()
	folder := os.Getenv("ISTHMUS_SHOTS")
	if folder == "" {
		return
	}
	ctx, cancel := context.WithTimeout(v.ctx, patience)
	defer cancel()
	picture, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	if err != nil {
		v.t.Logf("no picture of %s: %v", page, err)
		return
	}
	name := fmt.Sprintf("%s-%d.png", strings.NewReplacer(" ", "-", "/", "-").Replace(page), v.width)
	if err := os.WriteFile(filepath.Join(folder, name), picture, 0o644); err != nil {
		v.t.Error(err)
	}
}
