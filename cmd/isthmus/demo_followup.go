package main

import (
	"fmt"
	"math"
	"slices"

	"isthmus/api/service"
	"isthmus/competency"
)

// What the demo's follow-ups find. Everything is invented: the figures are no result of anybody's, and nothing may be learned from them.
const (
	demoDied = 274 // of one case, so many days ago, the patient dies before month 6
)

// demoLost are the cases, by days ago, that nobody follows up.
var demoLost = []int{455, 288, 236, 126}

// demoRisks are the shares with an arrhythmia again by month 12, by AF pattern; a set without right atrial lines adds to it.
var demoRisks = map[string]float64{"paroxysmal": 0.12, "persistent": 0.25, "long-standing": 0.4}

// followLater puts the follow-ups of a signed case in their places, a few days after each falls due.
func (t *demoTeller) followLater(c demoCase, id competency.CaseID) {
	if slices.Contains(demoLost, c.ago) {
		return
	}
	for _, month := range []int{3, 6, 12} {
		days := int(math.Ceil(float64(month)*30.44)) + 4
		if days > c.ago || c.ago == demoDied && month > 6 {
			return
		}
		t.later(t.at(c.ago-days, 19, c.ago%60), func() error {
			_, err := t.service.AddFollowUp(t.ctx, t.as(c.who), t.programme, service.NewFollowUp{Case: id, FollowUp: demoFound(c, month)})
			if err != nil {
				return fmt.Errorf("follow-up at month %d: %w", month, wrapCase(c, err))
			}
			return nil
		})
	}
}

// demoFound is what a follow-up finds: in some cases an arrhythmia from one month on, now and then a drug, or too little recorded to tell.
func demoFound(c demoCase, month int) competency.FollowUp {
	f := competency.FollowUp{
		Month: month, Rhythm: "sinus", Monitoring: "ambulatory", MonitoringHours: 24, Arrhythmia: "none", Antiarrhythmic: "none", Anticoagulated: true,
		Repeat: []string{}, Stroke: "none",
	}
	risk, luck := demoRisks[c.af], float64(c.ago*37%101)/101
	if c.set != "biatrial" && c.af != "paroxysmal" {
		risk += 0.2
	}
	if luck < risk && float64(month) >= 12*luck/risk {
		f.Rhythm, f.Arrhythmia, f.Repeat = "fibrillation", "over-30-s", []string{"cardioversion"}
	}
	switch turn := c.ago + month; {
	case turn%23 == 4 && f.Rhythm == "sinus":
		f.Antiarrhythmic = "class-iii"
	case turn%7 == 5 && month > 3:
		f.Monitoring, f.MonitoringHours = "single-ecg", 0
	}
	if month == 3 && c.ago*29%7 == 0 && c.set != "box" {
		f.Pacemaker = &competency.Pacemaker{Band: "to-90-days", Reason: "sinus-node"}
	}
	if c.ago == demoDied && month == 6 {
		f.Rhythm, f.Monitoring, f.MonitoringHours, f.Arrhythmia, f.Died = "not-known", "none", 0, "not-known", true
	}
	return f
}
