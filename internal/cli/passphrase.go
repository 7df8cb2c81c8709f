package cli

import (
	"bufio"
	"crypto/rand"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"driftline/internal/web/gate"
)

type passphraseCmd struct {
	bookFlag
}

func (c *passphraseCmd) Help() string {
	return `Asks for the passphrase twice without showing it, or reads its first line from standard input when that is not a terminal.
Only a salted hash (argon2id) is kept, in the book's folder. A running serve takes it up when it is started anew.

Examples:

    driftline passphrase --book bench
    driftline passphrase --book bench < passphrase.txt`
}

func (c *passphraseCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	if !hasBook(dir) {
		return badBook("driftline init --book DIR makes one", "there is no book in %s", dir)
	}
	phrase, err := j.askPassphrase()
	if err != nil {
		return err
	}
	hash, err := gate.Hash(phrase, rand.Reader)
	if err != nil {
		return refused("a few words in a row are easy to keep in mind", "%w", err)
	}
	if err := gate.WriteHash(dir, hash); err != nil {
		return err
	}
	fmt.Fprintf(j.out, "The passphrase of the book in %s is set.\n", dir)
	return nil
}

// askPassphrase asks a person, or reads the first line of what is piped in.
func (j *job) askPassphrase() (string, error) {
	f, ok := j.in.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		line, err := bufio.NewReader(io.LimitReader(j.in, 4096)).ReadString('\n')
		if err != nil && err != io.EOF {
			return "", fmt.Errorf("the passphrase cannot be read: %w", err)
		}
		return strings.TrimRight(line, "\r\n"), nil
	}
	first, err := j.prompt(f, "Passphrase: ")
	if err != nil {
		return "", err
	}
	again, err := j.prompt(f, "The same again: ")
	if err != nil {
		return "", err
	}
	if first != again {
		return "", refused("", "the two passphrases differ; nothing was changed")
	}
	return first, nil
}

func (j *job) prompt(f *os.File, words string) (string, error) {
	fmt.Fprint(j.errs, words)
	typed, err := term.ReadPassword(int(f.Fd()))
	fmt.Fprintln(j.errs)
	if err != nil {
		return "", fmt.Errorf("the passphrase cannot be read: %w", err)
	}
	return string(typed), nil
}
