package service

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"isthmus/api/chart"
	"isthmus/assessment/atrium"
	"isthmus/assessment/question"
	"isthmus/competency/interval"
	"isthmus/competency/item"
)

// VersionsOfItem compares two versions of a question.
type VersionsOfItem struct {
	Item       question.ItemID `json:"item"`
	First      int             `json:"first"`
	Second     int             `json:"second"`
	N          [2]int          `json:"n"`
	Difference *Limits         `json:"difference,omitempty"` // of the shares right, the second less the first
	Withheld   string          `json:"withheld,omitempty"`
	Method     string          `json:"method"`
}

// SitesOfItems is whether questions work differently at one site than at all others, for people with equal totals.
type SitesOfItems struct {
	Site     string     `json:"site,omitempty"` // compared with all others
	People   [2]int     `json:"people"`         // elsewhere, and there
	Items    []SiteItem `json:"items"`
	Withheld string     `json:"withheld,omitempty"`
	Method   string     `json:"method"`
}

// SiteItem is one question at a site.
type SiteItem struct {
	Item    question.ItemID `json:"item"`
	Version int             `json:"version"`
	N       [2]int          `json:"n"`
	Odds    Limits          `json:"odds"` // of a right answer elsewhere against there; above 1 it is harder there
	Delta   float64         `json:"delta"`
	P       float64         `json:"p"`
	Large   bool            `json:"large"`
}

const (
	alphaMethod = "Cronbach 1951; it is KR-20 where a question is right or wrong. Limits of Feldt 1965, at 95 %."
	raschMethod = "Rasch model by conditional maximum likelihood (Andersen 1970), those who were asked different questions beside one another; people by Warm 1989."
	siteMethod  = "Mantel and Haenszel 1959 over groups of equal totals among equally many questions; where forms were drawn the questions behind equal totals differ, which the method takes as equally hard; delta is -2.35 ln of the odds ratio; limits of Robins, Breslow and Greenland 1986 at 95 %."
	itemCaution = "About questions, not about people: a flag is a reason to read the question again. " + atrium.Caution
)

// flagWords say what a flag means.
var flagWords = map[item.Flag]string{
	item.TooEasy:   "More than 95 % have it right: it hardly tells anybody apart.",
	item.TooHard:   "Fewer than 25 % have it right: about what guessing among four gives.",
	item.Backwards: "Who has it right does worse on the others: read its key first.",
	item.Weak:      "Having it right hardly goes with the others (correlation below 0.1).",
	item.KeyDoubt:  "The better trainees choose a wrong option more often than the key: is the key right?",
	item.Idle:      "A wrong option is chosen by fewer than 5 %: find one that somebody would believe.",
	item.Misfit:    "Its answers do not follow the model (infit outside 0.7 to 1.3).",
	item.Differs:   "It works differently at one site than elsewhere, for trainees with equal totals.",
}

// thresholdWords say from when on anything is told, and where the thresholds come from.
func thresholdWords() []string {
	return []string{
		fmt.Sprintf("Figures are told from %d trainees on, flags and the Rasch scale from %d, sites from %d on either side: common practice, no source.", item.FewestToTell, item.FewestToFlag, item.FewestInGroup),
		"Too easy from 95 % right, too hard below 25 %, weak below a correlation of 0.1: common practice, no source.",
		"The best and the weakest are 27 % each (Kelley 1939).",
		"A wrong option should attract 5 % (Haladyna and Downing 1993; from memory). Infit of 0.7 to 1.3 is usual (Wright and Linacre 1994; from memory).",
		"By site a question is flagged at a delta of 1.5 that is surely beyond 1 (Zwick 2012; from memory).",
	}
}

// tooFewWords say how many are wanting.
func tooFewWords(n, fewest int) string {
	return fmt.Sprintf("%d so far; it takes %d.", n, fewest)
}

// versions compares the versions of each question, each with the one before.
func (s answerSheet) versions() []VersionsOfItem {
	by := map[question.ItemID][]int{}
	for j, ref := range s.refs {
		by[ref.Item] = append(by[ref.Item], j)
	}
	list := []VersionsOfItem{}
	for _, ref := range s.refs {
		columns := by[ref.Item]
		delete(by, ref.Item)
		slices.SortFunc(columns, func(a, b int) int { return s.refs[a].Version - s.refs[b].Version })
		for i := 1; i < len(columns); i++ {
			list = append(list, s.compared(columns[i-1], columns[i]))
		}
	}
	slices.SortFunc(list, func(a, b VersionsOfItem) int {
		return cmp.Or(cmp.Compare(a.Item, b.Item), cmp.Compare(a.First, b.First))
	})
	return list
}

func (s answerSheet) compared(first, second int) VersionsOfItem {
	v := VersionsOfItem{Item: s.refs[first].Item, First: s.refs[first].Version, Second: s.refs[second].Version, Method: interval.MethodHybrid}
	right := [2]int{}
	for _, row := range s.cells {
		for at, j := range []int{first, second} {
			if row[j].asked {
				v.N[at]++
				if row[j].right {
					right[at]++
				}
			}
		}
	}
	if min(v.N[0], v.N[1]) < item.FewestToTell {
		v.Withheld = "The smaller group has " + tooFewWords(min(v.N[0], v.N[1]), item.FewestToTell)
		return v
	}
	if d, err := interval.Between(right[1], v.N[1], right[0], v.N[0], itemLevel); err == nil {
		v.Difference = &Limits{d.Estimate, d.Low, d.High}
	}
	return v
}

// sitesOfItems compares the site with the most trainees but one with all others, where both have enough people: the larger groups tell most.
func (h *scene) sitesOfItems(sheet answerSheet, table [][]float64) (SitesOfItems, error) {
	view := SitesOfItems{Items: []SiteItem{}, Method: siteMethod}
	rotations, err := h.tx.Rotations(h.programme.ID, "")
	if err != nil {
		return view, err
	}
	sites, at := map[string]int{}, make([]string, len(sheet.people))
	for i, person := range sheet.people {
		first := slices.IndexFunc(sheet.cells[i], func(c answerCell) bool { return c.asked })
		if at[i] = siteOn(rotations, person, sheet.cells[i][first].day); at[i] != "" {
			sites[at[i]]++
		}
	}
	names := slices.Collect(maps.Keys(sites))
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(sites[b], sites[a]), cmp.Compare(a, b)) })
	if len(names) < 2 {
		view.Withheld = "There are no two sites to compare."
		return view, nil
	}
	view.Site = names[1]
	other := make([]bool, len(at))
	for i, name := range at {
		if other[i] = name == view.Site; other[i] {
			view.People[1]++
		} else {
			view.People[0]++
		}
	}
	if min(view.People[0], view.People[1]) < item.FewestInGroup {
		view.Withheld = "The smaller group has " + tooFewWords(min(view.People[0], view.People[1]), item.FewestInGroup)
		return view, nil
	}
	for j, ref := range sheet.refs {
		if one, told := siteItem(ref, table, j, other); told {
			view.Items = append(view.Items, one)
		}
	}
	return view, nil
}

// differs reports whether a question works so differently at the site that somebody should look.
func (v SitesOfItems) differs(ref question.Ref) bool {
	return slices.ContainsFunc(v.Items, func(one SiteItem) bool { return one.Large && one.Item == ref.Item && one.Version == ref.Version })
}

// siteItem compares one question, by the totals of those who were asked it.
func siteItem(ref question.Ref, table [][]float64, j int, other []bool) (SiteItem, bool) {
	var right, there []bool
	var totals []int
	for i, row := range table {
		if math.IsNaN(row[j]) {
			continue
		}
		total, asked := 0, 0
		for _, x := range row {
			if !math.IsNaN(x) {
				asked++
			}
			if x == 1 {
				total++
			}
		}
		// a total says the same only of people who were asked equally many
		right, there, totals = append(right, row[j] == 1), append(there, other[i]), append(totals, asked*(len(row)+1)+total)
	}
	d, err := item.Mantel(right, totals, there, itemLevel)
	if err != nil || min(d.N[0], d.N[1]) < item.FewestInGroup {
		return SiteItem{}, false
	}
	return SiteItem{Item: ref.Item, Version: ref.Version, N: d.N, Odds: Limits{d.OddsRatio, d.Low, d.High}, Delta: d.Delta, P: d.P, Large: d.Large()}, true
}

// personItemChart draws people and questions on one scale: how many lie in each half unit, people as a line, questions as dots.
func personItemChart(table [][]float64, places []int, fit item.Rasch) chart.Chart {
	people, items := map[int]int{}, map[int]int{}
	bin := func(x float64) int { return int(math.Floor(x * 2)) }
	for _, b := range fit.Difficulty {
		items[bin(b)]++
	}
	n, known := 0, map[string]float64{}
	ability := func(asked []float64, total int) float64 { // the same total of the same questions is worth the same
		key := fmt.Sprint(total, asked)
		if _, found := known[key]; !found {
			known[key] = item.Ability(asked, total).Weighted
		}
		return known[key]
	}
	for _, row := range columnsOf(table, places) {
		var asked []float64
		total := 0
		for at, x := range row {
			if !math.IsNaN(x) {
				asked = append(asked, fit.Difficulty[at])
				total += int(x)
			}
		}
		if len(asked) > 0 {
			people[bin(ability(asked, total))]++
			n++
		}
	}
	low, high, most := math.MaxInt, math.MinInt, 1
	for _, counts := range []map[int]int{people, items} {
		for b, count := range counts {
			low, high, most = min(low, b), max(high, b), max(most, count)
		}
	}
	c := chart.Chart{
		ID: "people-and-questions", Title: "People and questions on one scale", N: n, Of: "trainees",
		Says:  fmt.Sprintf("Where %s and %s lie, in log odds: a trainee has even odds at a question of the same place.", plural(n, "trainee"), plural(len(places), "question")),
		X:     chart.Axis{Label: "Log odds, in steps of one half", Min: float64(low) / 2, Max: float64(high+1) / 2},
		Y:     chart.Axis{Label: "How many", Unit: chart.Count, Max: float64(most)},
		Notes: []string{raschMethod, "Trainees who have all right or all wrong lie where Warm's estimate puts them, which is uncertain."},
	}
	trainees := chart.Layer{Shape: chart.Step, Role: chart.Main, Name: "trainees"}
	questions := chart.Layer{Shape: chart.Dots, Role: chart.Second, Name: "questions"}
	for b := low; b <= high; b++ {
		trainees.Points = append(trainees.Points, chart.Point{X: float64(b) / 2, Y: float64(people[b])})
		if items[b] > 0 {
			questions.Points = append(questions.Points, chart.Point{X: float64(b)/2 + 0.25, Y: float64(items[b]), Says: plural(items[b], "question")})
		}
	}
	trainees.Points = append(trainees.Points, chart.Point{X: float64(high+1) / 2, Y: 0})
	c.Layers = []chart.Layer{trainees, questions}
	return c
}
