package animals

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/food"
	"driftline/internal/standing"
	"driftline/units"
)

// Arrival is one planned animal or school: when it may come, and what it adds.
type Arrival struct {
	Name, Tank string
	Count      float64 // 1 when nobody has said
	Comes      time.Time
	Meets      time.Time // out of quarantine
	Enters     time.Time // the tank it will live in
	Adds       *Load     // nil when nobody has said what one weighs, or it is no fish
	Notes      []string  // what the generalities of the trade have against it
}

// Load is what animals add a day.
type Load struct {
	FeedGrams  float64 // of dry food
	NitrogenMg float64 // excreted and left, as N
	NitrateMgL float64 // a week, if the tank took none of it, as NO3
	OxygenMgH  float64 // fish and the bacteria that take their ammonia
}

const (
	apartDays      = 14.0 // from one arrival in the display to the next, at least (one to three fish every two to four weeks: common practice, no source)
	keptOfNitrogen = 0.15 // by fish that hardly grow (see package feeding): the rest ends in the water
	// Oxygen for each gram of dry food, by fish alone: from memory, aquaculture
	// handbooks, 0.2 to 0.5. The ammonia takes two molecules of oxygen for each of
	// nitrogen on its way to nitrate besides (stoichiometry).
	oxygenPerFood     = 0.35
	oxygenPerNitrogen = 2 * 31.998 / 14.007
)

// LoadOf is what so many fish of so many grams add a day to a volume of water when fed
// the usual ration of dry pellets.
func LoadOf(count, grams, litres float64) Load {
	pellets := food.Kinds()[0]
	l := Load{FeedGrams: food.AdultRation * count * grams}
	l.NitrogenMg = 1000 * l.FeedGrams * pellets.N().Mean * (1 - keptOfNitrogen)
	l.NitrateMgL = 7 * l.NitrogenMg / food.NitrogenInNitrate / litres
	l.OxygenMgH = (1000*l.FeedGrams*oxygenPerFood + l.NitrogenMg*oxygenPerNitrogen) / 24
	return l
}

// Stocking plans the animals of stage planned in the order they were written down: one
// at a time through quarantine, for two in one tank begin each other's days anew, a week
// among the others, and apart. TempC is that of the quarantine.
func Stocking(all []*Animal, litres func(tank string) float64, tempC float64, at time.Time) []Arrival {
	free, last := at, map[string]time.Time{}
	for _, a := range all {
		if a.Stage == "quarantine" && a.Here() {
			if s := WayIn(a, all, tempC, at); s != nil && s.Earliest.After(free) {
				free = s.Earliest
			}
		}
		if a.Stage == "settled" || a.Stage == "meeting" {
			if entered := a.StageSince; entered.After(last[a.Tank]) {
				last[a.Tank] = entered
			}
		}
	}
	var out []Arrival
	for _, a := range all {
		if a.Stage != "planned" || !a.left() {
			continue
		}
		days, _ := QuarantineDays(a.Group, tempC)
		p := Arrival{Name: a.Name, Tank: a.Tank, Count: 1, Comes: free}
		if a.Counted {
			p.Count = a.Count
		}
		p.Meets = addDays(p.Comes, days)
		p.Enters = addDays(p.Meets, meetingDays)
		if least := addDays(last[a.Tank], apartDays); p.Enters.Before(least) {
			wait := least.Sub(p.Enters)
			p.Comes, p.Meets, p.Enters = p.Comes.Add(wait), p.Meets.Add(wait), least
		}
		if v := litres(a.Tank); a.Group == "fish" && a.Grams > 0 && v > 0 {
			l := LoadOf(p.Count, a.Grams, v)
			p.Adds = &l
		}
		p.Notes = against(a, all)
		free, last[a.Tank] = p.Meets, p.Enters
		out = append(out, p)
	}
	return out
}

// warmUnknown is the temperature of a quarantine nobody has read, °C.
const warmUnknown = 25

// Planned is Stocking by what a book says of the tanks and their water.
func Planned(d *standing.Desk, f *book.Facts, all []*Animal, at time.Time) []Arrival {
	warm, litres := float64(warmUnknown), map[string]float64{}
	for i := range f.Tanks {
		t := &f.Tanks[i].Tank
		litres[t.Name] = standing.Litres(t)
		if l, ok := d.Level(f, t.Name, units.Temperature, at); ok && t.System == "quarantine" {
			warm = l.Mean
		}
	}
	return Stocking(all, func(tank string) float64 { return litres[tank] }, warm, at)
}

// Words that tell a kind the generalities speak of: common practice, no source.
var (
	bullies = []string{"dottyback", "damsel", "triggerfish", "hawkfish"}
	pickers = []string{"butterfly", "angelfish", "angel fish"}
	stingy  = []string{"torch", "hammer", "galaxea", "elegance", "euphyllia"}
)

// against is what the generalities of the trade have against an arrival.
func against(a *Animal, all []*Animal) []string {
	var out []string
	words := strings.ToLower(a.Species + " " + a.Name)
	coral, later := false, false
	passed := false
	for _, o := range all {
		if o == a {
			passed = true
			continue
		}
		if o.Tank != a.Tank || !o.left() {
			continue
		}
		if same := strings.EqualFold(strings.TrimSpace(o.Species), strings.TrimSpace(a.Species)); same && a.Species != "" && a.Group == "fish" && a.Count <= 1 {
			out = append(out, fmt.Sprintf("%s lives there already: one of a kind, unless it is known to live in pairs or schools.", o.Name))
		}
		coral = coral || o.Group == "coral" || o.Group == "anemone"
		later = later || passed && o.Stage == "planned"
	}
	if hasAny(words, bullies) && later {
		out = append(out, "Its kind comes last, after the shy ones: plan it at the end.")
	}
	if hasAny(words, pickers) && coral {
		out = append(out, "Its kind may pick at corals, hungry most of all: watch it, and have a way to take it out.")
	}
	if hasAny(words, stingy) {
		out = append(out, "Its sweepers reach about 15 (10 to 30) cm: give it that room.")
	}
	return out
}

func hasAny(text string, words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(text, w) })
}

// Says tells a load in a sentence, with how long the tank's water would last its fish by
// the oxygen it holds, oxygen in mg/L, if no air reached it.
func (l Load) Says(litres, oxygen float64) string {
	text := fmt.Sprintf("Adds about %s g of dry food a day, %s mg of nitrogen in the water, %s mg/L of nitrate a week if the tank took none, and %s mg of oxygen used an hour",
		figures(l.FeedGrams), figures(l.NitrogenMg), figures(l.NitrateMgL), figures(l.OxygenMgH))
	if oxygen > 0 && l.OxygenMgH > 0 {
		text += fmt.Sprintf(" (1 mg/L of what the water holds, %s mg/L at most, in %s hours without air)", units.Number(oxygen, 1), figures(litres/l.OxygenMgH))
	}
	return text + "; a guess to within a factor of two."
}

// figures writes two figures that count.
func figures(v float64) string {
	if v <= 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return units.Number(v, 0)
	}
	step := math.Pow(10, math.Floor(math.Log10(v))-1)
	decimals := max(0, -int(math.Floor(math.Log10(step)+0.5)))
	return units.Number(math.Round(v/step)*step, decimals)
}
