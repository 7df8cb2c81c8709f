package cli

import (
	"fmt"
	"io"
	"time"

	"driftline/internal/prose"
	"driftline/internal/standing"
)

// printStanding prints the tank as a table and what stands out in sentences.
func printStanding(w io.Writer, t tankStanding) error {
	local := t.asOf.In(t.tank.Location)
	fmt.Fprintf(w, "%s, %s\n\n", t.tank.Tank.Name, longMoment(local))
	if len(t.quantities) == 0 {
		_, err := fmt.Fprintln(w, "Nothing has been measured in this tank yet.")
		return err
	}
	rows := table{
		head:  []string{"quantity", "level", "demand a day", "band", "stands", "leaves its band", "next test", sparkHead},
		right: map[int]bool{2: true},
	}
	for _, q := range t.quantities {
		rows.add(q.Name, levelOf(q.Name, q.Unit, q.Level), demandOf(q), bandOf(q.Name, q.Unit, q.Band), string(q.State),
			leavesOf(q, t.tank.Location), testOf(q, local), spark(q))
	}
	if err := rows.print(w); err != nil {
		return err
	}
	return printWhys(w, t)
}

func demandOf(q standing.Quantity) string {
	if q.Simple || q.State == standing.Unknown {
		return "·"
	}
	return plusMinus(q.Name, q.Unit, q.Demand)
}

// leavesOf says a chance and its day: "low, 50 % by 14 Dec".
func leavesOf(q standing.Quantity, loc *time.Location) string {
	chance := ""
	switch l := q.Leaves; {
	case q.State == standing.Outside:
		chance = percent(l.PNow) + " now"
	case l.EvenChanceBy != nil:
		chance = "50 % by " + shortDay(l.EvenChanceBy.In(loc))
	case l.P30 >= 0.1:
		chance = percent(l.P30) + " in 30 days"
	default:
		return "not soon"
	}
	if q.Leaves.Side == "" {
		return chance
	}
	return q.Leaves.Side + ", " + chance
}

func testOf(q standing.Quantity, now time.Time) string {
	if q.NextTest.On.IsZero() {
		return "·"
	}
	if !q.NextTest.On.After(now) {
		return "due"
	}
	return shortDay(q.NextTest.On.In(now.Location()))
}

// printWhys gives the one line of why for each quantity that is not steady, and
// names the likely misreads.
func printWhys(w io.Writer, t tankStanding) error {
	said := false
	for _, q := range t.quantities {
		if q.State != standing.Steady && q.Why != "" {
			if !said {
				fmt.Fprintln(w)
			}
			said = true
			fmt.Fprintf(w, "%s: %s\n", prose.Capital(q.Name), q.Why)
		}
		for _, r := range q.Readings {
			if r.Misread < likelyMisread || t.asOf.Sub(r.At) > 30*24*time.Hour {
				continue
			}
			fmt.Fprintf(w, "%s: the reading of %s (%s) is likely a misread, %s was expected. Test again before acting on it.\n",
				prose.Capital(q.Name), shortDay(r.At.In(t.tank.Location)), levelAlone(q, r.Value), levelOf(q.Name, q.Unit, r.Expected))
		}
	}
	return nil
}
