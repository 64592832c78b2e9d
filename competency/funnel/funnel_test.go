package funnel_test

import (
	"errors"
	"fmt"
	"testing"

	"isthmus/competency/funnel"
	"isthmus/competency/internal/published"
)

func TestLimit(t *testing.T) {
	c := published.One(t, "A6.funnel")
	for i := range c.OutLen(t, "rows") {
		row := fmt.Sprintf("rows.%d.", i)
		for k := range c.OutLen(t, row+"limits") {
			at := fmt.Sprintf("%slimits.%d.", row, k)
			limit, err := funnel.Limit(c.Out(t, row+"theta"), int(c.Out(t, row+"n")), c.Out(t, at+"p"))
			if err != nil {
				t.Fatal(err)
			}
			c.Want(t, at+"exact_interpolated", limit)
		}
	}
}

func TestOverdispersed(t *testing.T) {
	c := published.One(t, "A6.overdispersion")
	events, cases := c.InList(t, "x"), c.InList(t, "n")
	units := make([]funnel.Unit, len(events))
	for i := range units {
		units[i] = funnel.Unit{Events: int(events[i]), N: int(cases[i])}
	}
	places, phi, err := funnel.Overdispersed(units, c.In(t, "theta"))
	if err != nil {
		t.Fatal(err)
	}
	c.Want(t, "phi", phi)
	for i, place := range places {
		c.Want(t, fmt.Sprintf("z.%d", i), place.Z)
		c.Want(t, fmt.Sprintf("z_adjusted.%d", i), place.Adjusted)
	}
}

func TestRefusals(t *testing.T) {
	_, target := funnel.Limit(0, 10, funnel.Inner)
	_, cases := funnel.Limit(0.1, 0, funnel.Inner)
	_, tail := funnel.Limit(0.1, 10, 1)
	_, _, none := funnel.Overdispersed(nil, 0.1)
	_, _, more := funnel.Overdispersed([]funnel.Unit{{Events: 2, N: 1}}, 0.1)
	for _, test := range []struct{ got, want error }{
		{target, funnel.ErrTarget}, {cases, funnel.ErrCases}, {tail, funnel.ErrTail}, {none, funnel.ErrCases}, {more, funnel.ErrCases},
	} {
		if !errors.Is(test.got, test.want) {
			t.Errorf("%v, want %v", test.got, test.want)
		}
	}
}
