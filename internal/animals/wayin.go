package animals

import (
	"fmt"
	"math"
	"time"

	"driftline/internal/book"
)

// Step is where an animal stands on its way in.
type Step struct {
	Stage    string
	Since    time.Time // it was entered
	Counting time.Time // since when its days count
	Restart  string    // why they count from later than it was entered
	Earliest time.Time // it may end, by its days
	Ready    bool
	Next     string   // the stage that comes
	NotYet   []string // why it may not end yet, a sentence each
	Checks   []string // what to look at each time
	Basis    string   // what the days rest on
	LookDue  bool     // nobody has looked today
	Late     bool     // well past the time it usually takes
}

// Days of the stages and the rules of release: common practice, no source, where
// nothing else is said.
const (
	meetingDays   = 7.0  // in a box the others can see (3 to 10)
	settlingDays  = 30.0 // nearly all corals open within a month
	looksNeeded   = 3    // that were well, one a day
	wellFeeding   = 3.0
	mostBreathing = 1.0
	mostRush      = 1.0 // of aggression
	quarantineMin = 30.0
)

// QuarantineDays is how long fish are watched at a temperature in °C, and what that
// rests on. Marine ich's cysts hatched to the last by day 7 at 30 °C, but 70 % by day 9
// at 25 °C and 40 % by day 10 at 20 °C (Cheung, Nigrelli & Ruggieri 1979, J. Fish Dis.
// 2:93); a fluke's life cycle takes 10 to 13 days at 26 to 32 °C and 15 to 16 at 22 to
// 24 °C (Brazenor & Hutson 2015, Parasitol. Res. 114:1875). Nineteen in twenty public
// aquaria quarantine 30 days or more (Hadfield & Clayton 2011, J. Zoo Wildl. Med.
// 42:641); keepers take about six weeks (common practice).
func QuarantineDays(group string, tempC float64) (days float64, basis string) {
	switch {
	case group != "fish":
		return 42, "about six weeks with dips is common practice for animals that are no fish; 76 days without any fish if marine ich must be kept out"
	case tempC >= 26:
		return 42, "three life cycles of flukes (10 to 13 days at 26 to 32 °C, Brazenor & Hutson 2015) and the usual six weeks (common practice; 30 days or more in 95 % of public aquaria, Hadfield & Clayton 2011)"
	case tempC >= 22:
		return 48, "three life cycles of flukes (15 to 16 days at 22 to 24 °C, Brazenor & Hutson 2015); 30 days or more in 95 % of public aquaria (Hadfield & Clayton 2011)"
	}
	return 60, "parasites hatch late in cool water (at 20 °C 40 % of marine ich's cysts by day 10, Cheung and others 1979), so longer than the usual six weeks (judgement)"
}

// settles is how many days a kind usually takes to open after a move: common
// practice, no source.
func settles(a *Animal) (usual float64, what string) {
	switch a.Group {
	case "anemone":
		return 7, "an anemone has usually stopped walking in about a week (2 to 21 days); guard the pumps"
	case "coral":
		return 7, "some open in two days, leathers in about a week, small-polyp corals in two, nearly all within a month"
	}
	return 7, "most feed and swim openly within a week"
}

// WayIn tells where an animal stands and what must hold before it goes on; nil for
// one whose way in was never told or is over. Others are those that share its tank's
// fate; tempC is that of the tank, 25 when nobody has said.
func WayIn(a *Animal, all []*Animal, tempC float64, at time.Time) *Step {
	if a.Stage == "" || !a.left() {
		return nil
	}
	if math.IsNaN(tempC) || tempC <= 0 {
		tempC = 25
	}
	s := &Step{Stage: a.Stage, Since: a.StageSince, Counting: a.StageSince}
	s.LookDue = len(a.Looks) == 0 || at.Sub(a.Looks[len(a.Looks)-1].At) > 20*time.Hour
	switch a.Stage {
	case "planned":
		s.Next, s.Ready, s.LookDue = "arrival", true, false
		s.Checks = []string{"a quarantine tank that has run for weeks, with a sponge from a running filter", "its water at the temperature and salinity the animals come from"}
	case "arrival":
		s.Next, s.Ready, s.LookDue = "quarantine", true, false
		s.Checks = []string{"temperature and salinity of bag and tank", "none of the bag's water into the tank", "gloves"}
	case "quarantine":
		s.quarantine(a, all, tempC, at)
	case "meeting":
		s.meeting(a, at)
	case "settled":
		return s.settling(a, at)
	}
	return s
}

func (s *Step) quarantine(a *Animal, all []*Animal, tempC float64, at time.Time) {
	s.Next = "meeting"
	s.restart(a, all)
	days, basis := QuarantineDays(a.Group, tempC)
	s.Basis = basis
	s.Earliest = addDays(s.Counting, days)
	s.Checks = []string{"does it feed (0 not at all, 4 eagerly)", "does it breathe fast (0 calm, 4 gasping)", "spots, film or wounds on the skin (0 none, 4 all over)", "ammonia"}
	if s.Earliest.After(at) {
		s.NotYet = append(s.NotYet, fmt.Sprintf("%.0f of %.0f days are over.", math.Max(at.Sub(s.Counting).Hours()/24, 0), days))
	}
	well := 0
	for _, k := range lastLooks(a, at, looksNeeded) {
		if k.Feeding >= wellFeeding && (k.Breathing < 0 || k.Breathing <= mostBreathing) && k.Skin <= 0 {
			well++
		}
	}
	if a.Group == "fish" && well < looksNeeded {
		s.NotYet = append(s.NotYet, fmt.Sprintf("Of the last %d looks %d found it feeding, calm of breath and clean.", looksNeeded, well))
	}
	s.Ready = len(s.NotYet) == 0
}

// restart begins the count anew at an outbreak, or when others came into the same
// quarantine.
func (s *Step) restart(a *Animal, all []*Animal) {
	for _, at := range a.Outbreaks {
		if at.After(s.Counting) {
			s.Counting, s.Restart = at, "an outbreak on "+at.Format("2 January")
		}
	}
	for _, o := range all {
		if o == a || book.Key(o.Tank) != book.Key(a.Tank) || o.Stage != "quarantine" {
			continue
		}
		if o.StageSince.After(s.Counting) {
			s.Counting, s.Restart = o.StageSince, o.Name+" came into the same quarantine on "+o.StageSince.Format("2 January")
		}
		for _, at := range o.Outbreaks {
			if at.After(s.Counting) {
				s.Counting, s.Restart = at, "an outbreak among "+o.Name+" on "+at.Format("2 January")
			}
		}
	}
}

func (s *Step) meeting(a *Animal, at time.Time) {
	s.Next = "settled"
	s.Earliest = addDays(s.Counting, meetingDays)
	s.Basis = "about a week in a box among the others, 3 to 10 days (common practice)"
	s.Checks = []string{"do the others rush at the box (0 never, 4 all the time)", "does it feed in the box"}
	if s.Earliest.After(at) {
		s.NotYet = append(s.NotYet, fmt.Sprintf("%.0f of %.0f days are over.", math.Max(at.Sub(s.Counting).Hours()/24, 0), meetingDays))
	}
	calm := 0
	for _, k := range lastLooks(a, at, looksNeeded) {
		if k.Aggression >= 0 && k.Aggression <= mostRush && !k.At.Before(s.Since) {
			calm++
		}
	}
	if calm < looksNeeded {
		s.NotYet = append(s.NotYet, fmt.Sprintf("Of the last %d looks %d found the others calm.", looksNeeded, calm))
	}
	s.Ready = len(s.NotYet) == 0
	if s.Ready {
		s.Checks = append(s.Checks, "open the box after lights out, when displays have faded")
	}
}

// settling is over once it opens or feeds; past a month the spot is a poor one.
func (s *Step) settling(a *Animal, at time.Time) *Step {
	usual, what := settles(a)
	s.Earliest, s.Basis = addDays(s.Since, usual), what+" (common practice)"
	s.Checks = []string{"is it open (0 shut, 4 wide open)", "does it feed"}
	for _, k := range a.Looks {
		if !k.At.Before(s.Since) && (k.Open >= 3 || k.Feeding >= wellFeeding) {
			return nil
		}
	}
	days := at.Sub(s.Since).Hours() / 24
	if days > 2*settlingDays {
		return nil // nobody looks any more
	}
	if days > settlingDays {
		s.Late = true
		s.NotYet = append(s.NotYet, fmt.Sprintf("%.0f days and neither open nor feeding: past a month take it for a poor spot.", days))
	}
	return s
}

// lastLooks are the newest looks of different days.
func lastLooks(a *Animal, at time.Time, most int) []Look {
	var out []Look
	day := ""
	for i := len(a.Looks) - 1; i >= 0 && len(out) < most; i-- {
		if k := a.Looks[i]; !k.At.After(at) && k.At.Format(time.DateOnly) != day {
			out, day = append(out, k), k.At.Format(time.DateOnly)
		}
	}
	return out
}

func addDays(t time.Time, days float64) time.Time {
	return t.Add(time.Duration(days * 24 * float64(time.Hour)))
}
