package cli

import (
	"fmt"

	"driftline/internal/rehearsal"
)

type rehearsalCmd struct {
	Tanks   int    `default:"120" help:"How many simulated tanks."`
	Moments int    `default:"3" help:"How many moments of each tank are forecast from."`
	Closed  int    `default:"0" help:"How many tanks to keep by the rule of the next test, against fixed testing."`
	Correct int    `name:"corrections" default:"0" help:"How many tanks to work corrections out for and follow them in."`
	Feeding int    `default:"0" help:"How many tanks to forecast after a change of feeding, knowing what was fed and not."`
	Seed    uint64 `default:"1" help:"Seed of the first tank; the others follow."`
	World   string `default:"usual" enum:"usual,calm,restless,brisk,rough,fed" help:"Kind of tanks and keepers: usual, calm, restless, brisk, rough or fed (food is written down)."`
	JSON    bool   `help:"Print the report as JSON."`
}

func (c *rehearsalCmd) Help() string {
	return `Simulates tanks whose true levels are known, forecasts them from what their keeper would have logged, and scores the
forecasts 7, 14 and 30 days ahead: how often the intervals hold the truth, and the weighted interval score against that of
taking the last reading. No book is read or written. The usual size takes some minutes.

Example:

    driftline rehearsal --tanks 40 --moments 2`
}

func (c *rehearsalCmd) Run(j *job) error {
	if c.Tanks < 1 || c.Moments < 1 || c.Closed < 0 || c.Correct < 0 || c.Feeding < 0 {
		return usage("", "--tanks and --moments must be 1 or more, --closed, --corrections and --feeding 0 or more")
	}
	o := rehearsal.Options{Tanks: c.Tanks, Moments: c.Moments, Closed: c.Closed, Seed: c.Seed, World: rehearsal.World(c.World)}
	if c.JSON {
		return c.printJSON(j, o)
	}
	if _, err := rehearsal.Run(j.ctx, o, j.out); err != nil {
		return err
	}
	if c.Feeding > 0 {
		fmt.Fprintln(j.out)
		if err := c.feeding(j, o); err != nil {
			return err
		}
	}
	if c.Correct == 0 {
		return nil
	}
	followed, err := c.followed(j, o)
	if err != nil {
		return err
	}
	fmt.Fprintln(j.out)
	return rehearsal.WriteFollowed(j.out, followed)
}

func (c *rehearsalCmd) feeding(j *job, o rehearsal.Options) error {
	o.Tanks = c.Feeding
	all, err := rehearsal.FeedingChanges(j.ctx, o)
	if err != nil {
		return err
	}
	return rehearsal.WriteFeeding(j.out, all)
}

// followed works corrections out and follows them.
func (c *rehearsalCmd) followed(j *job, o rehearsal.Options) (map[string]rehearsal.Followed, error) {
	o.Tanks = c.Correct
	return rehearsal.Corrections(j.ctx, o)
}

// printJSON scores as Run does and prints the figures.
func (c *rehearsalCmd) printJSON(j *job, o rehearsal.Options) error {
	report, err := rehearsal.Score(j.ctx, o, rehearsal.Engine(), nil)
	if err != nil {
		return err
	}
	out := rehearsalJSON{Tanks: c.Tanks, Moments: c.Moments, Seed: c.Seed, World: c.World, Ratio: report.Ratio(),
		Unmet: orEmpty(report.Unmet(0)), Failed: orEmpty(report.Failed)}
	for _, family := range rehearsal.Families {
		for _, day := range rehearsal.Horizons {
			out.Scores = append(out.Scores, scoreOf(family, day, *report.Cells[family][day]))
		}
	}
	if c.Closed > 0 {
		contest, err := rehearsal.Compare(j.ctx, o, rehearsal.EngineRule())
		if err != nil {
			return err
		}
		out.NextTest = &contest
	}
	if c.Correct > 0 {
		if out.Corrections, err = c.followed(j, o); err != nil {
			return err
		}
	}
	return printJSON(j.out, out)
}

// rehearsalJSON is the public form of "rehearsal --json".
type rehearsalJSON struct {
	Tanks    int                `json:"tanks"`
	Moments  int                `json:"moments"`
	Seed     uint64             `json:"seed"`
	World    string             `json:"world"`
	Scores   []scoreJSON        `json:"scores"`
	Ratio    float64            `json:"score_over_baseline"` // mean of the families
	Unmet    []string           `json:"unmet"`
	Failed   []string           `json:"failed"`
	NextTest *rehearsal.Contest `json:"next_test,omitempty"`

	Corrections map[string]rehearsal.Followed `json:"corrections,omitempty"`
}

// scoreJSON is how the forecasts of a family did so many days ahead. A figure
// that needs at least one forecast is null where there was none.
type scoreJSON struct {
	Quantity string   `json:"quantity"`
	Days     int      `json:"days"`
	N        int      `json:"n"`
	In80     *float64 `json:"share_in_80"`
	In90     *float64 `json:"share_in_90"`
	Score    *float64 `json:"interval_score"`
	Baseline *float64 `json:"baseline_score"`
}

func scoreOf(family string, day int, c rehearsal.Cell) scoreJSON {
	out := scoreJSON{Quantity: family, Days: day, N: c.N}
	if c.N == 0 {
		return out
	}
	in80, in90 := c.Held()
	score, base := c.WIS/float64(c.N), c.Base/float64(c.N)
	out.In80, out.In90, out.Score, out.Baseline = &in80, &in90, &score, &base
	return out
}
