package rounds

import (
	"fmt"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/upkeep"
)

// UpkeepDue gathers what a tank's things need and which habits lapsed: one row, not a
// pile.
const UpkeepDue Kind = "upkeep"

const (
	upkeepShare = 0.06
	upkeepGrace = 0.25 // of its interval a thing may be past due before it is asked for
	lapseReach  = 4    // usual intervals after which a lapse is asked about no more often
)

// upkeepRows ask for what is clearly due, the thing longest past due first.
func upkeepRows(t *book.TankFacts, today day) []Row {
	var says []string
	var next time.Time
	for _, task := range upkeep.Tasks(t, today.on) {
		if task.Late(today.on) < upkeepGrace || task.Last.IsZero() && task.Late(today.on) > lapseReach {
			continue // one that was never written down is not nagged about for ever
		}
		if next.IsZero() || task.Next.Before(next) {
			next = task.Next
		}
		says = append(says, task.Thing+": "+task.Do)
	}
	for _, l := range upkeep.Lapses(t, today.on) {
		if l.Days < lapseReach*l.Usual+30 {
			says = append(says, l.Says(today.loc))
			if next.IsZero() {
				next = l.Last
			}
		}
	}
	if len(says) == 0 {
		return nil
	}
	title := "Upkeep, " + t.Tank.Name + ": " + says[0]
	why := "By the usual intervals, or your own."
	if len(says) > 1 {
		title = fmt.Sprintf("Upkeep, %s: %d things", t.Tank.Name, len(says))
		why = strings.Join(says[:min(len(says), 3)], "; ") + "."
	}
	return []Row{{Key: rowKey(t.Tank.Name, "upkeep", ""), Kind: UpkeepDue, Tank: t.Tank.Name, Title: title, Why: why, On: &next,
		Consequence: upkeepShare, Action: Action{Do: "upkeep", Tank: t.Tank.Name}}}
}
