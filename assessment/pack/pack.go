// Package pack holds the starter scenarios as files, embedded, and counts what a list of scenarios covers. Every vignette is our own invention.
package pack

import (
	"embed"
	"io/fs"
	"sync"

	"isthmus/assessment"
)

//go:embed scenarios/*.yaml
var files embed.FS

// read decodes the files once, in the order of their names, which is the order they are taught in.
var read = sync.OnceValue(func() []assessment.Scenario {
	names, err := fs.Glob(files, "scenarios/*.yaml")
	if err != nil {
		panic(err)
	}
	list := make([]assessment.Scenario, 0, len(names))
	for _, name := range names {
		data, err := files.ReadFile(name)
		if err != nil {
			panic(err)
		}
		s, err := assessment.DecodeScenario(name, data)
		if err != nil {
			panic("pack: a starter scenario is broken: " + err.Error())
		}
		list = append(list, s)
	}
	return list
})

// Scenarios are the starter scenarios, all live, in the order they are taught in. Callers must not change what they point to. A file that
// changes gets a higher version: programmes keep the versions that were answered.
func Scenarios() []assessment.Scenario { return append([]assessment.Scenario(nil), read()...) }

// Scenario finds a starter scenario by its id.
func Scenario(id assessment.ScenarioID) (assessment.Scenario, bool) {
	for _, s := range read() {
		if s.ID == id {
			return s, true
		}
	}
	return assessment.Scenario{}, false
}
