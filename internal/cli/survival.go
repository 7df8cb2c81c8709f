package cli

import (
	"fmt"
	"math"
	"os"
	"strings"

	"driftline/internal/standing"
	"driftline/internal/survivalsheet"
	"driftline/stats"
	"driftline/units"
)

type survivalCmd struct {
	CSV  string `name:"csv" required:"" placeholder:"FILE" help:"Table with the columns time, event (1 died, 0 still alive) and, if you like, group; - reads standard input."`
	JSON bool   `help:"Print the result as JSON."`
}

func (c *survivalCmd) Help() string {
	return `How many of your animals live on, by the product-limit estimate, with those still alive counted as long as they were seen; and
whether groups differ, such as those that came through quarantine and those that did not. Times are days, or any unit you keep to.

Example:

    driftline survival --csv animals.csv`
}

// survivalJSON is the public shape of the result.
type survivalJSON struct {
	Groups  []survivalGroup `json:"groups"`
	LogRank *logRankJSON    `json:"logrank"` // null with one group, or when nothing can be compared
}

type survivalGroup struct {
	Group  string         `json:"group"`
	N      int            `json:"n"`
	Events int            `json:"events"`
	Median *float64       `json:"median"` // null while more than half live
	Table  []survivalStep `json:"table"`
}

type survivalStep struct {
	Time     float64  `json:"time"`
	AtRisk   int      `json:"at_risk"`
	Events   int      `json:"events"`
	Survival float64  `json:"survival"`
	SE       *float64 `json:"se"` // null where none is left
	Low      *float64 `json:"ci95_low"`
	High     *float64 `json:"ci95_high"`
}

type logRankJSON struct {
	Chi2 float64 `json:"chi2"`
	DF   int     `json:"df"`
	P    float64 `json:"p"`
}

func (c *survivalCmd) Run(j *job) error {
	in := j.in
	if c.CSV != "-" {
		f, err := os.Open(c.CSV)
		if err != nil {
			return usage("", "--csv: %v", err)
		}
		defer func() { _ = f.Close() }()
		in = f
	}
	groups, err := survivalsheet.Read(in)
	if err != nil {
		return refused("", "%s: %v", c.CSV, err)
	}
	curves := make([]stats.Survival, len(groups))
	lives := make([][]stats.Lifetime, len(groups))
	for i, g := range groups {
		if curves[i], err = stats.KaplanMeier(g.Lives); err != nil {
			return refused("", "%s: %v", c.CSV, err)
		}
		lives[i] = g.Lives
	}
	var test *stats.LogRank
	if len(groups) > 1 {
		if r, err := stats.LogRankTest(lives); err == nil {
			test = &r
		}
	}
	if c.JSON {
		return printJSON(j.out, survivalOf(groups, curves, test))
	}
	return c.print(j, groups, curves, test)
}

func survivalOf(groups []survivalsheet.Group, curves []stats.Survival, test *stats.LogRank) survivalJSON {
	out := survivalJSON{Groups: []survivalGroup{}}
	for i, g := range groups {
		s := curves[i]
		row := survivalGroup{Group: g.Name, N: s.N, Events: s.Events, Table: []survivalStep{}}
		if m, ok := s.Median(); ok {
			row.Median = &m
		}
		for _, step := range s.Steps {
			row.Table = append(row.Table, survivalStep{step.Time, step.AtRisk, step.Events, step.Survival, known(step.SE), known(step.Low), known(step.High)})
		}
		out.Groups = append(out.Groups, row)
	}
	if test != nil {
		out.LogRank = &logRankJSON{test.Chi2, test.DF, test.P}
	}
	return out
}

// known is a figure, or null where it is none.
func known(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

// told are the times at which survival is said: a first shock, a month, half a year
// and a year, in days.
var told = []float64{3, 30, 180, 365}

func (c *survivalCmd) print(j *job, groups []survivalsheet.Group, curves []stats.Survival, test *stats.LogRank) error {
	t := table{head: []string{"group", "animals", "died", "half live to"}, right: map[int]bool{1: true, 2: true, 3: true}}
	for _, at := range told {
		t.head = append(t.head, fmt.Sprintf("alive at %g", at))
	}
	for i, g := range groups {
		s := curves[i]
		median := "not reached"
		if m, ok := s.Median(); ok {
			median = units.FormatAmount(m)
		}
		row := []string{nameOr(g.Name, "all"), fmt.Sprint(s.N), fmt.Sprint(s.Events), median}
		for _, at := range told {
			row = append(row, aliveAt(s, at))
		}
		t.add(row...)
	}
	if err := t.print(j.out); err != nil {
		return err
	}
	if text := differ(groups, test); text != "" {
		fmt.Fprintf(j.out, "\n%s\n", text)
	}
	for i, g := range groups {
		if curves[i].Events < 5 {
			fmt.Fprintf(j.out, "%s rests on %d deaths among %d animals: little can be said.\n", strings.ToUpper(nameOr(g.Name, "it")[:1])+nameOr(g.Name, "it")[1:], curves[i].Events, curves[i].N)
		}
	}
	return nil
}

func nameOr(name, otherwise string) string {
	if name == "" {
		return otherwise
	}
	return name
}

// aliveAt says what share lives at a time, with its 95 % interval, as long as any
// were seen so long.
func aliveAt(s stats.Survival, at float64) string {
	if at > s.Last {
		return "not seen so long"
	}
	step := s.At(at)
	share := func(v float64) string { return units.Number(100*v, 0) }
	if math.IsNaN(step.Low) || step.Low == step.High {
		return share(step.Survival) + " %"
	}
	return fmt.Sprintf("%s %% (%s to %s)", share(step.Survival), share(step.Low), share(step.High))
}

func differ(groups []survivalsheet.Group, test *stats.LogRank) string {
	switch {
	case len(groups) < 2:
		return ""
	case test == nil:
		return "Nothing tells the groups apart: no animal died while more than one group was at risk."
	}
	says := "Chance alone would often part the groups so far"
	if test.P < 0.05 {
		says = "The groups differ by more than chance alone would often do"
	}
	return fmt.Sprintf("%s: log-rank chi-square %.2f on %d, p %.2g (%s that chance does as much).", says, test.Chi2, test.DF, test.P, standing.ChanceWords(test.P))
}
