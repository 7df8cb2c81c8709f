package rehearsal

import (
	"math"
	"time"

	"driftline/internal/book"
)

// prepRoom is the school's tank: all by hand, nine weeks closed, phosphate sinking since fresh media.
func prepRoom(origin, now time.Time) *player {
	const litres = 140
	r := stream(2025, 1)
	n := demoNature(r, litres*1.02, 0.24, demoDays+2)
	n.foodN, n.foodP = scaled(n.foodN, 1.8), scaled(n.foodP, 0.9)
	n.takeN, n.takeP = scaled(n.takeN, 0.035), scaled(n.takeP, 0.05)
	n.mediaFrom, n.mediaTake = []float64{demoDays - 31, demoDays - 12}, 0.22
	n.rockRate, n.magPerDKH = 0.03, 0.3
	after(n.calcify, demoDays-262, 3, 0.55) // lamp on half days while the school is closed
	after(n.calcify, demoDays-199, 6, 1/0.55)
	n.magSink = scaled(trace(len(n.magSink), func(float64) float64 { return 1 }), 0.08)
	start := levels{alk: 8.4, cal: 420, mag: 1345, nit: 11, pho: 0.10, sal: 34.8}
	p := newPlayer(newBasin("prep room", origin, litres, n, start, 2025), 2025, now, demoDays)
	p.salt = &salt{name: "school salt", says: []ion{alk, cal, mag, nit, pho, sal},
		label: levels{alk: 8.8, cal: 425, mag: 1310, sal: 35}, truth: levels{alk: 9.1, cal: 432, mag: 1296, nit: 0.1, pho: 0.006, sal: 35.1}}
	p.place("large-polyp stony", litres, 80, 50, 45)
	p.bandsOf(map[ion][3]float64{alk: {7, 8.3, 9.6}, cal: {380, 420, 460}, mag: {1250, 1320, 1400}, nit: {3, 8, 15}, pho: {0.04, 0.08, 0.13}, sal: {33, 35, 37}, tmp: {23.5, 25.5, 27.5}}, nil)
	p.shutFrom(262, 199)
	p.schoolKits()
	p.schoolWeek()
	p.schoolNotes()
	return p
}

func (p *player) schoolKits() {
	p.kits[alk] = kitOf(alk, "class alkalinity drops", "drop titration", 0.3, 0.25, 0.3, -0.15)
	p.kits[cal] = kitOf(cal, "class calcium drops", "drop titration", 10, 11, 12, 8)
	p.kits[mag] = kitOf(mag, "class magnesium drops", "drop titration", 20, 30, 30, 12)
	p.kits[nit] = kitOf(nit, "nitrate card", "colour card", 0.1, 1, 0.7, 0.3)
	p.kits[nit].relSD, p.kits[nit].card = 0.2, []float64{0, 1, 2.5, 5, 7.5, 10, 15, 20, 30, 50}
	p.kits[pho] = kitOf(pho, "school photometer", "photometer", 0.01, 0.008, 0.008, 0.003)
	p.kits[sal] = kitOf(sal, "swing-arm hydrometer", "hydrometer", 0.5, 0.8, 1, 0.6)
	p.kits[tmp] = kitOf(tmp, "glass thermometer", "thermometer", 0.5, 0.2, 0.3, 0.2)
}

func (p *player) schoolWeek() {
	carbonate := &habit{name: "carbonate, every other day", what: &bicarbonate, amount: 2.2, every: 2}
	calcium := &habit{name: "calcium, weekly", what: &calciumSalt, amount: 6.2, every: 7}
	change := &habit{name: "weekly change", litres: 12, every: 7}
	for _, h := range []*habit{carbonate, calcium, change} {
		p.declareHabit(h)
	}
	p.each(423, 1, 2, 13.2, func() { p.perform(carbonate, false) })
	p.each(423, 3, 7, 13.3, func() { p.perform(calcium, false) })
	p.each(424, 10, 7, 13.4, func() { p.perform(change, false) })
	p.tests(alk, 424, 3, 6, 13)
	p.tests(cal, 422, 6, 13, 13.1)
	p.tests(mag, 420, 40, 21, 13.2)
	p.tests(nit, 423, 4, 7, 13.3)
	p.tests(pho, 423, 34, 6, 13.4)
	p.tests(pho, 30, 2, 4, 13.4)
	p.tests(sal, 423, 5, 11, 12.9)
	p.tests(tmp, 423, 3, 10, 12.8)
	p.each(187, 180, 7, 13.6, func() { p.dose(magnesiumS, 60, false, "catching up after the closure, half today, half next week") })
	p.each(196, 188, 2, 13.5, func() { p.dose(bicarbonate, 6, false, "catching up after the closure") })
	p.meals("flake", "1", "pinch", 424, 1, 5, 12.5)
	p.chores("glass cleaned", 423, 4, 7, 13.7)
	p.task(book.Routine{Name: "sand siphoned", Action: "chore", Chore: "sand siphoned", EveryDays: "14"})
	p.chores("sand siphoned", 421, 10, 14, 13.8)
	p.scores("film algae", 423, 4, 7, 13.6, func(ago float64) float64 {
		if ago < 199 && ago > 160 {
			return 3.2 - (199-ago)/20
		}
		return 1.4 - math.Max(0, 25-ago)/30
	})
	p.scores("detritus", 422, 4, 14, 13.65, func(float64) float64 { return 1 })
}

// schoolAnimals are the animals of the preparation room: a pair that meets the others
// behind a wall, and a snail that fell.
func (p *player) schoolAnimals() {
	tell := func(ago, hour float64, a book.Animal) {
		p.at(ago, hour, func() { p.event(p.s.t, book.KindAnimal, &a, "") })
	}
	tell(421, 13, book.Animal{Name: "turbo snails", Group: "snail", Count: "8", Price: "32", Currency: "EUR", Origin: "the market stall"})
	tell(300, 13, book.Animal{Name: "turbo snails", What: "died", Count: "1", Cause: "fell on its back over the weekend"})
	tell(140, 13, book.Animal{Name: "turbo snails", What: "died", Count: "1", Cause: "not known"})
	tell(50, 13, book.Animal{Name: "the firefish", Species: "fire goby", Group: "fish", Count: "2", Mass: "4", MassUnit: "g", Price: "70", Currency: "EUR", Origin: "the glasshouse", Stage: "quarantine"})
	for ago := 48.0; ago > 6; ago -= 3 {
		tell(ago, 13.4, book.Animal{Name: "the firefish", What: "observed", Feeding: "4", Breathing: "0", Skin: "0"})
	}
	tell(6, 13.9, book.Animal{Name: "the firefish", What: "stage", Stage: "meeting"})
	tell(5, 13.4, book.Animal{Name: "the firefish", What: "observed", Feeding: "3", Aggression: "2"})
	tell(3, 13.4, book.Animal{Name: "the firefish", What: "observed", Feeding: "4", Aggression: "1"})
	tell(2, 13.4, book.Animal{Name: "the firefish", What: "observed", Feeding: "4", Aggression: "1"})
}

func (p *player) schoolNotes() {
	p.schoolAnimals()
	p.equipment("media reactor", "reactor", map[string]any{"holds": "150 mL"})
	p.remark(422, 13.9, "The ninth form takes over the tests on Wednesdays. They count drops aloud.")
	p.remark(330, 13.8, "Torch coral split: one head became two, and a third is thinking about it.")
	p.remark(263, 14, "Building closed from tomorrow for the new roof. The caretaker fills the top-off can and feeds flake; nobody tests.")
	p.remark(198, 14.2, "Back in. Glass brown, corals drawn in, everything alive. Nine weeks without one number.")
	p.remark(176, 13.9, "Magnesium drops back where they were in spring. Took two doses.")
	p.setting(31, 13.7, "media reactor", "fresh media", 100, "mL", "green hair on the overflow")
	p.setting(12, 13.7, "media reactor", "fresh media", 150, "mL", "hair algae still there")
	p.remark(11, 13.9, "A second charge of phosphate media, the full amount. Should have waited for the first to show.")
	p.remark(3, 13.9, "Hair algae on the overflow are going pale.")
	p.remark(4, 13.8, "Exams this week: the water change did not happen.")
}
