package simulate

import (
	"fmt"
	"strconv"
)

// says puts in words what the simulation assumes, so that nobody reads its figures as facts about people.
func (p Plan) says() []string {
	m := p.Mix
	list := []string{
		fmt.Sprintf("Every figure is about %s made-up trainees in their first %d operations; none is about a person.", thousands(p.Trainees), p.Cases),
		fmt.Sprintf("A true failure rate is the chance that a fair assessor finds an operation below every level the standard asks for. At %s or less somebody is called adequate.", percent(p.Adequate)),
		fmt.Sprintf("Operations come at random, %s a year; %s of them as primary operator, %s without every line complete and tested.", number(m.CasesPerYear), percent(m.Primary), percent(m.Incomplete)),
		fmt.Sprintf("%s of them are never signed off; of the signatures %s are late recall. Who signs, signs on the day.", percent(m.Unsigned), percent(m.Late)),
	}
	assessors := fmt.Sprintf("Each trainee is rated by %d assessors in turn at random", m.Assessors)
	if m.Assessors == 1 {
		assessors = "Each trainee is rated by 1 assessor"
	}
	if m.Spread == 0 {
		return append(list, assessors+", as strict as a fair one.")
	}
	return append(list, fmt.Sprintf("%s, whose severity differs by a standard deviation of %s in log odds: two in three assessors would find a failure rate of %s between %s and %s.",
		assessors, number(m.Spread), percent(0.2), percent(shifted(0.2, -m.Spread)), percent(shifted(0.2, m.Spread))))
}

func number(value float64) string { return strconv.FormatFloat(value, 'g', 3, 64) }

func percent(share float64) string { return fmt.Sprintf("%.3g %%", 100*share) }

// thousands writes a whole number with commas.
func thousands(n int) string {
	if n < 1000 {
		return strconv.Itoa(n)
	}
	return fmt.Sprintf("%s,%03d", thousands(n/1000), n%1000)
}
