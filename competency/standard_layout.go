package competency

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"isthmus/assessment/strict"
)

// standardText is a standard's text with what stands on which line.
type standardText struct {
	lines    []string
	document *strict.Document
	says     Standard
	readable bool
}

func newStandardText(data []byte) standardText {
	t := standardText{lines: textLines(data)}
	var err error
	t.document, err = strict.YAML("", data, &t.says)
	top := t.document.Top()
	t.readable = err == nil && len(top) > 0 && top[len(top)-1] == "requirements" && len(t.says.Requirements) > 0
	return t
}

// with is the text when it says s; false when it is not laid out line below line.
func (t standardText) with(s Standard) ([]byte, bool) {
	if !t.readable || len(s.Requirements) == 0 {
		return nil, false
	}
	items, ok := t.starts(t.line("requirements"), len(t.says.Requirements), func(i int) string { return fmt.Sprintf("requirements[%d]", i) })
	if !ok {
		return nil, false
	}
	top := t.document.Top()
	keys, ok := t.starts(-1, len(top), func(i int) string { return top[i] })
	if !ok {
		return nil, false
	}
	var head []chunk
	for i, name := range top[:len(top)-1] {
		head = append(head, chunk{name, t.lines[keys[i]:keys[i+1]]})
	}
	var lines []string
	for _, c := range merged(head, chunksOf(headOf(t.says)), chunksOf(headOf(s))) {
		lines = append(lines, c.lines...)
	}
	lines = append(lines, t.lines[keys[len(top)-1]:items[0]]...)
	dash := strings.Index(t.lines[t.line("requirements[0]")], "-")
	for i, r := range s.Requirements {
		lines = append(lines, t.item(t.origin(i, s), r, items, max(dash, 0))...)
	}
	return []byte(strings.Join(lines, "\n") + "\n"), true
}

// line is the index of the line on which a field stands.
func (t standardText) line(field string) int {
	line, _ := t.document.Place(field)
	return line - 1
}

// starts are the lines at which n fields begin, comments above them included, and the end of the text; false when two share a line. above is
// the line that the comments of the first cannot reach.
func (t standardText) starts(above, n int, field func(int) string) ([]int, bool) {
	starts := make([]int, n, n+1)
	for i := range n {
		line, column := t.document.Place(field(i))
		start := line - 1
		if start <= above {
			return nil, false
		}
		for start-1 > above && isRemark(t.lines[start-1]) && indentOf(t.lines[start-1]) < column {
			start--
		}
		starts[i], above = start, line-1
	}
	return append(starts, len(t.lines)), true
}

// origin is the requirement of the text that one of the new ones comes from: the one of the same id, else the one in the same place if its id
// is gone. -1 for a new one.
func (t standardText) origin(i int, s Standard) int {
	same := func(id string) func(Requirement) bool { return func(r Requirement) bool { return r.ID == id } }
	if at := slices.IndexFunc(t.says.Requirements, same(s.Requirements[i].ID)); at >= 0 {
		return at
	}
	if i < len(t.says.Requirements) && !slices.ContainsFunc(s.Requirements, same(t.says.Requirements[i].ID)) {
		return i
	}
	return -1
}

// item writes a requirement in the manner of the one it comes from.
func (t standardText) item(from int, r Requirement, items []int, dash int) []string {
	now := chunksOf(r)
	if from < 0 {
		return itemLines(now, dash)
	}
	old, lines := t.says.Requirements[from], t.lines[items[from]:items[from+1]]
	if reflect.DeepEqual(old, r) {
		return lines
	}
	was, path := chunksOf(old), fmt.Sprintf("requirements[%d]", from)
	first, column := t.document.Place(path)
	above := first - 1 - items[from]
	known := slices.DeleteFunc(slices.Clone(was), func(c chunk) bool { return t.line(path+"."+c.name) < items[from] })
	slices.SortStableFunc(known, func(a, b chunk) int { return t.line(path+"."+a.name) - t.line(path+"."+b.name) })
	starts, ok := t.starts(first-2, len(known), func(i int) string { return path + "." + known[i].name })
	if !ok {
		return append(slices.Clone(lines[:above]), itemLines(now, dash)...)
	}
	starts[len(known)] = items[from+1]
	text := make([]chunk, len(known))
	for i, c := range known {
		text[i].name = c.name
		for j, line := range t.lines[starts[i]:starts[i+1]] {
			if i == 0 && j == 0 || indentOf(line) >= column {
				line = line[min(column-1, len(line)):]
			} else {
				line = strings.TrimLeft(line, " ")
			}
			text[i].lines = append(text[i].lines, line)
		}
	}
	return append(slices.Clone(lines[:above]), itemLines(merged(text, was, now), dash)...)
}

// textLines are the lines of a text.
func textLines(data []byte) []string {
	return strings.Split(strings.TrimRight(string(data), "\n"), "\n")
}

// isRemark reports whether a line holds nothing but a comment, or nothing.
func isRemark(line string) bool {
	trimmed := strings.TrimSpace(line)
	return trimmed == "" || strings.HasPrefix(trimmed, "#")
}

// indentOf counts the blanks a line begins with.
func indentOf(line string) int { return len(line) - len(strings.TrimLeft(line, " ")) }

// commentOf is the comment at the end of a line, without its sign. A sign inside quotes is none.
func commentOf(line string) string {
	quote := rune(0)
	for i, r := range line {
		switch {
		case quote != 0:
			if r == quote {
				quote = 0
			}
		case (r == '"' || r == '\'') && (i == 0 || strings.ContainsRune(" [{,:-", rune(line[i-1]))):
			quote = r
		case r == '#' && (i == 0 || line[i-1] == ' ' || line[i-1] == '\t'):
			return strings.TrimSpace(line[i+1:])
		}
	}
	return ""
}
