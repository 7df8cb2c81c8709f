package cli

import (
	"os"
	"path/filepath"
	"runtime"
)

// bookFlag is the flag of every command that works on a book.
type bookFlag struct {
	Book string `placeholder:"DIR" help:"Folder of the book. Without it $$DRIFTLINE_BOOK, else a folder for your user."`
}

// dir is the folder of the book that is meant.
func (b bookFlag) dir(j *job) (string, error) {
	if b.Book != "" {
		return b.Book, nil
	}
	if d := j.Env("DRIFTLINE_BOOK"); d != "" {
		return d, nil
	}
	base, err := dataHome(runtime.GOOS, j.Env)
	if err != nil {
		return "", err
	}
	return filepath.Join(base, "driftline"), nil
}

// dataHome is where programs keep a user's data on the named system.
func dataHome(system string, env func(string) string) (string, error) {
	home := env("HOME")
	switch system {
	case "windows":
		if d := env("LocalAppData"); d != "" {
			return d, nil
		}
	case "darwin":
		if home != "" {
			return filepath.Join(home, "Library", "Application Support"), nil
		}
	default: // XDG Base Directory Specification 0.8, section 3
		if d := env("XDG_DATA_HOME"); filepath.IsAbs(d) {
			return d, nil
		}
		if home != "" {
			return filepath.Join(home, ".local", "share"), nil
		}
	}
	return "", usage("name a folder with --book DIR", "there is no folder for your user's data on this machine")
}

// hasBook reports whether a book stands in the folder.
func hasBook(dir string) bool {
	_, err := os.Stat(filepath.Join(dir, "book.db"))
	return err == nil
}
