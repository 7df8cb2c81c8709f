package rehearsal

import (
	"math"
	"time"

	"driftline/internal/book"
)

// raisingBench is the glasshouse: small pieces of small-polyp corals in a shallow trough, limewater by night, tested daily.
func raisingBench(origin, now time.Time) *player {
	const litres = 210
	r := stream(2026, 1)
	n := demoNature(r, litres*0.99, 1.05, demoDays+2)
	after(n.calcify, 60, 200, 1.3)
	after(n.calcify, demoDays-140, 4, 0.7) // a batch went out
	after(n.calcify, demoDays-130, 110, 1.35)
	for i := range n.warmth {
		n.warmth[i] += 0.5 * math.Sin(2*math.Pi*float64(i)/stepsPerDay/365)
	}
	n.warmSwing, n.acidSwing = 0.5, 0.14
	n.foodN, n.foodP = scaled(n.foodN, 0.8), scaled(n.foodP, 0.5)
	n.takeN, n.takeP = scaled(n.takeN, 0.075), scaled(n.takeP, 0.045)
	n.magPerDKH = 0.06
	start := levels{alk: 7.9, cal: 428, mag: 1335, nit: 3.2, pho: 0.05, sal: 35.1}
	p := newPlayer(newBasin("raising bench", origin, litres, n, start, 2026), 2026, now, demoDays)
	p.salt = &salt{name: "bench salt", says: []ion{alk, cal, mag, nit, pho, sal},
		label: levels{alk: 7.6, cal: 420, mag: 1330, sal: 35}, truth: levels{alk: 7.7, cal: 428, mag: 1318, nit: 0.05, pho: 0.003, sal: 35}}
	p.place("small-polyp stony", litres, 180, 60, 25)
	p.bandsOf(map[ion][3]float64{alk: {7.2, 8, 8.8}, cal: {395, 430, 460}, mag: {1220, 1320, 1410}, nit: {1, 3, 8},
		pho: {0.02, 0.04, 0.08}, sal: {34.5, 35, 35.5}, tmp: {24.5, 25.5, 27}, acid: {7.8, 8.15, 8.5}}, nil)
	p.benchKits()
	p.benchSupply()
	p.benchDays()
	p.benchNotes()
	return p
}

func (p *player) benchKits() {
	p.kits[alk] = kitOf(alk, "bench alkalinity photometer", "photometer", 0.1, 0.16, 0.2, 0.08)
	p.kits[cal] = kitOf(cal, "bench calcium photometer", "photometer", 1, 8, 10, 4)
	p.kits[mag] = kitOf(mag, "bench magnesium drops", "drop titration", 10, 24, 30, -14)
	p.kits[nit] = kitOf(nit, "bench nitrate photometer", "photometer", 0.1, 0.25, 0.4, -0.1)
	p.kits[nit].relSD = 0.06
	p.kits[pho] = kitOf(pho, "bench phosphate photometer", "photometer", 0.01, 0.007, 0.006, 0.002)
	p.kits[sal] = kitOf(sal, "conductivity pen", "conductivity probe", 0.1, 0.15, 0.3, -0.1)
	p.kits[tmp] = kitOf(tmp, "bench thermometer", "thermometer", 0.1, 0.1, 0.2, 0.05)
	p.kits[acid] = kitOf(acid, "bench electrode", "electrode", 0.01, 0.02, 0.04, 0.02)
}

// benchSupply: limewater for a fixed part, two pumps trimmed every three weeks for the rest.
func (p *player) benchSupply() {
	steady := func(float64) float64 { return 1 }
	limewater := &feed{name: "limewater at night", what: lime, amount: 1.5, every: 1, potency: 0.98, wear: steady}
	carbonate := &feed{name: "bench carbonate pump", what: carbonateStock, amount: 23, every: 1, potency: 1, wear: steady}
	calcium := &feed{name: "bench calcium pump", what: calciumStock, amount: 24, every: 1, potency: 1, wear: steady}
	p.feeds = []*feed{limewater, carbonate, calcium}
	for _, f := range p.feeds {
		p.declareFeed(f, "")
	}
	for ago := 410.0; ago > 5; ago -= 18 {
		p.trim(ago, 9.6, carbonate, alk, 8, "")
		p.pair(ago, 9.7, calcium, carbonate, -0.05, 434)
	}
	p.at(137, 9.8, func() {
		carbonate.amount = math.Round(carbonate.amount * 0.55)
		p.declareFeed(carbonate, "a third of the plugs are gone")
	})
}

func (p *player) benchDays() {
	p.tests(alk, 424, 1, 1.5, 8)
	p.tests(cal, 423, 9, 7, 8.2)
	p.tests(mag, 421, 6, 17, 8.3)
	p.tests(nit, 423, 2, 5, 8.4)
	p.tests(pho, 423, 2, 5, 8.5)
	p.tests(sal, 423, 2, 5, 7.9)
	p.tests(tmp, 424, 1, 4, 7.8)
	p.tests(acid, 424, 1, 4, 7.85)
	p.at(1, 8.3, func() {
		p.note(cal, p.kits[cal], result{value: 287, text: "287"}, true, "cuvette was still wet from rinsing")
	})
	nitrate := &habit{name: "nitrate, every other day", what: &saltpetre, amount: 0.04, every: 2}
	change := &habit{name: "bench change", litres: 20, every: 10}
	p.declareHabit(nitrate)
	p.declareHabit(change)
	p.each(423, 1, 2, 8.6, func() { p.perform(nitrate, false) })
	p.each(423, 3, 10, 9.3, func() { p.perform(change, false) })
	p.at(288, 8.7, func() { p.wrongTank() })
	p.meals("powdered plankton", "0.3", "g", 423, 1, 7, 20)
	p.task(book.Routine{Name: "prefilter rinsed", Action: "chore", Chore: "prefilter rinsed", EveryDays: "7"})
	p.chores("prefilter rinsed", 421, 1, 7, 9)
	p.scores("polyp extension", 423, 3, 10, 20.2, func(float64) float64 { return 3 })
	p.scores("film algae", 420, 4, 12, 20.3, func(float64) float64 { return 0.8 })
}

// wrongTank is a dose written down for this tank by mistake and retracted.
func (p *player) wrongTank() {
	p.once(p.s.t, book.KindSubstance, magnesiumS.line.Name, magnesiumS.line)
	id := p.event(p.s.t, book.KindDose, &book.Dose{Substance: magnesiumS.line.Name, Amount: "60", Unit: "g"}, "")
	p.log(book.Line{Kind: book.KindVoid, At: p.when(p.s.t), Replaces: id, Note: "wrong tank, and in the end not given at all"})
}

func (p *player) benchNotes() {
	p.equipment("limewater vessel", "limewater stirrer", map[string]any{"holds": "6 L"})
	p.equipment("shade net", "shade", map[string]any{"lets through": "50 %"})
	p.remark(424, 20.5, "Bench set up with forty-two plugs. Limewater runs from ten at night to six.")
	p.remark(365, 20.1, "Colours better on the north row. Too much sun on the south one.")
	p.setting(364, 9.5, "shade net", "lets through", 40, "%", "pale tips on the south row")
	p.remark(224, 20.2, "Seventy plugs now. The carbonate canister lasts nine days instead of fourteen.")
	p.remark(140, 9.1, "Thirty plugs went to the exchange day, a lot of hungry mouths gone at once.")
	p.setting(182, 9.4, "shade net", "lets through", 55, "%", "winter sun")
	p.remark(61, 20.4, "Frost on the panes, heater held.")
	p.remark(20, 20.1, "New plugs cut from the six oldest mothers, twenty-six pieces.")
}
