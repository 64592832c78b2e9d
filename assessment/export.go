package assessment

import "isthmus/assessment/strict"

// EncodeScenario writes a scenario as a file in YAML, which DecodeScenario reads back as the same scenario.
func EncodeScenario(s Scenario) []byte { return strict.WriteYAML(s) }
