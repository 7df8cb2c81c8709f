package cli

import (
	"fmt"
	"strings"

	"driftline/internal/book"
	"driftline/internal/makeup"
	"driftline/internal/prose"
	"driftline/internal/substance"
	"driftline/internal/supply"
	"driftline/units"
)

type mixCmd struct {
	Volume      string   `required:"" placeholder:"VOLUME" help:"How much to mix: 100L, 25 US gal."`
	Salinity    string   `default:"35" placeholder:"VALUE" help:"Salinity wanted: 35, \"1.0264 SG 25/25\"."`
	Temperature string   `default:"25C" placeholder:"VALUE" help:"Temperature of the finished water."`
	Have        string   `placeholder:"LIST" help:"What the water has at that salinity, tested in it or by the salt's label. What is left out has the natural ratio."`
	Bin         string   `enum:",mixed,empty" default:"" placeholder:"mixed|empty" help:"mixed: the salt is in and --have was measured in the water. empty: the salt is still to be weighed, and less is taken by what the supplements bring. Without it, mixed where --have says something, else empty."`
	Want        string   `placeholder:"LIST" help:"The aims, such as \"magnesium=1400mg/L,alkalinity=8.5dKH\"."`
	With        []string `placeholder:"SUBSTANCE,…" help:"Supplements to use; without it, the usual ones. A book's own are known with --book."`
	Salt        string   `placeholder:"NAME" help:"Name of the salt."`
	SaltPerL    float64  `name:"salt-per-litre" placeholder:"GRAMS" help:"Grams of the salt in a litre for 35, by its label."`
	Book        string   `placeholder:"DIR" help:"A book whose own substances may be named, and whose tank is changed with --tank."`
	mixChange
	JSON bool `help:"Print the result as JSON."`
}

func (c *mixCmd) Help() string {
	return `A recipe for new salt water: grams of salt, of each supplement, the order and the waiting, and what the water then holds.
With --tank also what a change with it does to that tank: at once, how many changes reach a target, where a routine of them settles, and
how warm and how salt the new water must be.

Examples:

    driftline mix --volume 100L --salinity 35
    driftline mix --volume 100L --salinity 35 --have "magnesium=1180mg/L,calcium=395mg/L,alkalinity=7.1dKH" \
        --want "magnesium=1400mg/L,calcium=430mg/L,alkalinity=8.5dKH" --json
    driftline mix --volume 40L --book bench --tank "Harbour tank" --change 40L --every 7`
}

func (c *mixCmd) Run(j *job) error {
	ask, err := c.ask()
	if err != nil {
		return err
	}
	facts, err := c.facts(j)
	if err != nil {
		return err
	}
	find := func(name string) (substance.Substance, error) { return substance.Find(facts, name, j.Now()) }
	batch, err := makeup.Mix(ask, find)
	if err != nil {
		return usage("", "%v", err)
	}
	change, err := c.follow(j, c.Book, batch)
	if err != nil {
		return err
	}
	shelf, err := c.onShelf(facts, batch)
	if err != nil {
		return err
	}
	if c.JSON {
		batch.Additions, batch.Warnings, batch.Cautions = orEmpty(batch.Additions), orEmpty(batch.Warnings), orEmpty(batch.Cautions)
		return printJSON(j.out, mixed{batch, change, shelf})
	}
	if err := c.print(j, batch, shelf); err != nil || change == nil {
		return err
	}
	return printChange(j, change)
}

func (c *mixCmd) ask() (a makeup.Ask, err error) {
	litres, err := parseVolume("--volume", c.Volume)
	if err != nil {
		return a, err
	}
	salinity, err := inUnit("--salinity", units.Salinity, c.Salinity, "PSU")
	if err != nil {
		return a, err
	}
	temp, err := inUnit("--temperature", units.Temperature, c.Temperature, "°C")
	if err != nil {
		return a, err
	}
	a = makeup.Ask{Litres: litres, Salinity: salinity, TempC: temp, Salt: c.Salt, SaltGramsPerL: c.SaltPerL, With: c.With, Bin: makeup.Bin(c.Bin)}
	if a.Have, err = makeup.ParseFigures(c.Have); err != nil {
		return a, usage("", "--have: %v", err)
	}
	if a.Want, err = makeup.ParseFigures(c.Want); err != nil {
		return a, usage("", "--want: %v", err)
	}
	return a, nil
}

// inUnit reads a figure of a quantity and gives it in a unit.
func inUnit(flag string, q units.Quantity, text, unit string) (float64, error) {
	m, err := parseMeasured(flag, q, text)
	if err != nil {
		return 0, err
	}
	v, err := units.Convert(q, m.value, m.unit, unit)
	if err != nil {
		return 0, usage("", "%s: %v", flag, err)
	}
	return v, nil
}

// parseVolume reads "100L" or "25 US gal" in litres.
func parseVolume(flag, text string) (float64, error) {
	v, rest, ok := leadingFigure(strings.TrimSpace(text))
	if !ok || v <= 0 {
		return 0, usage("", "%s %q is not a volume above 0; expected such as 100L", flag, text)
	}
	if rest == "" {
		rest = "L"
	}
	unit, err := units.ParseVolumeUnit(rest)
	if err != nil {
		return 0, usage("", "%s %q: %v", flag, text, err)
	}
	return units.Litres(v, unit)
}

// facts are of the book named, whose own substances may be used; nil without one.
func (c *mixCmd) facts(j *job) (*book.Facts, error) {
	if c.Book == "" {
		return nil, nil
	}
	f, _, err := j.factsAt(c.Book, "", "--as-of", c.AsOf)
	return f, err
}

// onShelf holds the batch against the shelf of the book named.
func (c *mixCmd) onShelf(f *book.Facts, b makeup.Batch) (*supply.Answer, error) {
	if f == nil {
		return nil, nil
	}
	return onShelf(f, f.AsOf, func(s *supply.Shelf) supply.Answer { return s.ForBatch(b, c.Salt) })
}

func (c *mixCmd) print(j *job, b makeup.Batch, shelf *supply.Answer) error {
	fmt.Fprintf(j.out, "%s L at %s\n\n", units.FormatAmount(b.Litres), units.Format(units.Salinity, b.Salinity, "PSU"))
	salt := "Salt"
	if b.Bin == makeup.Mixed {
		salt = "Salt, in the water already"
	}
	fmt.Fprintf(j.out, "%s: %s\n", salt, b.SaltSays)
	for _, a := range b.Additions {
		fmt.Fprintln(j.out, a.Says)
	}
	if b.SalinitySays != "" {
		fmt.Fprintln(j.out, b.SalinitySays)
	}
	printNeeds(j, shelf)
	fmt.Fprintln(j.out, "\nAt the bin:")
	for i, o := range b.Order {
		wait := ""
		if o.Wait != "" {
			wait = " Wait " + o.Wait + "."
		}
		fmt.Fprintf(j.out, "%2d. %s%s %s\n", i+1, o.Do, wait, o.Why)
	}
	fmt.Fprintln(j.out, "\nThe water then holds:")
	t := table{head: []string{"", "figure"}, right: map[int]bool{1: true}}
	for _, f := range b.Result {
		t.add(prose.Capital(string(f.Quantity)), units.Format(f.Quantity, f.Value, f.Unit))
	}
	if err := t.print(j.out); err != nil {
		return err
	}
	printList(j, "Mind:", b.Warnings)
	printList(j, "Cautions:", b.Cautions)
	return nil
}

// printList prints sentences under a heading, nothing when there is none.
func printList(j *job, head string, lines []string) {
	if len(lines) == 0 {
		return
	}
	fmt.Fprintf(j.out, "\n%s\n", head)
	for _, l := range lines {
		fmt.Fprintf(j.out, "  %s\n", l)
	}
}
