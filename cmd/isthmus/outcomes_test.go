package main

import (
	"strings"
	"testing"
)

// TestOutcomesStory: the director reads how complete the follow-up is before anything else, sees the curves with who is still followed, opens
// the cases behind a row and behind a mark in one step, narrows, and takes a chart away only with small numbers hidden.
func TestOutcomesStory(t *testing.T) {
	browser := openBrowser(t)
	base, _ := serveDemo(t)
	for _, width := range []int64{390, 1280} {
		v := newVisitor(t, browser, base, width)
		signIn(v, "amara")
		v.see("Amara")
		v.visit("/outcomes")
		v.see("What this cannot say.")
		v.see("follow-ups due by the day are on record")
		v.see("For education. Not advice on a patient.")
		v.see("Log-rank test: chi-squared")
		v.see("exact binomial limits")
		v.see("Over-dispersion: phi")
		v.audit("outcomes")
		if order := eval[string](v, `[...document.querySelectorAll("main h2")].map(one => one.textContent).join("|")`); !strings.HasPrefix(order, "Follow-up on record|Freedom by scope delivered|Freedom by AF pattern|Pacemaker") {
			t.Errorf("sections in the order %s", order)
		}
		if drawn := eval[string](v, `[...document.querySelectorAll("svg.chart .shape-stairs")].length > 3 && document.querySelector("figure svg").textContent.includes("Still followed") ? "" : "no limits, or nobody followed"`); drawn != "" {
			t.Error(drawn)
		}
		if eval[bool](v, `document.querySelector(".chart-files") !== null`) {
			t.Error("a chart with small numbers can be taken away")
		}
		counted := eval[string](v, `(() => { const link = document.querySelector('.outcome-table td a[href*="of=freedom.scope.biatrial.failed"]'); link.focus(); const n = link.firstChild.textContent; link.click(); return n; })()`)
		v.see("Biatrial: no longer free")
		v.see(counted + " operation")
		v.audit("outcome cases")
		if rows := eval[string](v, `String(document.querySelectorAll("ul.rows a.row-link").length)`); rows != counted {
			t.Errorf("%s rows of cases, the table says %s", rows, counted)
		}
		v.visit("/outcomes")
		v.see("Log-rank test")
		eval[string](v, `(() => { document.querySelector('a.mark[href*="of=freedom.pattern."]').dispatchEvent(new MouseEvent("click", { bubbles: true, cancelable: true })); return "gone"; })()`)
		v.see("no longer free")
		v.visit("/outcomes")
		v.see("Log-rank test")
		v.choose("Told at month", "6")
		v.see("Free at month 6:")
		v.choose("AF pattern", "Paroxysmal")
		v.see("No comparison:")
		v.visit("/outcomes?outside=true")
		v.see("no case is named")
		v.see("hidden: small number")
		v.audit("outcomes for outside")
		if eval[bool](v, `document.querySelector('main a[href*="/outcomes/cases"], main a[href*="/cases/"]') !== null`) {
			t.Error("what may leave names cases")
		}
		v.see("Small numbers are hidden.") // of so few operations no curve may leave
		if eval[bool](v, `[...document.querySelectorAll(".chart-figure")].some(one => !one.querySelector(".chart-files"))`) {
			t.Error("a chart that may leave cannot be taken away")
		}
	}
}
