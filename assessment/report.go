package assessment

import (
	"fmt"
	"io"
	"strings"

	"isthmus/assessment/atrium"
)

// reportWidth is the line length of the readable report, in characters.
const reportWidth = 100

// GradeReport writes a grade as text for people: letter, score, the parts, every finding with its reason, source and evidence, and what
// the lines do. It carries the caution. The error is the writer's.
func GradeReport(w io.Writer, g Grade) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s  %s of 100%s\n", g.Letter, number(g.Score), unsafeMark(g))
	if g.Cap != "" {
		wrap(&b, fmt.Sprintf("Capped at %s: %s.", g.Cap, strings.TrimSuffix(g.CapReason, ".")), "")
	}
	if g.Floor != "" {
		wrap(&b, fmt.Sprintf("Held at %s: less is for what is unsafe.", g.Floor), "")
	}
	fmt.Fprintf(&b, "\nScenario %s version %d, policy %s version %d, model %s\n", g.Scenario, g.ScenarioVersion, g.Policy, g.PolicyVersion, g.Model)
	wrap(&b, fmt.Sprintf("AF pattern: %s, because %s.", g.Pattern, g.PatternRule), "")
	amount := "No lines are planned."
	if len(g.Result.Lesions) > 0 {
		amount = "The lines amount to " + scopeNames[g.Result.Scope] + "."
	}
	wrap(&b, "Target: "+targetOf(g)+". "+amount, "")
	b.WriteString("\n")
	for _, part := range g.Parts {
		fmt.Fprintf(&b, "  %-14s %6s of %s\n", part.Part, number(part.Earned), number(part.Weight))
	}
	b.WriteString("\nFindings\n")
	for _, f := range g.Findings {
		finding(&b, f)
	}
	conduction(&b, g.Result)
	fmt.Fprintf(&b, "\n%s\n", g.Caution)
	_, err := io.WriteString(w, b.String())
	return err
}

func unsafeMark(g Grade) string {
	if g.Unsafe {
		return "  UNSAFE"
	}
	return ""
}

// targetOf says what the policy asks for.
func targetOf(g Grade) string {
	target, minimum := atrium.Scope(g.TargetScope), atrium.Scope(g.MinimumScope)
	switch {
	case target == atrium.ScopeNone:
		return "no ablation"
	case minimum == "" || minimum == target:
		return scopeNames[target]
	}
	return scopeNames[target] + ", at least " + scopeNames[minimum]
}

func finding(b *strings.Builder, f Finding) {
	points := ""
	if f.Points != 0 {
		points = " " + number(f.Points)
	}
	wrap(b, fmt.Sprintf("%s%s (%s, %s): %s", f.Severity, points, f.Part, f.Code, f.What), "  ")
	wrap(b, fmt.Sprintf("%s [%s]", f.Why, f.Source), "      ")
	for _, e := range f.Evidence {
		side := "against"
		if e.For {
			side = "for"
		}
		wrap(b, fmt.Sprintf("%s: %s [%s]", side, e.Text, e.Source), "      ")
	}
}

// conduction sums up what the lines do.
func conduction(b *strings.Builder, r atrium.Result) {
	fmt.Fprintf(b, "\nConduction (wavelength %.0f mm)\n", r.WavelengthMM)
	for _, chamber := range []struct {
		name string
		in   atrium.ChamberResult
	}{{"left atrium", r.LeftAtrium}, {"right atrium", r.RightAtrium}} {
		fmt.Fprintf(b, "  %s: %d independent circuits, %.1f %% isolated\n", chamber.name, chamber.in.IndependentCircuits, chamber.in.IsolatedPercent)
		for _, c := range chamber.in.Circuits {
			fmt.Fprintf(b, "    %5.0f mm  %s: %s\n", c.LengthMM, c.Name, verdicts[c.Verdict])
		}
	}
}

// number prints points without needless zeros.
func number(x float64) string {
	return strings.TrimSuffix(strings.TrimSuffix(fmt.Sprintf("%.2f", x), "0"), ".0")
}

// wrap writes text in lines of reportWidth; the first begins with a mark at the indent, the rest stand under it.
func wrap(b *strings.Builder, text, indent string) {
	line := indent
	for i, word := range strings.Fields(text) {
		if i > 0 && len([]rune(line))+1+len([]rune(word)) > reportWidth {
			b.WriteString(line + "\n")
			line = indent + "  "
		} else if i > 0 {
			line += " "
		}
		line += word
	}
	b.WriteString(line + "\n")
}
