package rehearsal

import (
	"math/rand/v2"
)

// The shelf of kits. Repeatability, steps and biases are common practice, no source.

// kitFor draws a kit for a quantity; number tells kits of one tank apart.
func kitFor(r *rand.Rand, q ion, number string, silent bool, say spoken) *kit {
	k := &kit{q: q, said: say, silent: silent}
	switch q {
	case alk:
		titration(k, r, []float64{0.1, 0.3, 0.5, 1}, []float64{0.2, 0.25, 0.3, 0.4}, 0.3, 0.2)
	case cal:
		titration(k, r, []float64{5, 10, 20}, []float64{8, 12, 15}, 12, 10)
	case mag:
		titration(k, r, []float64{10, 20, 30, 50}, []float64{25, 35, 40, 50}, 30, 25)
	case nit:
		nitrateKit(k, r)
	case pho:
		phosphateKit(k, r)
	case sal:
		salinityKit(k, r)
	case tmp:
		k.name, k.method, k.resolution, k.sd, k.biasSD = "thermometer", "thermometer", 0.1, 0.1, 0.3
	case acid:
		k.name, k.method, k.resolution, k.sd, k.biasSD = "glass electrode", "electrode", 0.01, 0.02, 0.05
	}
	k.name += number
	k.fitScale()
	if silent {
		k.useMethod()
	}
	k.draw(r)
	return k
}

// titration is a drop or syringe test, or a photometer.
func titration(k *kit, r *rand.Rand, steps, sds []float64, bias, photometerBias float64) {
	if chance(r, 0.25) {
		k.name, k.method, k.resolution, k.sd, k.biasSD = ionNames[k.q]+" photometer", "photometer", steps[0], sds[0], photometerBias
		return
	}
	i := r.IntN(len(steps))
	k.name, k.method = ionNames[k.q]+" drops", "drop titration"
	k.resolution, k.sd, k.biasSD = steps[i], sds[i], bias*between(r, 0.8, 1.2)
}

func nitrateKit(k *kit, r *rand.Rand) {
	if chance(r, 0.5) {
		k.name, k.method, k.card = "nitrate card", "colour card", []float64{0, 1, 2, 5, 10, 15, 20, 30, 40, 60, 80}
		k.sd, k.relSD, k.biasSD = 0.5, 0.25, 0.8
		k.resolution = 0.1
		k.limit = pick(r, 0, 1.0)
		return
	}
	k.name, k.method, k.resolution = "nitrate photometer", "photometer", pick(r, 0.1, 0.5, 1)
	k.sd, k.relSD, k.biasSD, k.limit = 0.4, 0.1, 0.6, pick(r, 0, 0.5, 1)
}

func phosphateKit(k *kit, r *rand.Rand) {
	if chance(r, 0.25) {
		k.name, k.method, k.card = "phosphate card", "colour card", []float64{0, 0.02, 0.03, 0.06, 0.09, 0.12, 0.18, 0.24, 0.5, 1}
		k.sd, k.relSD, k.biasSD, k.resolution, k.limit = 0.02, 0.15, 0.015, 0.01, pick(r, 0, 0.02)
		return
	}
	k.name, k.method, k.resolution = "phosphate photometer", "photometer", 0.01
	k.sd, k.relSD, k.biasSD, k.limit = 0.012, 0.04, 0.01, pick(r, 0, 0, 0.02)
}

func salinityKit(k *kit, r *rand.Rand) {
	if chance(r, 0.5) {
		k.name, k.method, k.resolution, k.sd, k.biasSD = "refractometer", "refractometer", 0.5, 0.5, 0.6
		return
	}
	k.name, k.method, k.resolution, k.sd, k.biasSD = "conductivity probe", "conductivity probe", 0.1, 0.2, 0.4
}

// useMethod is the usual error of the method, which is all a log says that names no more (husbandry tables, section 2).
func (k *kit) useMethod() {
	switch {
	case k.method == "colour card" && k.q == nit:
		k.sd, k.relSD, k.biasSD, k.relBiasSD, k.limit = 0.5, 0.30, 0, 0.2, 0
	case k.method == "colour card" && k.q == pho:
		k.sd, k.relSD, k.biasSD, k.limit = 0.03, 0, 0.015, 0
	case k.method == "photometer" && k.q == nit:
		k.sd, k.relSD, k.biasSD, k.relBiasSD, k.limit = 0.5, 0.10, 0, 0.12, 0
	case k.method == "photometer" && k.q == pho:
		k.sd, k.relSD, k.biasSD, k.limit = 0.015, 0.04, 0.01, 0
	case k.method == "drop titration":
		k.sd = map[ion]float64{alk: 0.35, cal: 12, mag: 40}[k.q]
		k.biasSD = map[ion]float64{alk: 0.3, cal: 12, mag: 30}[k.q]
	}
}

// fitScale makes the step of the scale a round figure in the unit on the bottle.
func (k *kit) fitScale() {
	if k.said.times == 1 {
		return
	}
	step := k.resolution * k.said.times
	for _, round := range []float64{0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20} {
		if round >= step*0.8 {
			k.resolution = round / k.said.times
			return
		}
	}
}

// laboratory is a postal analysis; every quantity has its own instrument line under one name.
func laboratory(q ion, r *rand.Rand) *kit {
	k := &kit{q: q, name: "postal laboratory", method: "laboratory", said: spoken{ionUnits[q], 1}}
	switch q {
	case alk:
		k.resolution, k.sd, k.biasSD = 0.01, 0.08, 0.05
	case cal:
		k.resolution, k.sd, k.biasSD = 1, 6, 4
	case mag:
		k.resolution, k.sd, k.biasSD = 1, 18, 12
	case nit:
		k.resolution, k.sd, k.relSD, k.biasSD = 0.01, 0.1, 0.04, 0.1
	case pho:
		k.resolution, k.sd, k.relSD, k.biasSD = 0.001, 0.006, 0.03, 0.004
	default:
		k.resolution, k.sd, k.biasSD = 0.1, 0.1, 0.1
	}
	k.draw(r)
	return k
}
