package cli

import (
	"fmt"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

type initCmd struct {
	bookFlag
	Tank     string `placeholder:"NAME" help:"Declare a first tank of this name."`
	Volume   string `placeholder:"'400 L'" help:"Its net volume of water, with the unit (L, US gal, imp gal)."`
	System   string `placeholder:"KIND" default:"mixed" help:"What lives in it: soft coral, mixed, large-polyp stony, small-polyp stony, fish only, quarantine. The default bands go by it."`
	TimeZone string `placeholder:"ZONE" help:"Where it stands, such as Europe/Lisbon. Without it, the zone of this machine."`
}

func (c *initCmd) Help() string {
	return `The book is a folder with one database and the pictures. An existing book is never touched.

Example:

    driftline init --book bench --tank "Harbour tank" --volume "420 L" --system "soft coral" --time-zone Europe/Lisbon`
}

func (c *initCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	first, err := c.firstLines(j.Now())
	if err != nil {
		return err
	}
	if hasBook(dir) {
		return badBook("driftline log, import and serve write to it", "there is a book in %s already", dir)
	}
	s, _, err := j.openOrCreate(dir)
	if err != nil {
		return err
	}
	defer s.Close()
	if _, err := s.Append(j.ctx, first); err != nil {
		return bookFault(dir, err)
	}
	fmt.Fprintf(j.out, "An empty book now stands in %s.\n", dir)
	if c.Tank != "" {
		fmt.Fprintf(j.out, "%s is declared: %s, %s.\n", c.Tank, c.System, c.Volume)
	}
	return nil
}

// firstLines declares the tank, if one is named.
func (c *initCmd) firstLines(now time.Time) ([]book.Line, error) {
	if c.Tank == "" {
		if c.Volume != "" {
			return nil, usage("add --tank NAME", "--volume belongs to a tank, and none is named")
		}
		return nil, nil
	}
	value, unit, err := c.volume()
	if err != nil {
		return nil, err
	}
	body := &book.Tank{Name: c.Tank, System: c.System, NetVolume: value, Unit: unit, TimeZone: c.TimeZone}
	if body.TimeZone == "" && now.Location().String() != "Local" {
		body.TimeZone = now.Location().String()
	}
	line := book.Line{ID: book.NewID(now), Kind: book.KindTank, At: now, Body: body}
	if err := book.ValidateAt(line, now); err != nil {
		return nil, refused("", "%w", err)
	}
	return []book.Line{line}, nil
}

func (c *initCmd) volume() (book.Number, string, error) {
	value, unit, ok := strings.Cut(strings.TrimSpace(c.Volume), " ")
	if !ok {
		return "", "", usage(`write it as --volume "420 L"`, "--volume %q has no unit, or is missing", c.Volume)
	}
	unit, err := units.ParseVolumeUnit(strings.TrimSpace(unit))
	if err != nil {
		return "", "", usage("", "--volume: %w", err)
	}
	return book.Number(strings.Replace(value, ",", ".", 1)), unit, nil
}
