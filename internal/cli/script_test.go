package cli_test

import (
	"context"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"driftline/internal/cli"
)

// today is the moment at which every script happens.
var today = time.Date(2026, 3, 14, 8, 0, 0, 0, time.UTC)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"driftline": func() { os.Exit(driftline()) },
	})
}

// driftline is the program with its clock held.
func driftline() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	p := cli.Program{Now: func() time.Time { return today }, Env: os.Getenv}
	args := os.Args[1:]
	err := p.Run(ctx, args, os.Stdin, os.Stdout, os.Stderr)
	cli.Explain(os.Stderr, err, cli.WantsJSON(args))
	return cli.ExitCode(err)
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		UpdateScripts:       os.Getenv("UPDATE_SCRIPTS") != "",
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"exits": exits, "truncate": truncate},
		Condition: func(name string) (bool, error) {
			return name == "root" && os.Geteuid() == 0, nil
		},
		Setup: func(e *testscript.Env) error {
			e.Setenv("DRIFTLINE_BOOK", "")
			e.Setenv("XDG_DATA_HOME", "")
			e.Setenv("COLUMNS", "96")
			return nil
		},
	})
}

// exits runs a command and wants this exit code: "exits 3 driftline import …".
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND...")
	}
	err := ts.Exec(args[1], args[2:]...)
	code := "0"
	if err != nil {
		code = strings.TrimPrefix(err.Error(), "exit status ")
	}
	if code != args[0] {
		ts.Fatalf("%s exits with %s, want %s", strings.Join(args[1:], " "), code, args[0])
	}
}

// truncate cuts a file to half its size.
func truncate(ts *testscript.TestScript, _ bool, args []string) {
	file := ts.MkAbs(args[0])
	info, err := os.Stat(file)
	ts.Check(err)
	ts.Check(os.Truncate(file, info.Size()/2))
}
