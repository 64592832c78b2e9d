package casefile

import (
	"fmt"
	"strconv"
	"strings"

	"isthmus/assessment/atrium"
	"isthmus/competency"
)

// made is one lesion of a cell with who made it.
type made struct {
	lesion atrium.Lesion
	by     competency.Performer
}

// readLesions takes a cell of lesions apart: entries parted by semicolons or new lines, each a lesion's id followed, in any order, by
// energy, applications, block test and performer:
//
//	roof-line, bipolar-rf, x2, block exit, by trainee
//	drawn left-atrium line (0.1 0.2 0.9) (0.3 0.2 0.9), cryo, by supervisor
//
// The error names the entry.
func readLesions(cell string) ([]made, error) {
	var list []made
	for _, entry := range strings.FieldsFunc(cell, func(r rune) bool { return r == ';' || r == '\n' || r == '\r' }) {
		entry = strings.TrimSpace(entry)
		if entry == "" {
			continue
		}
		one, err := readLesion(entry)
		if err != nil {
			return nil, fmt.Errorf("%q: %w", shorten(entry), err)
		}
		list = append(list, one)
	}
	return list, nil
}

func readLesion(entry string) (made, error) {
	parts := strings.Split(entry, ",")
	var one made
	if err := one.place(strings.Fields(parts[0])); err != nil {
		return made{}, err
	}
	for _, part := range parts[1:] {
		if err := one.say(strings.Fields(part)); err != nil {
			return made{}, err
		}
	}
	return one, nil
}

// place reads what the lesion is: its id, or its own path.
func (m *made) place(words []string) error {
	if len(words) == 0 {
		return fmt.Errorf("the lesion's name is missing")
	}
	if words[0] != "drawn" {
		m.lesion.Name = atrium.LesionID(strings.Join(words, "-"))
		for _, known := range atrium.Catalogue() {
			if known.ID == m.lesion.Name {
				return nil
			}
		}
		return fmt.Errorf("no lesion of the catalogue is called %s", m.lesion.Name)
	}
	if len(words) < 4 || words[2] != "line" && words[2] != "ring" {
		return fmt.Errorf("a drawn lesion is written as: drawn left-atrium line (x y z) (x y z)")
	}
	m.lesion.Chamber, m.lesion.Closed = atrium.Chamber(words[1]), words[2] == "ring"
	for point := range strings.SplitSeq(strings.Trim(strings.Join(words[3:], " "), "() "), ")") {
		numbers := strings.Fields(strings.Trim(point, "( "))
		if len(numbers) != 3 {
			return fmt.Errorf("a point is three numbers, not %q", shorten(point))
		}
		var at atrium.Vec
		for i, number := range numbers {
			value, err := strconv.ParseFloat(number, 64)
			if err != nil {
				return fmt.Errorf("%q is no number", number)
			}
			at[i] = value
		}
		m.lesion.Path = append(m.lesion.Path, at)
	}
	return nil
}

// say reads one more word about the lesion.
func (m *made) say(words []string) error {
	switch {
	case len(words) == 1 && isEnergy(words[0]):
		m.lesion.Energy = atrium.Energy(words[0])
	case len(words) == 1 && strings.HasPrefix(words[0], "x"):
		n, err := strconv.Atoi(words[0][1:])
		if err != nil || n < 1 {
			return fmt.Errorf("applications are written x1, x2 and so on, not %q", words[0])
		}
		m.lesion.Applications = n
	case len(words) == 2 && words[0] == "block":
		m.lesion.Block = atrium.BlockTest(words[1])
	case len(words) == 2 && words[0] == "by":
		m.by = competency.Performer(words[1])
	default:
		return fmt.Errorf("%q is not understood: energy, x2, block exit, or by trainee", shorten(strings.Join(words, " ")))
	}
	return nil
}

func isEnergy(word string) bool {
	switch atrium.Energy(word) {
	case atrium.BipolarRF, atrium.UnipolarRF, atrium.Cryo, atrium.Incision:
		return true
	}
	return false
}

// writeLesions is the inverse of readLesions.
func writeLesions(lesions []atrium.Lesion, by []competency.Performer) string {
	entries := make([]string, len(lesions))
	for i, l := range lesions {
		words := []string{string(l.Name)}
		if l.Name == "" {
			words[0] = drawn(l)
		}
		if l.Energy != "" {
			words = append(words, string(l.Energy))
		}
		if l.Applications > 0 {
			words = append(words, fmt.Sprintf("x%d", l.Applications))
		}
		if l.Block != "" {
			words = append(words, "block "+string(l.Block))
		}
		if by[i] != "" {
			words = append(words, "by "+string(by[i]))
		}
		entries[i] = strings.Join(words, ", ")
	}
	return strings.Join(entries, "; ")
}

func drawn(l atrium.Lesion) string {
	shape := "line"
	if l.Closed {
		shape = "ring"
	}
	var text strings.Builder
	fmt.Fprintf(&text, "drawn %s %s", l.Chamber, shape)
	for _, at := range l.Path {
		fmt.Fprintf(&text, " (%s %s %s)", number(at[0]), number(at[1]), number(at[2]))
	}
	return text.String()
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

func shorten(text string) string {
	if len(text) > 60 {
		return strings.ToValidUTF8(text[:57], "") + "..."
	}
	return text
}
