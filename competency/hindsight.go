package competency

// Hindsight says what a standing on a past day knows only as it is today. All else is as it was: cases count from their signature and in the
// version signed by then, plans and quizzes from the day they were handed in.
func Hindsight(evidence Evidence, on Day) []string {
	notes := []string{}
	withdrawn := 0
	for _, c := range evidence.casesOn(on) {
		if c.Withdrawn && DayOf(c.SignedAt) <= on {
			withdrawn++
		}
	}
	if withdrawn > 0 {
		counts := "It counts on no day, because its record is known to be wrong."
		if withdrawn > 1 {
			counts = "They count on no day, because their record is known to be wrong."
		}
		notes = append(notes, plural(withdrawn, "case")+" signed by then "+isOrAre(withdrawn)+" withdrawn today. "+counts)
	}
	if len(evidence.Pending) > 0 {
		notes = append(notes, "What waits is told as it is today, not as it was then.")
	}
	return append(notes, "The evidence hash is over everything on record today, what came later included.")
}

func isOrAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}
