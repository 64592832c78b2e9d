package service

// SittingID names a sitting: one trainee's test on one scenario.
type SittingID string

// noOpenTest refuses with ErrTestOpen while the actor has a test open: call it in everything that could show what lesions do. There are
// no tests yet, so it refuses nothing.
func (h *scene) noOpenTest() error { return nil }
