package rehearsal

import (
	"math"
	"time"

	"driftline/internal/book"
)

// readingRoom is the library's mixed reef: two pumps, one of them tiring.
func readingRoom(origin, now time.Time) *player {
	const litres = 380
	r := stream(2024, 1)
	n := demoNature(r, litres*0.985, 0.58, demoDays+2)
	after(n.calcify, 0, demoDays, 1.35)
	n.foodN, n.foodP = scaled(n.foodN, 0.9), scaled(n.foodP, 0.62)
	for i := range int((demoDays - fedTwice) * stepsPerDay) { // half of what is fed now
		n.foodN[i], n.foodP[i] = n.foodN[i]/2, n.foodP[i]/2
	}
	n.takeN, n.takeP = scaled(n.takeN, 0.038), scaled(n.takeP, 0.05)
	n.magPerDKH = 0.35
	start := levels{alk: 8.3, cal: 424, mag: 1338, nit: 3.4, pho: 0.046, sal: 35}
	p := newPlayer(newBasin("reading room", origin, litres, n, start, 2024), 2024, now, demoDays)
	p.salt = &salt{name: "library salt, 35 PSU", says: []ion{alk, cal, mag, nit, pho, sal},
		label: levels{alk: 8.2, cal: 430, mag: 1340, sal: 35}, truth: levels{alk: 8.0, cal: 424, mag: 1352, nit: 0.1, pho: 0.004, sal: 34.9}}
	p.place("mixed", litres, 150, 55, 55)
	p.bandsOf(map[ion][3]float64{alk: {7.4, 8.4, 9.4}, cal: {400, 425, 450}, mag: {1260, 1330, 1400}, nit: {2, 6, 12},
		pho: {0.03, 0.06, 0.1}, sal: {34, 35, 36}, tmp: {24.5, 25.5, 26.5}}, nil)
	p.libraryKits()
	p.libraryPumps()
	p.libraryWeek()
	p.libraryNotes()
	return p
}

func (p *player) libraryKits() {
	p.kits[alk] = kitOf(alk, "alkalinity syringe kit", "drop titration", 0.1, 0.18, 0.3, 0.12)
	p.kits[cal] = kitOf(cal, "calcium syringe kit", "drop titration", 5, 9, 12, -6)
	p.kits[mag] = kitOf(mag, "magnesium drops, old box", "drop titration", 15, 24, 40, -52)
	p.kits[nit] = kitOf(nit, "nitrate photometer", "photometer", 0.1, 0.35, 0.5, 0.2)
	p.kits[nit].relSD = 0.06
	p.kits[pho] = kitOf(pho, "phosphate photometer", "photometer", 0.01, 0.009, 0.008, 0.004)
	p.kits[sal] = kitOf(sal, "refractometer", "refractometer", 0.5, 0.4, 0.5, 0.3)
	p.kits[tmp] = kitOf(tmp, "lid thermometer", "thermometer", 0.1, 0.1, 0.2, -0.1)
	p.at(152, 9, func() {
		p.kits[mag] = kitOf(mag, "magnesium drops, new box", "drop titration", 20, 26, 40, 44)
	})
	p.at(151, 18.6, func() {
		p.event(p.s.t, book.KindNote, nil, "Opened a new box of magnesium drops, another make. It says 100 more than the old one did last week. One of them is telling stories.")
	})
	p.at(58, 11, func() {
		level := p.n.levels(p.s)
		for _, k := range []*kit{labKit(alk, 0.08), labKit(cal, 5), labKit(mag, 14), labKit(pho, 0.004)} {
			p.note(k.q, k, k.read(level[k.q], p.tester), false, "postal sample")
		}
	})
	p.remark(46, 20.1, "Laboratory sheet came back and is entered for the day of the sample. Magnesium sits between the two boxes of drops, nearer to neither.")
}

func labKit(q ion, sd float64) *kit {
	k := kitOf(q, "coast laboratory", "laboratory", 1, sd, sd/2, 0)
	switch q {
	case pho:
		k.resolution = 0.001
	case alk:
		k.resolution = 0.01
	}
	return k
}

// libraryPumps trims the pumps by the readings; the carbonate pump tires in the last weeks.
func (p *player) libraryPumps() {
	tired := p.today - 17
	carbonate := &feed{name: "carbonate pump", what: carbonateStock, amount: 46, every: 1, potency: 1, wear: func(t float64) float64 {
		return 1 - 0.010*math.Max(0, t-tired)
	}}
	calcium := &feed{name: "calcium pump", what: calciumStock, amount: 43, every: 1, potency: 1.01, wear: func(float64) float64 { return 0.99 }}
	p.feeds = []*feed{carbonate, calcium}
	p.declareFeed(carbonate, "")
	p.declareFeed(calcium, "")
	for ago := 400.0; ago > 22; ago -= 25 {
		p.trim(ago, 19.6, carbonate, alk, 8.6, "set by the last readings")
		p.pair(ago, 19.7, calcium, carbonate, -0.03, 418)
	}
	p.equipment("dosing pumps", "dosing pump", map[string]any{"heads": 2, "tubing renewed": "with the tank"})
	p.equipment("ceiling lamp", "lamp", map[string]any{"hours a day": 10})
	p.equipment("flow pump", "circulation pump", map[string]any{"power": "60 %"})
}

func (p *player) libraryWeek() {
	p.tests(alk, 423, 1, 3, 18.5)
	p.tests(cal, 420, 3, 9, 18.7)
	p.tests(mag, 418, 5, 13.6, 18.9)
	p.tests(nit, 421, 3, 7, 19)
	p.tests(pho, 421, 3, 7, 19.2)
	p.tests(sal, 422, 4, 9, 18.2)
	p.tests(tmp, 422, 1, 7, 18.1)
	change := &habit{name: "fortnightly change", litres: 38, every: 14}
	p.declareHabit(change)
	p.each(420, 14, 14, 10.5, func() { p.perform(change, false) })
	p.libraryFish()
	p.meals("frozen mysis", "2", "g", 421, 2, 7, 17.4)
	p.chores("glass cleaned", 424, 2, 6, 17.2)
	p.chores("skimmer cup emptied", 423, 3, 8, 17.3)
	p.task(book.Routine{Name: "carbon renewed", Action: "chore", Chore: "carbon renewed", EveryDays: "28"})
	p.chores("carbon renewed", 411, 7, 28, 10.9)
	p.scores("film algae", 419, 5, 14, 17.1, func(float64) float64 { return 1.2 })
	p.scores("polyp extension", 419, 5, 14, 17.15, func(ago float64) float64 { return 3 - math.Max(0, 12-ago)/14 })
}

// fedTwice is how many days ago the reading room's fish began to get twice the food,
// in smaller meals.
const fedTwice = 230

// libraryFish are the fish of the reading room and what feeds them.
func (p *player) libraryFish() {
	for _, a := range []book.Animal{
		{Name: "the chromis", Species: "blue-green chromis", Group: "fish", Count: "5", Mass: "4", MassUnit: "g"},
		{Name: "the pair", Species: "clownfish", Group: "fish", Count: "2", Mass: "8", MassUnit: "g"},
		{Name: "the blenny", Species: "tailspot blenny", Group: "fish", Count: "1", Mass: "5", MassUnit: "g"},
	} {
		p.event(p.s.t, book.KindAnimal, &a, "")
	}
	p.feeder(0, "0.3", "1", "")
	p.at(fedTwice, 8, func() {
		p.feeder(p.s.t, "0.15", "0.25", "twice the pellets, in four small meals instead of one")
	})
	p.remark(fedTwice-1, 18.3, "Since yesterday the feeder gives 0.15 g four times a day, not 0.3 g in the morning. The fish are busy all day. Let us see what it does to the water.")
	p.remark(fedTwice-64, 18.6, "Two months of twice the food: nitrate and phosphate have gone up and are still where the corals like them. Whether the small meals did any good nobody can tell from one tank.")
}

func (p *player) feeder(t float64, grams, every, why string) {
	from := p.when(math.Floor(t) + 8.0/24)
	p.event(t, book.KindRoutine, &book.Routine{Name: "feeder", Action: "feeding", Food: "dry pellets", Amount: book.Number(grams), Unit: "g",
		EveryDays: book.Number(every), From: &from, Automatic: true}, why)
}

func (p *player) libraryNotes() {
	p.remark(424.0, 19.5, "First evening of the book for the reading room. Tank has run two years; the old notes are in a drawer.")
	p.remark(377, 18, "Two small brain corals from the glasshouse bench, left side, sandy floor.")
	p.setting(300, 17.5, "flow pump", "power", 70, "%", "detritus behind the arch")
	p.remark(266, 18.3, "A child counted nineteen snails. Probably right.")
	p.setting(205, 17.8, "ceiling lamp", "hours a day", 9, "h", "film algae on the front pane every other day")
	p.at(239, 18.8, func() { p.typedWrong() })
	p.remark(120, 18.4, "Leather coral shed its skin and stayed shut for six days. Water was fine.")
	p.remark(9, 18.2, "Carbonate canister is fuller than it ought to be at this time of the month.")
	p.remark(2, 18.9, "Big hammer coral in less of a mood than last week.")
}

// typedWrong is a reading typed the wrong way round and put right the same evening.
func (p *player) typedWrong() {
	good := p.kits[cal].read(p.n.levels(p.s)[cal], p.tester)
	bad := result{text: "240"}
	if good.text != "420" {
		good = result{value: 420, text: "420"}
	}
	bad.value = 240
	wrong := p.note(cal, p.kits[cal], bad, true, "")
	p.log(book.Line{Kind: book.KindReading, At: p.when(p.s.t), Tank: p.name, Replaces: wrong.line, Note: "typed it the wrong way round",
		Body: &book.Reading{Quantity: "calcium", Value: book.Number(good.text), Unit: "mg/L", Instrument: p.kits[cal].name}})
}
