package main

import (
	"fmt"
	"io"
	"os"

	"isthmus/api/service"
	"isthmus/assessment/qti"
	"isthmus/assessment/question"
	"isthmus/assessment/question/sheet"
)

// QuestionsCmd takes questions out and finds the mistakes in files of them; no server, no database.
type QuestionsCmd struct {
	Export   QuestionsExportCmd   `cmd:"" help:"Write questions as a QTI 3.0 package or as CSV."`
	Check    QuestionsCheckCmd    `cmd:"" help:"Find every mistake in files of questions."`
	Template QuestionsTemplateCmd `cmd:"" help:"Print an empty table of questions as CSV, with an example of each kind."`
}

// QuestionsExportCmd writes questions for other programs.
type QuestionsExportCmd struct {
	File   string `arg:"" help:"File to write, or - for standard output."`
	Format string `enum:"qti,csv" required:"" help:"qti or csv."`
	From   string `placeholder:"FILE" help:"Write the questions of this file (YAML, QTI 3.0 or CSV) instead of the starter bank."`
}

// Help shows examples.
func (QuestionsExportCmd) Help() string {
	return `Questions on the atrial map fit neither format: they are left out, and named on standard error. The answers are in the file: keep it
from those who are to be examined.

Examples:
  isthmus questions export --format qti questions.zip
  isthmus questions export --format csv --from our-bank.yaml questions.csv`
}

// Run writes the file; what is left out is said on standard error and is no error.
func (c QuestionsExportCmd) Run(streams Streams) error {
	items := question.Starter().Items()
	if c.From != "" {
		data, err := readQuestions(streams, c.From)
		if err != nil {
			return err
		}
		read, err := service.ReadQuestions(c.From, data)
		if err != nil {
			fmt.Fprintln(streams.Err, err)
			return errSaid
		}
		items = read.Items
	}
	file, err := service.WriteQuestions(c.Format, items)
	if err != nil {
		return err
	}
	for _, line := range file.Said {
		fmt.Fprintln(streams.Err, line)
	}
	fmt.Fprintf(streams.Err, "%s written\n", counted(file.Items))
	if c.File == "-" {
		_, err = streams.Out.Write(file.Data)
		return err
	}
	return os.WriteFile(c.File, file.Data, 0o600)
}

// QuestionsCheckCmd finds the mistakes in files of questions.
type QuestionsCheckCmd struct {
	Files []string `arg:"" help:"Files: a QTI 3.0 package or item, CSV, YAML; - for standard input."`
}

// Help shows examples.
func (QuestionsCheckCmd) Help() string {
	return `Tells what a file is by what is in it, prints every mistake with its place and ends with 1 when there is any: file, line, column and
element of QTI; row and column of CSV; line and field of YAML. What a file does not give and would be filled in is told as a note.

Examples:
  isthmus questions check questions.zip
  isthmus questions check our-bank.yaml more.csv`
}

// Run checks every file and goes on after a mistake, so that one run shows all of them.
func (c QuestionsCheckCmd) Run(streams Streams) error {
	var failed error
	for _, name := range c.Files {
		data, err := readQuestions(streams, name)
		if err != nil {
			fmt.Fprintf(streams.Out, "%v\n", err)
			failed = errSaid
			continue
		}
		read, err := service.ReadQuestions(name, data)
		for _, file := range read.Notes {
			for _, note := range file.List {
				fmt.Fprintf(streams.Out, "note: %s\n", note.In(file.File))
			}
		}
		if err != nil {
			fmt.Fprintln(streams.Out, err)
			failed = errSaid
			continue
		}
		if _, err := fmt.Fprintf(streams.Out, "%s: %s, %s, no mistakes\n", name, read.Format, counted(len(read.Items))); err != nil {
			return err
		}
	}
	return failed
}

// QuestionsTemplateCmd prints the table to write questions in.
type QuestionsTemplateCmd struct{}

// Help shows an example.
func (QuestionsTemplateCmd) Help() string {
	return `Write over the examples in a spreadsheet and save as CSV UTF-8; isthmus questions check says what is still wrong.

Examples:
  isthmus questions template > questions.csv`
}

// Run prints it.
func (QuestionsTemplateCmd) Run(streams Streams) error {
	data, err := sheet.Template()
	if err != nil {
		return err
	}
	_, err = streams.Out.Write(data)
	return err
}

// readQuestions reads a file as large as a package may be.
func readQuestions(streams Streams, name string) ([]byte, error) {
	in := streams.In
	if name != "-" {
		file, err := os.Open(name)
		if err != nil {
			return nil, err
		}
		defer file.Close()
		in = file
	}
	data, err := io.ReadAll(io.LimitReader(in, qti.MaxBytes+1))
	if err == nil && len(data) > qti.MaxBytes {
		return nil, fmt.Errorf("%s: larger than %d MB", name, qti.MaxBytes>>20)
	}
	return data, err
}

// counted says how many questions.
func counted(n int) string {
	if n == 1 {
		return "1 question"
	}
	return fmt.Sprintf("%d questions", n)
}
