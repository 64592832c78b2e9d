package main

import (
	"fmt"
	"strings"

	"isthmus/api/chart"
	"isthmus/api/service"
	"isthmus/competency/outcome"
)

// drawnOf lists every number that the charts of the outcomes page draw by name, as testdata/outcomes.R names it. What the running chart draws is
// among the figures of the page.
func drawnOf(o service.Outcomes) map[string]float64 {
	f := drawn{}
	f.count("pacemaker.n", o.Pacemakers.Chart)
	for by, freedom := range map[string]service.OutcomeFreedom{"scope": o.Scopes, "pattern": o.ByPattern} {
		f.count("freedom."+by+".n", freedom.Chart)
		for _, g := range freedom.Groups {
			f.group("freedom."+by+"."+g.ID+".", outcome.Words(g.ID), freedom.Chart)
		}
	}
	for _, g := range o.Pacemakers.Groups {
		f.group("pacemaker."+g.ID+".", outcome.Words(g.ID), o.Pacemakers.Chart)
	}
	f.funnel("funnel.site.", o.BySite.Chart)
	f.funnel("funnel.surgeon.", o.BySupervisor.Chart)
	return f
}

// drawn are numbers on charts by name.
type drawn map[string]float64

// group puts a curve with its limits, its dots and those still followed.
func (f drawn) group(name, heading string, c *chart.Chart) {
	if c == nil {
		return
	}
	for _, layer := range c.Layers {
		if words, isLimits := strings.CutSuffix(layer.Name, ", 95 % limits"); words != heading {
			continue
		} else if isLimits {
			f.edges(name+"band", layer)
			continue
		}
		kind := map[chart.Shape]string{chart.Step: "line", chart.Dots: "dot"}[layer.Shape]
		for i, p := range layer.Points {
			at := fmt.Sprintf("%s%s.%d.", name, kind, i+1)
			f[at+"x"], f[at+"y"] = p.X, p.Y
			if p.N != nil {
				f[at+"n"] = float64(*p.N)
			}
		}
		for month, n := range layer.AtRisk {
			f[fmt.Sprintf("%srisk.%d", name, month)] = float64(n)
		}
	}
}

// count puts how many operations a chart stands for.
func (f drawn) count(name string, c *chart.Chart) {
	if c != nil {
		f[name] = float64(c.N)
	}
}

// funnel puts the dots by the unit they speak of, and both limits.
func (f drawn) funnel(name string, c *chart.Chart) {
	f.count(name+"n", c)
	for _, layer := range c.Layers {
		switch {
		case layer.Shape == chart.Dots:
			for _, p := range layer.Points {
				unit, _, _ := strings.Cut(p.Says, ":")
				f[name+unit+".n"], f[name+unit+".share"] = p.X, p.Y
			}
		case layer.Shape == chart.Band && layer.Role == chart.Limit:
			f.edges(name+"inner", layer)
		case layer.Shape == chart.Band:
			f.edges(name+"outer", layer)
		}
	}
}

// edges puts the limits of a band.
func (f drawn) edges(name string, layer chart.Layer) {
	for i, p := range layer.Points {
		at := fmt.Sprintf("%s.%d.", name, i+1)
		f[at+"x"], f[at+"low"], f[at+"high"] = p.X, *p.Low, *p.High
	}
}
