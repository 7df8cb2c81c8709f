package cli_test

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"driftline/internal/cli"
)

// atWork starts a command that serves and gives the address it prints first.
// The returned function stops it as Ctrl-C does and returns its error.
func atWork(t *testing.T, args ...string) (address string, stop func() error) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	out, in := io.Pipe()
	ended := make(chan error, 1)
	var errs bytes.Buffer
	go func() {
		err := program().Run(ctx, args, strings.NewReader(""), in, &errs)
		in.CloseWithError(io.EOF)
		ended <- err
	}()
	first, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		cancel()
		t.Fatalf("no first line: %v, %v\n%s", err, <-ended, errs.String())
	}
	return strings.TrimSuffix(first, "\n"), func() error {
		cancel()
		return <-ended
	}
}

func program() cli.Program {
	return cli.Program{Now: func() time.Time { return today }, Env: func(string) string { return "" }}
}

// command runs a command to its end.
func command(t *testing.T, args ...string) (out, errs string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	err := program().Run(t.Context(), args, strings.NewReader(""), &o, &e)
	cli.Explain(&e, err, cli.WantsJSON(args))
	return o.String(), e.String(), cli.ExitCode(err)
}

func get(t *testing.T, address string) (status int, body string) {
	t.Helper()
	answer, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text)
}

func TestServeMakesABookAndOpensIt(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	address, stop := atWork(t, "serve", "--book", dir, "--listen", "127.0.0.1:0")
	if !strings.HasPrefix(address, "http://127.0.0.1:") || !strings.HasSuffix(address, "/") {
		t.Errorf("the first line is %q", address)
	}
	if status, body := get(t, address); status != http.StatusOK || !strings.Contains(body, "<html") {
		t.Errorf("the first page answers %d:\n%s", status, body)
	}
	if err := stop(); err != nil {
		t.Errorf("stopped with %v", err)
	}
	if out, errs, code := command(t, "check", "--book", dir); code != 0 {
		t.Errorf("check after it: %d %s%s", code, out, errs)
	}
}

func TestTwoProcessesShareABook(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "bench")
	if _, errs, code := command(t, "init", "--book", dir, "--tank", "Harbour tank", "--volume", "420 L"); code != 0 {
		t.Fatal(errs)
	}
	address, stop := atWork(t, "serve", "--book", dir, "--listen", "127.0.0.1:0")
	defer stop()
	for _, args := range [][]string{
		{"log", "--book", dir, "harbour", "note", "glass cleaned"},
		{"drift", "--book", dir}, {"rounds", "--book", dir}, {"export", "--book", dir}, {"check", "--book", dir},
	} {
		if _, errs, code := command(t, args...); code != 0 {
			t.Errorf("%s beside a serving process: code %d, %s", args[0], code, errs)
		}
	}
	if status, body := get(t, address+"log"); status != http.StatusOK || !strings.Contains(body, "glass cleaned") {
		t.Errorf("the page of the log answers %d and must show the line of the other process", status)
	}
}

func TestDemoLeavesNothingBehind(t *testing.T) {
	temp := t.TempDir()
	t.Setenv("TMPDIR", temp)
	address, stop := atWork(t, "demo", "--listen", "127.0.0.1:0")
	if status, body := get(t, address); status != http.StatusOK || !strings.Contains(body, "made up") {
		t.Errorf("the first page answers %d and must say that the book is made up", status)
	}
	if err := stop(); err != nil {
		t.Errorf("stopped with %v", err)
	}
	left, err := os.ReadDir(temp)
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v %v", left, err)
	}
}

func TestDemoKeepsItsBookWhereTold(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "made-up")
	if out, errs, code := command(t, "demo", "--book", dir, "--write-only"); code != 0 {
		t.Fatalf("%d %s%s", code, out, errs)
	}
	_, stop := atWork(t, "demo", "--book", dir, "--listen", "127.0.0.1:0")
	if err := stop(); err != nil {
		t.Error(err)
	}
	out, errs, code := command(t, "rounds", "--book", dir)
	if code != 0 || !strings.Contains(out, "Rounds for Saturday 14 March 2026") {
		t.Errorf("%d %s%s", code, out, errs)
	}
}
