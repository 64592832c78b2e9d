package main

import (
	"fmt"
	"runtime"

	"isthmus/assessment/atrium"
)

// version is the program's version; a release build sets it with -ldflags "-X main.version=...".
var version = "development"

// VersionCmd prints the version.
type VersionCmd struct{}

// Help shows an example.
func (VersionCmd) Help() string { return "Example:\n  isthmus version" }

// Run prints the version of the program, of the conduction model and of Go.
func (VersionCmd) Run(streams Streams) error {
	_, err := fmt.Fprintf(streams.Out, "isthmus %s, conduction model %s, %s\n", version, atrium.ModelVersion, runtime.Version())
	return err
}
