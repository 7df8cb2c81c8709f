package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"driftline/internal/book"
)

type exportCmd struct {
	bookFlag
	Format string `enum:"jsonl,csv" default:"jsonl" help:"jsonl for the whole book, csv for its readings."`
	To     string `placeholder:"FILE" help:"Write to this file rather than to standard output."`
}

func (c *exportCmd) Help() string {
	return `JSON Lines holds every line ever told, corrections and retractions included: importing it makes the same book again.
Pictures are files in the book's folder and are not part of the export.

Examples:

    driftline export --book bench --to bench.jsonl
    driftline export --book bench --format csv > readings.csv`
}

func (c *exportCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	s, err := j.openReading(dir)
	if err != nil {
		return err
	}
	defer s.Close()
	if c.To == "" {
		err = c.write(j, s, j.out)
	} else {
		err = writeFile(c.To, func(w io.Writer) error { return c.write(j, s, w) })
	}
	if ofBook(err) {
		return bookFault(dir, err)
	}
	return err
}

func (c *exportCmd) write(j *job, s book.Store, w io.Writer) error {
	buffered := bufio.NewWriter(w)
	write := book.ExportJSONL
	if c.Format == "csv" {
		write = book.ExportCSV
	}
	if err := write(j.ctx, s, buffered); err != nil {
		return err
	}
	return buffered.Flush()
}

// writeFile writes beside the file and renames, so that a failure leaves nothing
// half written.
func writeFile(name string, write func(io.Writer) error) error {
	f, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+"-*")
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", name, plainFile(err))
	}
	defer os.Remove(f.Name()) // gone already when the rename succeeded
	err = write(f)
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	if err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", name, plainFile(err))
	}
	return nil
}

// plainFile takes the system call and the path out of an error of a file, which
// the sentence around it names.
func plainFile(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
