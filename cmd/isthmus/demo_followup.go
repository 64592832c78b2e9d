package main

import (
	"fmt"

	"isthmus/api/service"
	"isthmus/api/store"
	"isthmus/competency"
)

// demoFollower is the trainee of the demo who follows up; of the others all of it is late.
const demoFollower = "ines"

// tellFollowUps puts in its place that most of what is due of one trainee's cases is recorded.
func (t *demoTeller) tellFollowUps() {
	t.acts = append(t.acts, demoAct{t.at(2, 19, 0), t.followUp})
}

// followUp records what is due of two in three of the cases longest due.
func (t *demoTeller) followUp() error {
	who := t.as(demoFollower)
	due, err := t.service.DueFollowUps(t.ctx, who, t.programme, "", store.Page{Limit: 9})
	if err != nil {
		return err
	}
	for i, c := range due.Items {
		if i%3 == 2 {
			continue
		}
		for j, one := range c.Due {
			if one.State == competency.DueComing {
				continue
			}
			found := service.NewFollowUp{Case: c.Case, FollowUp: demoFound(one.Month, i+j)}
			if _, err := t.service.AddFollowUp(t.ctx, who, t.programme, found); err != nil {
				return fmt.Errorf("follow-up at month %d of %s's case of %s: %w", one.Month, demoFollower, c.OperatedOn, err)
			}
		}
	}
	return nil
}

// demoFound is what a follow-up finds: now and then an arrhythmia, a drug, or a recording too short to tell.
func demoFound(month, turn int) competency.FollowUp {
	f := competency.FollowUp{
		Month: month, Rhythm: "sinus", Monitoring: "ambulatory", MonitoringHours: 24, Arrhythmia: "none", Antiarrhythmic: "none", Anticoagulated: true,
		Repeat: []string{}, Stroke: "none",
	}
	switch turn % 5 {
	case 2:
		f.Rhythm, f.Arrhythmia, f.Repeat = "fibrillation", "over-30-s", []string{"cardioversion"}
	case 3:
		f.Antiarrhythmic = "class-iii"
	case 4:
		f.Monitoring, f.MonitoringHours = "single-ecg", 0
	}
	return f
}
