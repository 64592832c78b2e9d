package main

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// looks are the screens of the planner and what belongs to it, with who looks and words that stand there once the page is read.
var looks = []struct{ name, who, path, words string }{
	{"today", "ines", "/", "What to do next"},
	{"scenarios", "ines", "/scenarios", "Scenarios"},
	{"planner", "noor", "/scenarios/persistent-mitral-repair", "Your plan"},
	{"knowledge", "ines", "/knowledge", "What you have shown to know"},
	{"plans", "ines", "/plans", "plans"},
	{"case form", "ines", "/cases/new", "Begin from a pattern of yours"},
	{"growth", "ines", "/growth", "By AF pattern"},
	{"cases", "ines", "/cases", "Your log as XLSX"},
	{"standing", "ines", "/standing", "Two accounts"},
	{"curves", "ines", "/curves", "What counts as a success:"},
	{"follow-up", "ines", "/follow-up", "Follow-up"},
	{"import", "ines", "/import", "Template as XLSX"},
	{"waiting", "ines", "/waiting", "Nothing waits"},
	{"account", "ines", "/account", "Sign out"},
	{"check a report", "ines", "/verify", "nothing of what the report holds"},
	{"inbox", "mei", "/inbox", "Inbox"},
	{"tray", "mei", "/inbox/tray", "tray"},
	{"people", "jonas", "/people", "Open invitations"},
	{"roster", "jonas", "/people/roster", "Archive"},
	{"library", "tomasz", "/library", "Library"},
	{"questions", "tomasz", "/questions", "Questions"},
	{"question", "tomasz", "/questions/mark-av-node", "With its answer"},
	{"how questions work", "tomasz", "/item-analysis", "How questions work"},
	{"knowledge of the trainees", "amara", "/knowledge-cohort", "Knowledge of the trainees"},
	{"tests", "tomasz", "/tests", "New test"},
	{"import questions", "tomasz", "/questions/import", "Choose a file"},
	{"library edition", "tomasz", "/library/persistent-mitral-repair", "expert"},
	{"scope policies", "amara", "/scope-policies", "policy"},
	{"cohort", "amara", "/cohort", "Cohort"},
	{"standards", "amara", "/standards", "version 1"},
	{"standard", "amara", "/standards/1", "Whom it judges today"},
	{"new standard", "amara", "/standards/new?from=1", "Were all judged by it today"},
	{"case mix", "amara", "/case-mix", "What each still lacks"},
	{"simulations", "amara", "/simulations", "made-up trainees"},
	{"try a standard", "amara", "/simulations/new", "True abilities"},
	{"practice", "amara", "/practice", "What was left out"},
	{"assessors", "amara", "/assessors", "How far the ratings can be trusted"},
	{"outcomes", "amara", "/outcomes", "What this cannot say"},
	{"settings", "amara", "/settings", "What holds"},
	{"settings form", "amara", "/settings/new", "Role in made-up operations"},
	{"agreement", "amara", "/agreement", "account"},
	{"meetings", "amara", "/meetings", "decided"},
	{"new meeting", "amara", "/meetings/new", "Who sits"},
	{"exports", "amara", "/exports", "What was taken out"},
	{"audit", "amara", "/audit", "Audit"},
	{"your review", "nadia", "/", "Your review"},
}

// opened are screens of the director whose address the demo draws: what is pressed, one after the other, on the way there.
var opened = []struct {
	name, path string
	press      []string
	words      string
}{
	{"test with its results", "/tests", []string{"Before the first supervised lines", "Who is behind it"}, "not passed"},
	{"panel", "/tests", []string{"Before the first supervised lines", "Modified Angoff"}, "For education."},
	{"practice opened", "/practice", []string{"Open them"}, "asked for: biatrial"},
}

// TestLooks walks the screens at the widths and in the colours the stories do not: the stories look at 390 and 1280 pixels in light.
func TestLooks(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, look := range []struct {
		name  string
		width int64
		dark  bool
	}{{"light", 768, false}, {"dark", 390, true}, {"dark", 1440, true}} {
		signedIn, v := "", (*visitor)(nil)
		for _, page := range looks {
			if page.who != signedIn {
				v = newVisitor(t, browser, base, look.width)
				if look.dark {
					v.do(darkened())
				}
				signIn(v, page.who)
				v.see(strings.ToUpper(page.who[:1]) + page.who[1:]) // the name stands at the top of every page
				signedIn = page.who
			}
			v.visit(page.path)
			v.see(page.words)
			v.audit(page.name + " " + look.name)
		}
		v = newVisitor(t, browser, base, look.width)
		if look.dark {
			v.do(darkened())
		}
		signIn(v, "amara")
		v.see("Amara")
		for _, page := range opened {
			v.visit(page.path)
			for _, name := range page.press {
				v.press(name)
			}
			v.see(page.words)
			v.audit(page.name + " " + look.name)
		}
	}
}

// darkened asks for the dark colours, as a person's system does.
func darkened() chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}},
		})
		return err
	})
}
