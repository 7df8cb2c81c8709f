package cli

import (
	"fmt"
	"time"

	"driftline/internal/upkeep"
	"driftline/units"
)

type upkeepCmd struct {
	bookFlag
	AsOf string `placeholder:"MOMENT" help:"As it stood then; later lines are ignored. Without it, now."`
	JSON bool   `help:"Print the result as JSON."`
}

func (c *upkeepCmd) Help() string {
	return `What equipment, media, instruments and kits need next, soonest first, and the chores that used to be done and no longer are. Intervals are
common practice until your own rhythm shows.

Example:

    driftline upkeep --book bench`
}

// upkeepJSON is the public shape of what things need.
type upkeepJSON struct {
	AsOf   time.Time   `json:"as_of"`
	Tasks  []taskJSON  `json:"tasks"`
	Lapses []lapseJSON `json:"lapses"`
}

type taskJSON struct {
	Tank  string     `json:"tank,omitempty"` // none for instruments
	Thing string     `json:"thing"`
	Do    string     `json:"do"`
	Every float64    `json:"every_days"`
	Own   bool       `json:"own_rhythm"`
	Last  *time.Time `json:"last"` // null when it was never written down
	Next  time.Time  `json:"next"`
}

type lapseJSON struct {
	Tank  string    `json:"tank"`
	Chore string    `json:"chore"`
	Usual float64   `json:"usual_days"`
	Last  time.Time `json:"last"`
	Days  float64   `json:"days_since"`
}

func (c *upkeepCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	facts, at, err := j.factsAt(dir, "", "--as-of", c.AsOf)
	if err != nil {
		return err
	}
	out := upkeepJSON{AsOf: at, Tasks: []taskJSON{}, Lapses: []lapseJSON{}}
	add := func(all []upkeep.Task) {
		for _, t := range all {
			x := taskJSON{Tank: t.Tank, Thing: t.Thing, Do: t.Do, Every: t.Every, Own: t.Own, Next: t.Next}
			if !t.Last.IsZero() {
				x.Last = &t.Last
			}
			out.Tasks = append(out.Tasks, x)
		}
	}
	for i := range facts.Tanks {
		add(upkeep.Tasks(&facts.Tanks[i], at))
		for _, l := range upkeep.Lapses(&facts.Tanks[i], at) {
			out.Lapses = append(out.Lapses, lapseJSON{l.Tank, l.Chore, l.Usual, l.Last, l.Days})
		}
	}
	add(upkeep.Instruments(facts, at))
	if c.JSON {
		return printJSON(j.out, out)
	}
	return out.print(j)
}

func (o upkeepJSON) print(j *job) error {
	for _, l := range o.Lapses {
		fmt.Fprintf(j.out, "%s, %s: every %s days until %s, now %.0f days ago.\n", l.Chore, l.Tank, units.Number(l.Usual, 0), longDay(l.Last), l.Days)
	}
	if len(o.Tasks) == 0 {
		fmt.Fprintln(j.out, "Nothing in the book is of a kind that is known to need care.")
		return nil
	}
	t := table{head: []string{"due", "thing", "what", "tank", "every, days"}, right: map[int]bool{4: true}}
	for _, x := range o.Tasks {
		every := units.Number(x.Every, 0)
		if x.Own {
			every += " (own)"
		}
		t.add(longDay(x.Next), x.Thing, x.Do, x.Tank, every)
	}
	return t.print(j.out)
}
