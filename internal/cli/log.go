package cli

import (
	"errors"
	"fmt"
	"math"

	"driftline/internal/book"
	"driftline/internal/cli/quickline"
	"driftline/internal/standing"
	"driftline/units"
)

type logCmd struct {
	bookFlag
	Words  []string `arg:"" help:"The line, beginning with the tank's name or the start of it."`
	At     string   `placeholder:"MOMENT" help:"When it happened: 08:30, yesterday, 2026-03-14 08:30, or with an offset. Without it, now."`
	By     string   `placeholder:"NAME" help:"Who did it."`
	DryRun bool     `help:"Say what would be written, and write nothing."`
	JSON   bool     `help:"Print the line and what was expected as JSON."`
}

func (c *logCmd) Help() string {
	return `What a line may say:

` + "    " + indent(quickline.Grammar) + `

Any of them may end with: note TEXT. The tank may be left out when the book has one. The unit of a reading may be left out
when the quantity was read before, and the kit when only one is declared for it. Decimal commas are understood.

Examples:

    driftline log "Harbour tank" alkalinity 7.8 dKH kit "drop kit"
    driftline log harbour dose 40 g magnesium chloride hexahydrate
    driftline log harbour change 60 L mix "reef salt" --at yesterday
    driftline log harbour nitrate "<0.2" note "cells cleaned"`
}

func (c *logCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	open := j.openWriting
	if c.DryRun {
		open = j.openReading
	}
	s, err := open(dir)
	if err != nil {
		return err
	}
	defer s.Close()
	journal, err := j.journal(dir, s)
	if err != nil {
		return err
	}
	entry, err := c.read(j, journal)
	if err != nil {
		return err
	}
	word := expectation(journal.Facts(entry.Line.At), entry.Line)
	if !c.DryRun {
		if err := store(j, dir, journal, entry.Line); err != nil {
			return err
		}
	}
	return c.tell(j, entry, word, standing.Unaccounted(journal.Facts(entry.Line.At), entry.Line))
}

// read understands the words and checks the line as an import would. The zone of
// a moment is the tank's, which is known only once the words are read: hence twice.
func (c *logCmd) read(j *job, journal *book.Journal) (quickline.Entry, error) {
	const hint = "driftline log --help shows how to say it"
	var none quickline.Entry
	latest := journal.Facts(farFuture)
	entry, err := quickline.Parse(c.Words, latest, j.Now())
	if err != nil {
		return none, refused(hint, "%w", err)
	}
	at, err := j.moment("--at", c.At, zoneOf(latest, entry.Line.Tank))
	if err != nil {
		return none, err
	}
	if entry, err = quickline.Parse(c.Words, journal.Facts(at), at); err != nil {
		return none, refused(hint, "%w", err)
	}
	entry.Line.ID, entry.Line.By = book.NewID(j.Now()), c.By
	if err := book.ValidateAt(entry.Line, j.Now()); err != nil {
		return none, refused("", "%w", err)
	}
	return entry, nil
}

func store(j *job, dir string, journal *book.Journal, line book.Line) error {
	err := journal.Append(j.ctx, line)
	var f *book.Fault
	if errors.As(err, &f) {
		return refused("", "%w", err)
	}
	if err != nil {
		return bookFault(dir, err)
	}
	return nil
}

// tell says what was understood; the remark is what of it cannot be counted.
func (c *logCmd) tell(j *job, e quickline.Entry, w *expected, remark string) error {
	if c.JSON {
		return printJSON(j.out, struct {
			Stored   bool      `json:"stored"`
			Said     string    `json:"said"`
			Line     book.Line `json:"line"`
			Expected *expected `json:"expected,omitempty"`
			Remark   string    `json:"remark,omitempty"`
		}{!c.DryRun, e.Said, e.Line, w, remark})
	}
	if c.DryRun {
		fmt.Fprintln(j.out, "Not written, but understood:")
	}
	fmt.Fprintln(j.out, e.Said)
	if w != nil {
		fmt.Fprintln(j.out, w.Sentence)
	}
	if remark != "" {
		fmt.Fprintln(j.out, remark)
	}
	return nil
}

// expected is what the rest of the log led one to expect of a reading.
type expected struct {
	Mean     float64 `json:"mean"`
	SD       float64 `json:"sd"`
	Unit     string  `json:"unit"`
	FarOff   bool    `json:"far_off"`
	Sentence string  `json:"sentence"`
}

// expectation compares a reading with what was expected; nil for other lines and
// where nothing can be expected yet.
func expectation(f *book.Facts, line book.Line) *expected {
	r, ok := line.Body.(*book.Reading)
	if !ok {
		return nil
	}
	standingNow, err := standing.NewDesk().Quantity(f, line.Tank, r.Quantity, line.At, 1)
	if err != nil || len(standingNow.Readings) == 0 {
		return nil
	}
	e := standing.Expect(standingNow, line.At)
	q := units.Quantity(standingNow.Name)
	value, err := standing.ReadingIn(q, r, standingNow.Unit)
	if err != nil || !(e.SD > 0) {
		return nil
	}
	out := &expected{Mean: e.Mean, SD: e.SD, Unit: standingNow.Unit}
	out.say(q, off(r, value, e))
	return out
}

// off is how many standard deviations the reading lies from what was expected. A
// reading under the kit's limit is off only by what was expected above the limit.
func off(r *book.Reading, value float64, e standing.Estimate) float64 {
	z := (value - e.Mean) / e.SD
	if r.Below && z > 0 {
		return 0
	}
	return z
}

func (x *expected) say(q units.Quantity, z float64) {
	was := units.FormatPM(q, x.Mean, x.SD, x.Unit)
	side := "higher"
	if z < 0 {
		side = "lower"
	}
	switch {
	case math.Abs(z) > 3:
		x.FarOff = true
		x.Sentence = fmt.Sprintf("Expected %s: this is far %s. Test again before acting on it.", was, side)
	case math.Abs(z) > 2:
		x.Sentence = fmt.Sprintf("Expected %s: this is somewhat %s.", was, side)
	default:
		x.Sentence = fmt.Sprintf("Expected %s: this fits.", was)
	}
}
