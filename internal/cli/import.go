package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"driftline/internal/book"
	"driftline/internal/book/sqlite"
)

type importCmd struct {
	bookFlag
	File   string `arg:"" help:"File to read, or - for standard input."`
	Format string `enum:"auto,jsonl,csv" default:"auto" help:"jsonl, csv, or auto: by how the file begins."`
	Strict bool   `help:"Take nothing in when any line is refused."`
	JSON   bool   `help:"Print the report as JSON."`
}

func (c *importCmd) Help() string {
	return `A book that does not exist is made. A line that is in the book already is skipped, so the same file may be imported twice.
A line that cannot be right is refused with its number, the field and the reason; the others go in, and the exit code is 3.

CSV holds readings under the header time,tank,quantity,value,unit and optionally instrument,note. Semicolons and decimal
commas are understood where they can mean one thing only.

Examples:

    driftline import --book bench harbour.jsonl
    driftline import --book bench --strict readings.csv
    driftline export --book old | driftline import --book new -`
}

func (c *importCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	in, closeIn, err := c.source(j)
	if err != nil {
		return err
	}
	defer closeIn()
	s, created, err := j.openOrCreate(dir)
	if err != nil {
		return err
	}
	defer s.Close()
	report, err := c.take(j, in, s)
	if err != nil {
		return c.broken(dir, report, err)
	}
	return c.tell(j, dir, created, report)
}

// broken says what came of an import that could not go on. A batch that was
// being stored is not in; those before it are.
func (c *importCmd) broken(dir string, r book.Report, err error) error {
	before := countOf(r.Added, "line was", "lines were") + " taken in before"
	const again = "import the file again when that is mended; what is in already is skipped"
	if errors.Is(err, sqlite.ErrFull) {
		return &fault{codeFailed, again, fmt.Errorf("import of %s: the disk is full; %s", c.File, before)}
	}
	if ofBook(err) {
		return bookFault(dir, fmt.Errorf("%w; %s", err, before))
	}
	if errors.Is(err, context.Canceled) {
		return &fault{codeFailed, again, fmt.Errorf("import of %s was stopped; %s", c.File, before)}
	}
	return &fault{codeFailed, again, fmt.Errorf("import of %s: %w; %s", c.File, plainFile(err), before)}
}

// source opens what is to be read.
func (c *importCmd) source(j *job) (io.Reader, func() error, error) {
	if c.File == "-" {
		return j.in, func() error { return nil }, nil
	}
	f, err := os.Open(c.File)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, usage("", "there is no file %s", c.File)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("%s cannot be read: %w", c.File, plainFile(err))
	}
	return f, f.Close, nil
}

func (c *importCmd) take(j *job, in io.Reader, s book.Store) (book.Report, error) {
	opt := book.ImportOptions{Strict: c.Strict, Now: j.Now()}
	switch c.Format {
	case "csv":
		return book.ImportCSV(j.ctx, in, s, opt)
	case "jsonl":
		return book.ImportJSONL(j.ctx, in, s, opt)
	}
	return book.Import(j.ctx, c.File, in, s, opt)
}

func (c *importCmd) tell(j *job, dir string, created bool, r book.Report) error {
	if c.JSON {
		if err := printJSON(j.out, reportJSON(r)); err != nil {
			return err
		}
	} else {
		c.tellInWords(j, dir, created, r)
	}
	count := len(r.Refused) + r.Unlisted
	if count == 0 {
		return nil
	}
	if c.Strict {
		return refused("mend the lines named above, or leave out --strict to take the good ones",
			"%s; nothing was taken in", countOf(count, "line was refused", "lines were refused"))
	}
	return refused("mend the lines named above and import the file again; what is in already is skipped",
		"%s", countOf(count, "line was refused", "lines were refused"))
}

func (c *importCmd) tellInWords(j *job, dir string, created bool, r book.Report) {
	if created {
		fmt.Fprintf(j.out, "A new book now stands in %s.\n", dir)
	}
	for _, x := range r.Refused {
		fmt.Fprintf(j.errs, "line %d: %s\n", x.Line, x.Reason)
	}
	if r.Unlisted > 0 {
		fmt.Fprintf(j.errs, "and %s more\n", grouped(r.Unlisted))
	}
	fmt.Fprintf(j.out, "%s taken in, %s already there, %s refused.\n",
		countOf(r.Added, "line", "lines"), grouped(r.Skipped), grouped(len(r.Refused)+r.Unlisted))
	if r.Later > 0 {
		fmt.Fprintf(j.out, "%s ahead of now and will count from then on.\n", countOf(r.Later, "line lies", "lines lie"))
	}
}

func reportJSON(r book.Report) any {
	type refusal struct {
		Line   int    `json:"line"`
		Field  string `json:"field"`
		Reason string `json:"reason"`
	}
	list := []refusal{}
	for _, x := range r.Refused {
		list = append(list, refusal{x.Line, x.Field, x.Reason})
	}
	return struct {
		Added   int       `json:"added"`
		Skipped int       `json:"skipped"`
		Refused []refusal `json:"refused"`
		More    int       `json:"refused_beyond_list"`
	}{r.Added, r.Skipped, list, r.Unlisted}
}
