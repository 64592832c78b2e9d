package service

import "isthmus/assessment"

// policy is the scope policy by which the programme grades today: the one shipped with the program.
func (h *scene) policy() (assessment.Policy, error) {
	return h.service.deps.Policy, nil
}
