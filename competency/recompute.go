package competency

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
)

// Recompute judges frozen evidence again and names every place where the outcome is not the frozen standing, words included; none when they
// are the same to the letter.
func Recompute(frozen Standing, standard Standard, evidence Evidence) []string {
	var differences []string
	compare("", plain(frozen), plain(Stand(standard, evidence, Day(frozen.On))), &differences)
	return differences
}

// plain is a value as JSON reads it.
func plain(value any) (read any) {
	if err := json.Unmarshal(canonical(value), &read); err != nil {
		panic("competency: not plain data: " + err.Error())
	}
	return read
}

// compare walks two values as JSON reads them and names the places where they differ.
func compare(at string, frozen, again any, differences *[]string) {
	switch a := frozen.(type) {
	case map[string]any:
		if b, ok := again.(map[string]any); ok {
			names := maps.Clone(a)
			maps.Copy(names, b)
			for _, name := range slices.Sorted(maps.Keys(names)) {
				compare(joinPath(at, name), a[name], b[name], differences)
			}
			return
		}
	case []any:
		if b, ok := again.([]any); ok && len(a) == len(b) {
			for i := range a {
				compare(fmt.Sprintf("%s[%d]", at, i), a[i], b[i], differences)
			}
			return
		}
	}
	if x, y := canonical(frozen), canonical(again); string(x) != string(y) {
		*differences = append(*differences, fmt.Sprintf("%s is %s, computed again %s", at, short(x), short(y)))
	}
}

func joinPath(at, name string) string {
	if at == "" {
		return name
	}
	return at + "." + name
}

// short keeps a difference on a line: a whole chart is not for reading here.
func short(data []byte) string {
	if text := []rune(string(data)); len(text) > 120 {
		return string(text[:117]) + "..."
	}
	return string(data)
}
