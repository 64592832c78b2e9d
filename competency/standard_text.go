package competency

import (
	"slices"
	"strings"

	"isthmus/assessment/strict"
)

// RewriteStandard writes a standard as YAML in the manner of an earlier text: lines that say the same stay as they were, with comments and
// layout, and comments beside changed lines stay with them. Where the earlier text is laid out in another way than line below line, all is
// written anew, its comments first.
func RewriteStandard(before []byte, s Standard) []byte {
	if text, ok := newStandardText(before).with(s); ok {
		if again, _, read := ReadStandard(text); read && sameStandard(again, s) {
			return text
		}
	}
	var lines []string
	for _, line := range textLines(before) {
		if comment := commentOf(line); comment != "" {
			lines = append(lines, "# "+comment)
		}
	}
	for _, c := range chunksOf(headOf(s)) {
		lines = append(lines, c.lines...)
	}
	lines = append(lines, "requirements:")
	for _, r := range s.Requirements {
		lines = append(lines, itemLines(chunksOf(r), 2)...)
	}
	if len(s.Requirements) == 0 {
		lines[len(lines)-1] += " []"
	}
	return []byte(strings.Join(lines, "\n") + "\n")
}

// sameStandard compares what two standards say; an empty list is none.
func sameStandard(a, b Standard) bool {
	return string(strict.WriteYAML(a)) == string(strict.WriteYAML(b))
}

// standardHead is a standard without its requirements.
type standardHead struct {
	ID      string `yaml:"id"`
	Title   string `yaml:"title"`
	Version int    `yaml:"version"`
	Example bool   `yaml:"example,omitempty"`
	Note    string `yaml:"note,omitempty"`
}

func headOf(s Standard) standardHead {
	return standardHead{s.ID, s.Title, s.Version, s.Example, s.Note}
}

// chunk is a field as it stands in a text, its indentation removed, with the comments above it.
type chunk struct {
	name  string
	lines []string
}

// chunksOf are the fields of a struct as they are written anew.
func chunksOf(value any) []chunk {
	var chunks []chunk
	for _, line := range textLines(strict.WriteYAML(value)) {
		if !strings.HasPrefix(line, " ") {
			name, _, _ := strings.Cut(line, ":")
			chunks = append(chunks, chunk{name: name})
		}
		last := &chunks[len(chunks)-1]
		last.lines = append(last.lines, line)
	}
	return chunks
}

// itemLines writes fields as an item of a list whose dashes stand so far in; comments above the first field go above the dash.
func itemLines(chunks []chunk, indent int) []string {
	var lines []string
	margin, dash := strings.Repeat(" ", indent), "- "
	for _, c := range chunks {
		for _, line := range c.lines {
			switch {
			case dash != "  " && isRemark(line):
				lines = append(lines, strings.TrimRight(margin+line, " "))
			case strings.TrimSpace(line) == "":
				lines = append(lines, "")
			default:
				lines = append(lines, margin+dash+line)
				dash = "  "
			}
		}
	}
	return lines
}

// merged are the fields now, in the order and the manner of those in the text: was are the fields of the text as they would be written anew.
func merged(text, was, now []chunk) []chunk {
	var result []chunk
	for _, old := range text {
		wanted, found := chunkNamed(now, old.name)
		if !found {
			continue
		}
		if before, _ := chunkNamed(was, old.name); slices.Equal(before.lines, wanted.lines) {
			result = append(result, old)
			continue
		}
		above := 0
		for above < len(old.lines) && isRemark(old.lines[above]) {
			above++
		}
		fresh := slices.Clone(wanted.lines)
		if comment := commentOf(old.lines[len(old.lines)-1]); comment != "" && above == len(old.lines)-1 && len(fresh) == 1 {
			fresh[0] += " # " + comment
		}
		result = append(result, chunk{old.name, append(slices.Clone(old.lines[:above]), fresh...)})
	}
	for _, fresh := range now {
		if _, found := chunkNamed(text, fresh.name); !found {
			result = append(result, fresh)
		}
	}
	return result
}

func chunkNamed(chunks []chunk, name string) (chunk, bool) {
	i := slices.IndexFunc(chunks, func(c chunk) bool { return c.name == name })
	if i < 0 {
		return chunk{}, false
	}
	return chunks[i], true
}
