package rehearsal

import (
	"slices"
	"time"

	"driftline/internal/book"
)

// demoDays is how long the demo's story is: about fourteen months.
const demoDays = 425

// Story is a rehearsed book with the truth behind it.
type Story struct {
	Lines  []book.Line
	basins []*basin
}

// Level is the true level of a quantity of one of its tanks.
func (s Story) Level(tank, quantity string, at time.Time) (float64, bool) {
	q, ok := ionOf(quantity)
	for _, b := range s.basins {
		if ok && b.name == tank {
			return level(b.truths, q, b.days(at)), true
		}
	}
	return 0, false
}

// Demo is the book of the demo: four tanks in one small town, looked after by
// one person, over the fourteen months before now.
func Demo(now time.Time) []book.Line { return DemoStory(now).Lines }

// DemoStory is the demo with its truth.
//
// A library's reading room has a mixed reef whose carbonate pump is tiring. A
// school's preparation room has stony corals with large polyps; the school was
// closed for nine weeks, nobody tested, and since a fresh charge of phosphate
// media its phosphate has been sinking. A glasshouse has a raising bench for
// small-polyp corals, tested daily, with one calcium reading of yesterday that
// cannot be right. Between two magnesium kits that disagree, a laboratory decided.
// Of four trials one is clear, one can't tell, one was spoiled, one is running.
// A school of fish is in quarantine, one of which was lost; a week away was minded by
// a friend, and the next is near.
func DemoStory(now time.Time) Story {
	loc, err := time.LoadLocation("Europe/Lisbon")
	if err != nil { // a machine without zone data
		loc = time.UTC
	}
	origin := midnight(now, loc, demoDays)
	players := []*player{readingRoom(origin, now), prepRoom(origin, now), raisingBench(origin, now)}
	var s Story
	for _, p := range players {
		p.play()
		s.Lines = append(s.Lines, p.lines...)
		s.basins = append(s.basins, p.basin)
	}
	s.Lines = append(s.Lines, demoShelf(now, loc)...)
	s.Lines = append(s.Lines, demoTrials(now, loc)...)
	s.Lines = append(s.Lines, demoMinding(now, loc)...)
	s.Lines = inOrder(onlyOnce(s.Lines, now))
	return s
}

// onlyOnce drops what lies after now and substances and kits declared again by another tank.
func onlyOnce(lines []book.Line, now time.Time) []book.Line {
	seen := map[string]bool{}
	lines = slices.DeleteFunc(lines, func(l book.Line) bool { return l.At.After(now) })
	return slices.DeleteFunc(inOrder(lines), func(l book.Line) bool {
		s, ok := l.Body.(*book.Substance)
		if !ok {
			return false
		}
		again := seen[s.Name]
		seen[s.Name] = true
		return again
	})
}

// place gives a tank of the demo its declaration.
func (p *player) place(system string, net, length, width, height float64) {
	p.log(book.Line{Kind: book.KindTank, At: p.when(0), Body: &book.Tank{Name: p.name, System: system,
		NetVolume: exactly(net), Unit: "L", Length: exactly(length), Width: exactly(width), Height: exactly(height), LengthUnit: "cm",
		Latitude: "41.69", Longitude: "-8.83", TimeZone: "Europe/Lisbon"}})
}
