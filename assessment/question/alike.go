package question

import (
	"cmp"
	"slices"
	"strings"
	"unicode"
)

// Alike is how alike two stems are, from 0 to 1: twice the runs of three letters they share, of all there are (the coefficient of Dice 1945,
// Ecology 26:297; from memory). Case, signs and the ends of words hardly matter to it. Two stems without three letters are alike when they are the same.
func Alike(a, b string) float64 {
	left, right := runs(a), runs(b)
	if len(left)+len(right) == 0 {
		if a == b {
			return 1
		}
		return 0
	}
	total, shared := 0, 0
	for run, n := range left {
		total += n
		shared += min(n, right[run])
	}
	for _, n := range right {
		total += n
	}
	return 2 * float64(shared) / float64(total)
}

// runs counts the runs of three signs in a text of lower-case words with single blanks.
func runs(text string) map[string]int {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	letters := []rune(strings.Join(words, " "))
	count := map[string]int{}
	for i := 0; i+3 <= len(letters); i++ {
		count[string(letters[i:i+3])]++
	}
	return count
}

// Twin is an item whose stem is much like another.
type Twin struct {
	Item  ItemID  `json:"item"`
	Alike float64 `json:"alike"`
}

// AlikeEnough is from where an author is warned. Stems of the starter bank are all below it; a stem with a word or two exchanged is above.
const AlikeEnough = 0.7

// Twins warns an author: the items, drafts and retired ones too, whose stems are at least AlikeEnough to this item's, most alike first. The
// item itself, by its id, is no twin.
func (it Item) Twins(others []Item) []Twin { return NewStems(others).Twins(it) }

// Stems are the stems of many items, made ready to find the twins of many others among them: a file of thousands of questions is compared
// with a bank in a second.
type Stems struct {
	items []Item
	total []int // runs of each stem
	with  map[string][]stemRuns
}

// stemRuns says how often a run stands in a stem.
type stemRuns struct{ stem, count int }

// NewStems makes the stems of items ready.
func NewStems(items []Item) Stems {
	s := Stems{items: items, total: make([]int, len(items)), with: map[string][]stemRuns{}}
	for i, it := range items {
		for run, n := range runs(it.Stem) {
			s.total[i] += n
			s.with[run] = append(s.with[run], stemRuns{i, n})
		}
	}
	return s
}

// Twins are the items among them that an item is a twin of, as Item.Twins says.
func (s Stems) Twins(it Item) []Twin {
	twins, shared, total := []Twin{}, make([]int, len(s.items)), 0
	for run, n := range runs(it.Stem) {
		total += n
		for _, other := range s.with[run] {
			shared[other.stem] += min(n, other.count)
		}
	}
	for i, other := range s.items {
		alike := 0.0
		if all := total + s.total[i]; all > 0 {
			alike = 2 * float64(shared[i]) / float64(all)
		} else if it.Stem == other.Stem {
			alike = 1
		}
		if other.ID != it.ID && alike >= AlikeEnough {
			twins = append(twins, Twin{other.ID, alike})
		}
	}
	slices.SortFunc(twins, func(a, b Twin) int { return cmp.Or(cmp.Compare(b.Alike, a.Alike), cmp.Compare(a.Item, b.Item)) })
	return twins
}
