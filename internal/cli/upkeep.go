package cli

import (
	"fmt"
	"time"

	"driftline/internal/standing"
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
	Labels []labelJSON `json:"labels"` // dates that are near or over
}

type taskJSON struct {
	Tank  string     `json:"tank,omitempty"` // none for instruments
	Thing string     `json:"thing"`
	Do    string     `json:"do"`
	Every float64    `json:"every_days"`
	Own   bool       `json:"own_rhythm"`
	Found string     `json:"found,omitempty"` // what the interval was adapted to
	Parts []partJSON `json:"parts,omitempty"` // of a medium that were renewed
	Last  *time.Time `json:"last"`            // null when it was never written down
	Next  time.Time  `json:"next"`
}

type partJSON struct {
	At    time.Time `json:"at"`
	Share float64   `json:"share"`
}

type labelJSON struct {
	What string    `json:"what"`
	On   time.Time `json:"good_until"`
}

type lapseJSON struct {
	Tank  string    `json:"tank"`
	Chore string    `json:"chore"`
	Risk  *float64  `json:"p_outside_now,omitempty"` // of a test: chance that it is outside its band now
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
	out := upkeepJSON{AsOf: at, Tasks: []taskJSON{}, Lapses: []lapseJSON{}, Labels: []labelJSON{}}
	add := func(all []upkeep.Task) {
		for _, t := range all {
			x := taskJSON{Tank: t.Tank, Thing: t.Thing, Do: t.Do, Every: t.Every, Own: t.Own, Next: t.Next, Found: t.Found}
			for _, p := range t.Parts {
				x.Parts = append(x.Parts, partJSON(p))
			}
			if !t.Last.IsZero() {
				x.Last = &t.Last
			}
			out.Tasks = append(out.Tasks, x)
		}
	}
	desk := standing.NewDesk()
	for i := range facts.Tanks {
		t := &facts.Tanks[i]
		add(upkeep.Tasks(t, at))
		standings, err := desk.Tank(facts, t.Tank.Name, at, 1)
		if err != nil {
			return err
		}
		for _, l := range append(upkeep.TestLapses(t, standings, at), upkeep.Lapses(t, at)...) {
			x := lapseJSON{Tank: l.Tank, Chore: l.Chore, Usual: l.Usual, Last: l.Last, Days: l.Days}
			if l.Quantity != "" {
				x.Risk = &l.Risk
			}
			out.Lapses = append(out.Lapses, x)
		}
	}
	add(upkeep.Instruments(facts, at))
	for _, e := range upkeep.Expiring(facts, at) {
		out.Labels = append(out.Labels, labelJSON(e))
	}
	if c.JSON {
		return printJSON(j.out, out)
	}
	return out.print(j)
}

func (o upkeepJSON) print(j *job) error {
	for _, l := range o.Lapses {
		fmt.Fprintf(j.out, "%s, %s: every %s days until %s, now %.0f days ago.", l.Chore, l.Tank, units.Number(l.Usual, 0), longDay(l.Last), l.Days)
		if l.Risk != nil {
			fmt.Fprintf(j.out, " Outside its band now: %s.", standing.ChanceWords(*l.Risk))
		}
		fmt.Fprintln(j.out)
	}
	for _, l := range o.Labels {
		fmt.Fprintf(j.out, "%s: good until %s by its label.\n", l.What, longDay(l.On))
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
