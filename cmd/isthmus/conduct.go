package main

import "isthmus/assessment/atrium"

// ConductCmd computes the conduction result of a lesion-set file alone.
type ConductCmd struct {
	File string `arg:"" help:"Lesion-set file in JSON, or - for standard input."`
}

// Help shows an example.
func (ConductCmd) Help() string {
	return `Prints as JSON which veins and walls the lesions isolate, which circuits are left with their lengths, gaps, and the scope the set
amounts to. The same input gives the same bytes.

Example:
  echo '{"lesions": [{"lesion": "roof-line", "energy": "cryo"}], "left_appendage": "kept"}' | isthmus conduct -`
}

// Run reads the set and prints the result; every mistake in the file is printed with its place.
func (c ConductCmd) Run(streams Streams) error {
	data, err := readLimited(streams, c.File)
	if err != nil {
		return err
	}
	set, err := atrium.ParseLesionSet(c.File, data)
	if err != nil {
		return sayFaults(streams.Err, err)
	}
	result, err := atrium.Default().Conduct(set)
	if err != nil {
		return sayFaults(streams.Err, err)
	}
	return printJSON(streams.Out, result)
}
