package waterbench

import (
	"fmt"
	"math"

	"driftline/internal/standing"
	"driftline/seawater"
	"driftline/units"
)

func chance(p float64) string { return standing.ChanceWords(p) }

// air is carbon dioxide over this water, µatm.
func (w *water) air() figure {
	if w.airUA > 0 {
		return figure{w.airUA, 0}
	}
	return openAir(&w.sea)
}

// openAir is the pressure of carbon dioxide in open air over a water.
func openAir(sea *seawater.Water) figure {
	p, err := sea.AirPCO2(openAirPPM)
	if err != nil {
		return figure{openAirPPM, openAirSD}
	}
	return figure{p, openAirSD * p / openAirPPM}
}

func (w *water) airName() string {
	if w.airUA > 0 {
		return "the air over it"
	}
	return "open air"
}

// carbonGroup is the carbonate system and what it says of pH.
func (w *water) carbonGroup() Group {
	g := Group{Title: "Carbonates"}
	if !w.has(units.Alkalinity) {
		if w.has(units.PH) {
			w.addScales(&g, w.scales(), w.got[units.PH].sd, "")
		}
		return g
	}
	rest, errRest := w.atRest(w.ta)
	if !w.has(units.PH) {
		if errRest == nil {
			w.addAtRest(&g, rest)
		}
		return g
	}
	c, sd, err := w.solve()
	if err != nil {
		w.warn("pH and alkalinity do not fit together, so one of them is wrong: %v.", err)
		w.addScales(&g, w.scales(), w.got[units.PH].sd, "")
		return g
	}
	says := ""
	if errRest == nil {
		says = w.whyPH(c, sd, rest)
	}
	w.addScales(&g, c, w.ph.sd, says)
	w.addCarbon(&g, c, sd)
	w.addSaturation(&g, c, sd)
	if errRest == nil {
		w.addAtRest(&g, rest)
		w.addUsual(&g, c, sd)
	}
	return g
}

// solve is the carbonate system by alkalinity and pH.
func (w *water) solve() (value, sd seawater.Carbonate, err error) {
	return w.sea.SolveWithDoubts(seawater.TA(w.ta.v), seawater.PH(w.ph.v),
		seawater.Doubts{A: w.ta.sd, B: w.ph.sd, SP: w.sp.sd, TempC: w.tempC.sd})
}

// state is a solved carbonate system with its doubts.
type state struct{ c, sd seawater.Carbonate }

// atRest is the water with so much alkalinity once in balance with its air.
func (w *water) atRest(ta figure) (state, error) {
	a := w.air()
	c, sd, err := w.sea.SolveWithDoubts(seawater.TA(ta.v), seawater.PCO2(a.v),
		seawater.Doubts{A: ta.sd, B: a.sd, SP: w.sp.sd, TempC: w.tempC.sd})
	return state{c, sd}, err
}

// scales is pH on each scale without a carbonate system.
func (w *water) scales() (c seawater.Carbonate) {
	c.PHTotal = w.ph.v
	for scale, to := range map[seawater.PHScale]*float64{seawater.SeawaterScale: &c.PHSeawater, seawater.FreeScale: &c.PHFree, seawater.NBSScale: &c.PHNBS} {
		v, err := w.sea.ConvertPH(w.ph.v, seawater.TotalScale, scale)
		if err != nil {
			v = math.NaN()
		}
		*to = v
	}
	return c
}

func (w *water) addScales(g *Group, c seawater.Carbonate, sd float64, says string) {
	nbs, total := w.got[units.PH].sd, w.ph.sd
	if w.unit[units.PH] == "total" {
		nbs = math.Hypot(total, scaleDoubt)
	}
	if says == "" {
		says = "What an electrode set in the usual buffers shows."
	}
	g.add(figure{c.PHNBS, nbs}.finding("pH", "pH, NBS scale", "", says, w.guessed))
	g.add(figure{c.PHTotal, total}.finding("pH, total", "pH, total scale", "", "The scale of published sea-water chemistry.", w.guessed))
	g.add(figure{c.PHSeawater, total}.finding("pH, seawater", "pH, seawater scale", "", "The total scale with hydrogen fluoride counted too.", w.guessed))
	g.add(figure{c.PHFree, total}.finding("pH, free", "pH, free scale", "", "Free hydrogen only.", w.guessed))
}

func (w *water) addCarbon(g *Group, c, sd seawater.Carbonate) {
	a := w.air()
	ratio := figure{c.PCO2, sd.PCO2}.over(a)
	g.add(figure{c.PCO2, sd.PCO2}.finding("carbon dioxide", "Carbon dioxide", "µatm", w.carbonSays(ratio), w.guessed))
	g.add(ratio.finding("carbon dioxide to air", "Carbon dioxide against "+w.airName(), "times",
		"1 is in balance; above it the water gives carbon dioxide off when it is stirred or aired.", w.guessed))
	g.add(figure{c.CO2, sd.CO2}.finding("dissolved carbon dioxide", "Dissolved carbon dioxide", "µmol/kg", "The gas itself: the smallest part of the carbon.", w.guessed))
	g.add(figure{c.HCO3, sd.HCO3}.finding("bicarbonate", "Bicarbonate", "µmol/kg",
		fmt.Sprintf("%.0f %% of the dissolved carbon.", 100*c.HCO3/c.DIC), w.guessed))
	g.add(figure{c.CO3, sd.CO3}.finding("carbonate", "Carbonate", "µmol/kg",
		fmt.Sprintf("%.0f %% of the dissolved carbon: what lime and skeletons form from.", 100*c.CO3/c.DIC), w.guessed))
	g.add(figure{c.DIC, sd.DIC}.finding("dissolved carbon", "Dissolved inorganic carbon", "µmol/kg", "All three together.", w.guessed))
	g.add(figure{c.Revelle, sd.Revelle}.finding("revelle", "Revelle factor", "",
		fmt.Sprintf("1 %% more dissolved carbon raises its carbon dioxide by %.0f %%: the higher, the less the water buffers.", c.Revelle), w.guessed))
}

// lnAbove is the chance that a positive figure is above a limit, its doubt taken
// as a share of it.
func lnAbove(f figure, limit float64) float64 {
	if !(f.v > 0) {
		return 0
	}
	return chanceAbove(figure{math.Log(f.v), f.sd / f.v}, math.Log(limit))
}

func (w *water) carbonSays(ratio figure) string {
	p := lnAbove(ratio, 1)
	switch {
	case p >= 0.6:
		return fmt.Sprintf("More carbon dioxide than %s would leave in it, %s: about %.1f times.", w.airName(), chance(p), ratio.v)
	case p <= 0.4:
		return fmt.Sprintf("Less carbon dioxide than %s would leave in it, %s: about %.2f times. Algae, lime water or a scrubber take it out.", w.airName(), chance(1-p), ratio.v)
	}
	return fmt.Sprintf("In balance with %s as far as can be told.", w.airName())
}

// calciumShare is the doubt of measured calcium as a share of it.
func (w *water) calciumShare() float64 {
	if ca, ok := w.got[units.Calcium]; ok && ca.v > 0 {
		return ca.sd / ca.v
	}
	return 0
}

func (w *water) aragonite(c, sd seawater.Carbonate) figure {
	return figure{c.OmegaAragonite, math.Hypot(sd.OmegaAragonite, w.calciumShare()*c.OmegaAragonite)}
}

// addSaturation tells aragonite and calcite, with the doubt of measured calcium.
func (w *water) addSaturation(g *Group, c, sd seawater.Carbonate) {
	a := w.aragonite(c, sd)
	k := figure{c.OmegaCalcite, math.Hypot(sd.OmegaCalcite, w.calciumShare()*c.OmegaCalcite)}
	g.add(a.finding("aragonite", "Saturation with aragonite", "", aragoniteSays(a), w.guessed, w.content))
	g.add(k.finding("calcite", "Saturation with calcite", "", "Below 1 calcite dissolves; it always stands about one and a half times as high as aragonite.", w.guessed, w.content))
}

func aragoniteSays(f figure) string {
	switch p := 1 - chanceAbove(f, 1); {
	case p >= 0.5:
		return "Coral skeletons and sand of aragonite dissolve in this water, " + chance(p) + "."
	case 1-chanceAbove(f, 2.5) >= 0.5:
		return fmt.Sprintf("Skeletons can form, but slowly: the tropical sea stands near %g.", tropicalAragonite)
	case chanceAbove(f, 6) >= 0.5:
		return "So high that lime comes out of the water by itself on pumps and heaters before long."
	}
	return fmt.Sprintf("Skeletons can form as in the tropical sea, which stands near %g.", tropicalAragonite)
}

func (w *water) addAtRest(g *Group, rest state) {
	assumed := append(append([]string{}, w.guessed...), w.airAssumed()...)
	g.add(figure{rest.c.PHNBS, math.Hypot(rest.sd.PHTotal, scaleDoubt)}.finding("pH in air", "pH in balance with "+w.airName()+", NBS", "",
		"Where this water would come to rest once it has been aired long enough.", assumed))
	if !w.has(units.PH) {
		a := figure{rest.c.OmegaAragonite, rest.sd.OmegaAragonite}
		g.add(a.finding("aragonite in air", "Saturation with aragonite once in balance with "+w.airName(), "", aragoniteSays(a), assumed, w.content))
	}
}

func (w *water) airAssumed() []string {
	if w.airUA > 0 {
		return nil
	}
	return []string{fmt.Sprintf("open air of %.0f ± %.0f ppm carbon dioxide", openAirPPM, openAirSD)}
}

// usualTA is the usual alkalinity in this water, µmol/kg.
func (w *water) usualTA() (float64, error) {
	meq, err := units.Convert(units.Alkalinity, usualDKH, "dKH", "meq/L")
	if err != nil {
		return 0, err
	}
	return seawater.PerKilogram(meq*1000, w.sp.v, w.tempC.v)
}

func (w *water) addUsual(g *Group, c, sd seawater.Carbonate) {
	ta, err := w.usualTA()
	if err != nil {
		return
	}
	at, err := w.sea.Solve(seawater.TA(ta), seawater.PCO2(c.PCO2))
	if err != nil {
		return
	}
	// At fixed alkalinity pH goes with the logarithm of the pressure; the doubt is its.
	slope, err := w.sea.Solve(seawater.TA(ta), seawater.PCO2(c.PCO2*1.01))
	if err != nil {
		return
	}
	doubt := math.Abs(slope.PHTotal-at.PHTotal) / 0.01 * sd.PCO2 / c.PCO2
	g.add(figure{at.PHNBS, math.Hypot(doubt, scaleDoubt)}.finding("pH at usual alkalinity", "pH at 8 dKH with the same carbon dioxide, NBS", "",
		fmt.Sprintf("Bringing alkalinity to 8 dKH without airing would move pH by %+.2f.", at.PHTotal-c.PHTotal), w.guessed))
}
