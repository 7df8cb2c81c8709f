package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// The exit codes. They are part of the public face and never change meaning.
const (
	codeFine    = 0 // done
	codeFailed  = 1 // something outside the command line went wrong: disk, network, clock
	codeUsage   = 2 // the command line was not understood
	codeRefused = 3 // some or all of the lines offered were refused
	codeBook    = 4 // the book is missing, damaged, or in use by another process
)

// exitCodes is the table shown by the help.
const exitCodes = `Exit codes: 0 done; 1 failed; 2 wrong usage; 3 some lines were refused;
4 the book is missing, damaged or in use by another process.`

// fault is an error with its exit code and what the person can do about it.
type fault struct {
	code int
	hint string
	err  error
}

func (f *fault) Error() string { return f.err.Error() }
func (f *fault) Unwrap() error { return f.err }

func usage(hint, format string, args ...any) error {
	return &fault{codeUsage, hint, fmt.Errorf(format, args...)}
}

func refused(hint, format string, args ...any) error {
	return &fault{codeRefused, hint, fmt.Errorf(format, args...)}
}

func badBook(hint, format string, args ...any) error {
	return &fault{codeBook, hint, fmt.Errorf(format, args...)}
}

// ExitCode maps what a command returned to the code of the process.
func ExitCode(err error) int {
	var f *fault
	switch {
	case err == nil:
		return codeFine
	case errors.As(err, &f):
		return f.code
	default:
		return codeFailed
	}
}

// WantsJSON reports whether the command line asks for JSON, so that even a
// command line that is not understood fails in JSON.
func WantsJSON(args []string) bool {
	end := slices.Index(args, "--")
	if end < 0 {
		end = len(args)
	}
	return slices.Contains(args[:end], "--json")
}

// Explain prints the error for a person in one line and a hint in another, or
// as one JSON object on one line.
func Explain(w io.Writer, err error, asJSON bool) {
	if err == nil {
		return
	}
	message, hint := sentence(err), ""
	var f *fault
	if errors.As(err, &f) {
		hint = f.hint
	}
	if asJSON {
		explainJSON(w, message, hint, ExitCode(err))
		return
	}
	fmt.Fprintf(w, "driftline: %s\n", message)
	if hint != "" {
		fmt.Fprintf(w, "hint: %s\n", hint)
	}
}

func explainJSON(w io.Writer, message, hint string, code int) {
	out := struct {
		Error string `json:"error"`
		Hint  string `json:"hint,omitempty"`
		Exit  int    `json:"exit"`
	}{message, hint, code}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(out) // standard error is the last place to complain to
}

// sentence keeps a message to one line, whatever it quotes.
func sentence(err error) string {
	var f *fault
	if errors.Is(err, context.Canceled) && !errors.As(err, &f) {
		return "stopped before it was done"
	}
	return strings.Join(strings.Fields(err.Error()), " ")
}
