package service

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"

	"isthmus/assessment/qti"
	"isthmus/assessment/question"
	"isthmus/assessment/question/sheet"
	"isthmus/competency"
	"isthmus/policies"
)

// The formats questions are taken out in.
const (
	FormatQTI = "qti"
	FormatCSV = "csv"
)

// QuestionsRead is what a file of questions holds.
type QuestionsRead struct {
	Format string // QTI 3.0, CSV or YAML
	Items  []question.Item
	Notes  qti.Faults // what was not kept or filled in; of QTI alone
}

// ReadQuestions reads a file of questions in whatever format it is: a zip, XML, a table by its name or its column names, or else YAML. The
// error has every mistake with its place; items without one are given beside it.
func ReadQuestions(name string, data []byte) (QuestionsRead, error) {
	text := bytes.TrimLeft(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), " \t\r\n")
	first, _, _ := bytes.Cut(text, []byte("\n"))
	switch {
	case bytes.HasPrefix(data, []byte("PK")) || bytes.HasPrefix(text, []byte("<")):
		got, err := qti.Import(name, data)
		return QuestionsRead{"QTI 3.0", got.Items, got.Notes}, err
	case strings.EqualFold(filepath.Ext(name), ".csv") || bytes.ContainsAny(first, ",;") && bytes.Contains(first, []byte("stem")):
		items, err := sheet.Read(name, data)
		return QuestionsRead{"CSV", items, nil}, err
	}
	items, err := question.Decode(name, data)
	return QuestionsRead{"YAML", items, nil}, err
}

// QuestionsWritten is a file of questions.
type QuestionsWritten struct {
	Data  []byte
	Items int
	Said  []string // what was left out or changed, and why
}

// WriteQuestions is a file of questions in FormatQTI or FormatCSV. Those on the map fit neither and are left out.
func WriteQuestions(format string, items []question.Item) (QuestionsWritten, error) {
	if format == FormatCSV {
		table, err := sheet.Write(items)
		w := QuestionsWritten{Data: table.Data, Items: table.Items}
		for _, id := range table.LeftOut {
			w.Said = append(w.Said, string(id)+": left out: is answered on the atrial map")
		}
		return w, err
	}
	p, err := qti.Export(items)
	w := QuestionsWritten{Data: p.Data, Items: p.Items}
	for _, left := range p.LeftOut {
		w.Said = append(w.Said, string(left.Item)+": left out: "+left.Why)
	}
	for _, changed := range p.Changed {
		w.Said = append(w.Said, string(changed.Item)+": "+changed.Why)
	}
	return w, err
}

// QuestionsFile is the live questions of the programme, with their answers, as a file.
func (s *Service) QuestionsFile(ctx context.Context, actor Actor, programme competency.ProgrammeID, format string) (QuestionsWritten, error) {
	var file QuestionsWritten
	err := s.read(ctx, actor, programme, func(h *scene) error {
		if err := h.mayQuestion(policies.Export); err != nil {
			return err
		}
		live, err := h.liveQuestions()
		if err != nil {
			return err
		}
		file, err = WriteQuestions(format, live)
		return err
	})
	return file, err
}
