package service

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"

	"isthmus/assessment/atrium"
)

// rememberedSets bounds how many results are kept: those of a file, whose operations are mostly the same few.
const rememberedSets = 1000

// rememberingModel is a Model that computes equal lesion sets once. It is for one job in one goroutine.
type rememberingModel struct {
	Model
	results map[[sha256.Size]byte]atrium.Result
}

// remembering is the service with a model that remembers, for one job.
func (s *Service) remembering() *Service {
	quick := *s
	quick.deps.Model = rememberingModel{s.deps.Model, map[[sha256.Size]byte]atrium.Result{}}
	return &quick
}

// Conduct gives the result of a lesion set, computed or remembered.
func (m rememberingModel) Conduct(set atrium.LesionSet) (atrium.Result, error) {
	data, err := json.Marshal(set)
	if err != nil {
		return atrium.Result{}, fmt.Errorf("remember lesion set: %w", err)
	}
	key := sha256.Sum256(data)
	if known, there := m.results[key]; there {
		return known, nil
	}
	result, err := m.Model.Conduct(set)
	if err == nil && len(m.results) < rememberedSets {
		m.results[key] = result
	}
	return result, err
}
