package main

import (
	"context"
	"fmt"

	"isthmus/api/store"
	"isthmus/competency"
)

// StandingCmd works on standings.
type StandingCmd struct {
	Recompute StandingRecomputeCmd `cmd:"" help:"Judge the evidence of every decision again and report every difference."`
}

// StandingRecomputeCmd recomputes what decisions froze.
type StandingRecomputeCmd struct{}

// Help shows an example.
func (StandingRecomputeCmd) Help() string {
	return `A standing is computed whenever it is asked for; only decisions keep one, frozen with its evidence and its standard. Judges all of them again
with this version of the program and names every place where the outcome is another one, words included. Exit code 1 when there is any.

Example:
  isthmus standing recompute`
}

// Run recomputes and prints a line a programme, and one for each difference.
func (StandingRecomputeCmd) Run(ctx context.Context, config *Config, streams Streams) error {
	return onCurrent(ctx, *config, func(s *store.Store) error {
		differing := 0
		err := s.Read(ctx, func(tx *store.Tx) error {
			programmes, err := tx.Programmes()
			if err != nil {
				return err
			}
			for _, p := range programmes {
				decisions, err := tx.Decisions(p.ID, store.DecisionFilter{})
				if err != nil {
					return err
				}
				same := 0
				for _, d := range decisions {
					differences := recomputed(d)
					for _, difference := range differences {
						fmt.Fprintf(streams.Out, "%s: decision %s: %s\n", p.Name, d.ID, difference)
					}
					if len(differences) == 0 {
						same++
					} else {
						differing++
					}
				}
				fmt.Fprintf(streams.Out, "%s: %d of %d frozen standings are the same when computed again\n", p.Name, same, len(decisions))
			}
			return nil
		})
		if err == nil && differing > 0 {
			return fmt.Errorf("%d frozen standings are another one when computed again", differing)
		}
		return err
	})
}

// recomputed names the differences of a decision's standing.
func recomputed(d store.Decision) []string {
	standard, err := competency.DecodeStandard("standard", []byte(d.Standard))
	if err != nil {
		return []string{"its standard cannot be read: " + err.Error()}
	}
	return competency.Recompute(d.Standing, standard, d.Evidence)
}
