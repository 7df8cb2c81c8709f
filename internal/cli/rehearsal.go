package cli

import (
	"driftline/internal/rehearsal"
)

type rehearsalCmd struct {
	Tanks   int    `default:"120" help:"How many simulated tanks."`
	Moments int    `default:"3" help:"How many moments of each tank are forecast from."`
	Closed  int    `default:"0" help:"How many tanks to keep by the rule of the next test, against fixed testing."`
	Seed    uint64 `default:"1" help:"Seed of the first tank; the others follow."`
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
	if c.Tanks < 1 || c.Moments < 1 || c.Closed < 0 {
		return usage("", "--tanks and --moments must be 1 or more, --closed 0 or more")
	}
	report, err := rehearsal.Run(j.ctx, rehearsal.Options{Tanks: c.Tanks, Moments: c.Moments, Closed: c.Closed, Seed: c.Seed})
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(j.out, report)
	}
	return report.Write(j.out)
}
