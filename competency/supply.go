package competency

import (
	"fmt"
	"maps"
	"slices"

	"isthmus/competency/pace"
)

// Posting is a stretch of days at a site, both included; an empty Until means without an end in sight.
type Posting struct {
	Site        string
	From, Until Day
}

// supplyDays is how far back the programme's own history is looked at, in days.
const supplyDays = 365

// SiteHistory is what trainees met at a site in the year up to a day: how long they worked there, all together, and the cases they brought.
type SiteHistory struct {
	Site  string       `json:"site"`
	Days  int          `json:"days"` // trainee-days
	Cases []SignedCase `json:"-"`
}

// SiteHistories counts what every site gave in the year up to a day. postings and evidence are by trainee; a case counts at its own site while
// its trainee was posted there, so that cases and days belong together.
func SiteHistories(sites []string, postings map[PersonID][]Posting, evidence map[PersonID]Evidence, on Day) []SiteHistory {
	from := on.Add(1 - supplyDays)
	list := make([]SiteHistory, len(sites))
	for i, site := range sites {
		list[i].Site = site
		for _, trainee := range slices.Sorted(maps.Keys(postings)) {
			for _, p := range postings[trainee] {
				if p.Site != site {
					continue
				}
				list[i].Days += p.days(from, on)
				for _, c := range evidence[trainee].casesOn(on) {
					day := latestDay(c.OperatedOn, c.SubmittedAt)
					if c.Site == site && !c.Withdrawn && day >= from && day <= on && p.holds(day) {
						list[i].Cases = append(list[i].Cases, c)
					}
				}
			}
		}
	}
	return list
}

// days counts the days of a posting within a stretch, both ends included.
func (p Posting) days(from, until Day) int {
	first, last := max(p.From, from), until
	if p.Until != "" {
		last = min(p.Until, until)
	}
	return max(0, last.DaysSince(first)+1)
}

func (p Posting) holds(day Day) bool { return p.From <= day && (p.Until == "" || p.Until >= day) }

// Supply says whether what a trainee still lacks on a count of cases can come from where they are to work.
type Supply struct {
	Requirement string       `json:"requirement"`
	Says        string       `json:"says"`
	Has         int          `json:"has"`
	Target      int          `json:"target"`
	Lacks       int          `json:"lacks"`
	Sources     []SiteSupply `json:"sources"` // where the plan leads
	Expected    float64      `json:"expected"`
	Low         int          `json:"low"`
	High        int          `json:"high"`
	Level       float64      `json:"level"`
	Chance      float64      `json:"chance"` // that so many come as are lacking
	CannotSay   string       `json:"cannot_say,omitempty"`
}

// SiteSupply is what one site of the plan may give, from its own history.
type SiteSupply struct {
	Site     string   `json:"site"`
	Ahead    int      `json:"ahead"` // days of the plan there
	Days     int      `json:"days"`  // trainee-days in the last year
	Cases    int      `json:"cases"` // of the kind asked for, in those days
	Evidence []CaseID `json:"evidence"`
}

// SupplyMethod names the prediction beside its figures.
const SupplyMethod = "gamma-Poisson prediction for each site (Jeffreys prior), summed over the sites of the plan"

// SupplyAssumptions is what it rests on; show it with it.
const SupplyAssumptions = "a site gives a trainee cases at the rate it gave trainees in the last year, one by one and apart from one another, and every one is signed"

// Supplies looks at every count of cases in a standard: what the trainee has on the day, what is lacking, and what the postings from the
// day after until the end of training may bring. An open posting is taken to last until end; without an end of training nobody can say.
func Supplies(standard Standard, evidence Evidence, plan []Posting, end Day, histories []SiteHistory, on Day) []Supply {
	list := []Supply{}
	for i, r := range standard.Requirements {
		if r.Kind != KindCount || r.Filter.PeriodDays > 0 {
			continue
		}
		has := Stand(Standard{ID: standard.ID, Version: standard.Version, Requirements: standard.Requirements[i : i+1]}, evidence, on).Requirements[0].N
		s := Supply{Requirement: r.ID, Says: r.Says(), Has: has, Target: r.AtLeast, Lacks: max(0, r.AtLeast-has), Sources: []SiteSupply{}, Level: projectionLevel}
		s.fill(r, plan, end, histories, on)
		list = append(list, s)
	}
	return list
}

// fill predicts what the plan brings.
func (s *Supply) fill(r Requirement, plan []Posting, end Day, histories []SiteHistory, on Day) {
	if end == "" {
		s.CannotSay = "the training has no end set"
		return
	}
	var streams []pace.Stream
	for _, h := range histories {
		source := SiteSupply{Site: h.Site, Days: h.Days, Evidence: []CaseID{}}
		for _, p := range plan {
			if p.Site == h.Site {
				source.Ahead += p.days(on.Add(1), end)
			}
		}
		if source.Ahead == 0 {
			continue
		}
		for i := range h.Cases {
			if r.Filter.misses(&h.Cases[i]) == "" {
				source.Cases++
				source.Evidence = append(source.Evidence, h.Cases[i].ID)
			}
		}
		s.Sources = append(s.Sources, source)
		if h.Days == 0 {
			s.CannotSay = fmt.Sprintf("no trainee was posted to %s in the last year", h.Site)
			continue
		}
		streams = append(streams, pace.Stream{Events: source.Cases, Time: float64(h.Days), Ahead: float64(source.Ahead)})
	}
	if len(s.Sources) == 0 {
		s.CannotSay = "no posting is planned"
	}
	if s.CannotSay != "" {
		return
	}
	number, err := pace.Ahead(streams, projectionLevel)
	if err != nil {
		s.CannotSay = err.Error()
		return
	}
	s.Expected, s.Low, s.High, s.Chance = rounded(number.Mean), number.Low, number.High, rounded(number.AtLeast(s.Lacks))
}
