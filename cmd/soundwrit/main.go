// Command soundwrit turns the job description of an ultrasonic examiner into
// the written technique of a weld: it checks the job, computes what follows
// from it and writes the document.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"

	"github.com/alecthomas/kong"

	"soundwrit/internal/diag"
)

// version is the program's own, printed by --version and in the document.
const version = "0.1.0"

// verbs is the command line. Each verb stands in a file of its own.
type verbs struct {
	New       newVerb       `cmd:"" help:"Write a starter job, with a comment at every choice."`
	Check     checkVerb     `cmd:"" help:"Check a job: every problem of one run, with its place and what would put it right."`
	Write     writeVerb     `cmd:"" help:"Write the technique: Markdown, PDF and figures."`
	Explain   explainVerb   `cmd:"" help:"Show where a number comes from: formula, inputs, source."`
	Compare   compareVerb   `cmd:"" help:"Compare two revisions of a job: what changed, what follows, and whether it must be qualified again."`
	Approve   approveVerb   `cmd:"" help:"Record an approval of a job, signed or not, in a lock beside it."`
	Verify    verifyVerb    `cmd:"" help:"Say whether documents at hand are the approved ones."`
	Tune      tuneVerb      `cmd:"" help:"Propose values that meet every rule, with what each limit costs; --apply writes them into the job."`
	Sheets    sheetsVerb    `cmd:"" help:"Apply one master job to a list of welds: a technique for each group that one covers, and an index."`
	Rules     rulesVerb     `cmd:"" help:"List the rule books, or explain one rule."`
	Templates templatesVerb `cmd:"" help:"Write the built-in templates of the document, to be changed for a house."`
	Schema    schemaVerb    `cmd:"" help:"Print the JSON Schema of a job file, for an editor."`
	Version   versionFlag   `help:"Print the version." short:"V"`
}

type versionFlag bool

// BeforeReset prints the version as soon as the flag is met.
func (versionFlag) BeforeReset(app *kong.Kong) error {
	fmt.Fprintln(app.Stdout, "soundwrit", version)
	app.Exit(clean)
	return nil
}

// Exit codes, a promise to scripts.
const (
	clean    = 0 // nothing stands in the way
	unmet    = 1 // requirements are not met; a document is still written, marked DRAFT
	unusable = 2 // the job or the command line cannot be used; nothing was written
	unsaved  = 3 // the output could not be written
	fault    = 4 // the program itself is wrong
)

func main() {
	// A run is short and holds little at a time, some 12 MB: collecting garbage
	// seldom is a good part of its time. The limit keeps the whole process below
	// 50 MB all the same; what holds more collects more often, and is slower.
	debug.SetGCPercent(400)
	debug.SetMemoryLimit(32 << 20)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// run is main without the process around it, so that tests can call it.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) (code int) {
	defer func() {
		if p := recover(); p != nil {
			if stop, ok := p.(exitNow); ok {
				code = int(stop)
				return
			}
			fmt.Fprintf(stderr, "soundwrit: a fault of the program, not of the job: %v\n"+
				"    do        report it with the job file; set SOUNDWRIT_TRACE=1 to see where it happened\n", p)
			if os.Getenv("SOUNDWRIT_TRACE") != "" {
				fmt.Fprintf(stderr, "%s", debug.Stack())
			}
			code = fault
		}
	}()
	var v verbs
	parser, err := kong.New(&v,
		kong.Name("soundwrit"),
		kong.Description("Soundwrit turns an examiner's job file into the written ultrasonic technique of a weld."),
		kong.Writers(stdout, stderr),
		kong.Exit(func(c int) { panic(exitNow(c)) }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100}),
	)
	if err != nil {
		panic(err)
	}
	context, err := parser.Parse(args)
	if err != nil {
		return report(misuse(err, args), stderr)
	}
	err = context.Run(&streams{stdin, stdout, stderr})
	return report(err, stderr)
}

type exitNow int

// streams is what a verb reads and writes. Standard output carries what was
// asked for and nothing else; everything said about it goes to standard error.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// An outcome ends a verb with an exit code after everything was said.
type outcome int

// Error is needed to travel as an error; nobody reads it.
func (o outcome) Error() string { return fmt.Sprint("exit code ", int(o)) }

// report says what went wrong and chooses the exit code.
func report(err error, stderr io.Writer) int {
	var code outcome
	var save *saveError
	var refused *refusal
	switch {
	case err == nil:
		return clean
	case errors.As(err, &code):
		return int(code)
	case errors.As(err, &refused):
		fmt.Fprintf(stderr, "soundwrit: %s\n    do        %s\n", refused.what, refused.do)
		return unusable
	case errors.As(err, &save):
		fmt.Fprintf(stderr, "soundwrit: %s\n    do        %s\n", save.what(), save.do())
		return unsaved
	}
	fmt.Fprintf(stderr, "soundwrit: a fault of the program, not of the job: %v\n"+
		"    do        report it with the job file\n", err)
	return fault
}

// A refusal is input that cannot be used at all, with what to do about it.
type refusal struct{ what, do string }

// Error returns the sentence.
func (r *refusal) Error() string { return r.what }

// show writes findings to standard error, the one place where they are printed
// for people. Colour only on a terminal, and not against NO_COLOR.
func (s *streams) show(findings []diag.Finding, after string) {
	file, _ := s.err.(*os.File)
	diag.Text(s.err, findings, diag.Options{Colour: onTerminal(file), After: after})
}

func onTerminal(f *os.File) bool {
	if f == nil || os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb" {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
