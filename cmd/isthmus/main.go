// Command isthmus serves the program and gives its parts to the command line: one file per subcommand, configuration and wiring only.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/alecthomas/kong"
)

// Streams are what a command reads and writes.
type Streams struct {
	In       io.Reader
	Out, Err io.Writer
}

// commands is the whole command line.
type commands struct {
	Config

	Serve     ServeCmd     `cmd:"" help:"Serve the program on the configured database."`
	Demo      DemoCmd      `cmd:"" help:"Serve the main job on invented data; needs nothing but this command."`
	Migrate   MigrateCmd   `cmd:"" help:"Bring the database to this version of the program, or back."`
	Programme ProgrammeCmd `cmd:"" help:"Add and list training programmes."`
	User      UserCmd      `cmd:"" help:"Add and list accounts, reset a password."`
	Conduct   ConductCmd   `cmd:"" help:"Compute what a lesion set would block and what it would leave."`
	Grade     GradeCmd     `cmd:"" help:"Grade a plan against a scenario."`
	Check     CheckCmd     `cmd:"" help:"Find every mistake in scenario, policy and standard files."`
	Coverage  CoverageCmd  `cmd:"" help:"Show what the scenarios cover, and the holes."`
	Questions QuestionsCmd `cmd:"" help:"Take questions out as QTI 3.0 or CSV, and find the mistakes in files of them."`
	Audit     AuditCmd     `cmd:"" help:"Verify the audit trail."`
	Report    ReportCmd    `cmd:"" help:"Check a report against the record."`
	Standing  StandingCmd  `cmd:"" help:"Compute again the standings that decisions keep."`
	Version   VersionCmd   `cmd:"" help:"Print the version."`
}

const description = `Teaching the surgical treatment of atrial fibrillation: plans graded by what they would block, cases signed off,
standing against the programme's thresholds. For education. Not advice on a patient. Local policy and licensed practice decide.`

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Environ(), Streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr}))
}

// exit carries kong's wish to end the program (after --help) up to run, so that tests can run commands in this process.
type exit int

// run parses args and runs one command. It returns the exit code: 0 done, 1 the command failed, 2 the command line is wrong.
func run(ctx context.Context, args, environ []string, streams Streams) (code int) {
	defer func() {
		switch early := recover().(type) {
		case nil:
		case exit:
			code = int(early)
		default:
			panic(early) // a mistake of ours must not look like success
		}
	}()
	var cli commands
	parser, err := kong.New(&cli, kong.Name("isthmus"), kong.Description(description), kong.Writers(streams.Out, streams.Err),
		kong.Exit(func(code int) { panic(exit(code)) }), kong.ConfigureHelp(kong.HelpOptions{Compact: true}),
		kong.BindTo(ctx, (*context.Context)(nil)), kong.Bind(streams))
	if err != nil {
		panic(err) // the command line's own declaration is wrong: a mistake of ours
	}
	if unknown := unknownKeys(parser.Model, environ); unknown != nil {
		fmt.Fprintln(streams.Err, "isthmus:", unknown)
		return 2
	}
	if err := secretsOnLine(args); err != nil {
		fmt.Fprintln(streams.Err, "isthmus:", err)
		return 2
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	parsed, err := parser.Parse(args)
	if err != nil {
		fmt.Fprintf(streams.Err, "isthmus: %v\nisthmus --help lists the commands; isthmus COMMAND --help explains one\n", err)
		return 2
	}
	if err := parsed.Run(&cli.Config); err != nil {
		if !errors.Is(err, errSaid) {
			fmt.Fprintln(streams.Err, "isthmus:", err)
		}
		return 1
	}
	return 0
}

// errSaid ends a command with exit code 1 after it has itself said what is wrong.
var errSaid = errors.New("already said")
