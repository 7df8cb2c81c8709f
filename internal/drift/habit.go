package drift

import "math"

// Habit is how a family of quantities behaves before a tank has told more. All
// figures are priors, in the unit of the case and days; a field ending in Rel
// adds that share of the tank's usual level. They are common practice or
// judgement, wide on purpose, and the tank's own log overrules them.
type Habit struct {
	LevelSD              float64 // doubt of the level at the first reading
	DemandMean, DemandSD float64 // long-run net loss a day
	DemandSDRel          float64
	Wander, WanderRel    float64 // median of the demand's standing spread around its long run
	WanderSpread         float64 // log standard deviation of that median
	WanderDays           float64 // how long a wander lasts
	Relax, RelaxSpread   float64 // median rate a day at which demand pulls the level back
	Noise, NoiseRel      float64 // median of the level's own noise, per square root of a day
	NoiseSpread          float64
	Restless             float64 // share of that noise that is movement of the water, not the model's error
	ScatterSpread        float64 // log standard deviation of real over stated kit scatter
	MisreadShare         float64 // share of readings that are simply wrong
	Floor                float64 // the level cannot be less
	Skewed               bool    // the level errs by factors rather than by amounts
	Supplied             bool    // keepers give about what is used: what goes in tells of the demand
	Rock                 bool    // rock and sand may take it up and give it back
	Yield, YieldSD       float64 // share of the food that ends in the water, where the case tells of food
}

// alkalinityUse is the usual loss of alkalinity, dKH a day, by kind of tank:
// common practice, no source.
var alkalinityUse = map[string]float64{
	"soft coral": 0.12, "mixed": 0.55, "large-polyp stony": 0.4, "small-polyp stony": 1.5,
	"fish only": 0.05, "quarantine": 0.03,
}

// HabitOf returns the priors of a quantity's family ("alkalinity", "calcium",
// "magnesium", "nitrate", "phosphate", "salinity"; anything else is taken for a
// trace) in a kind of tank. unitsPer is how many units of the case make one
// default unit of the quantity (dKH, mg/L, PSU).
func HabitOf(family, system string, unitsPer float64) Habit {
	use, known := alkalinityUse[system]
	if !known {
		use = 0.45
	}
	h := Habit{WanderSpread: 0.8, WanderDays: 150, RelaxSpread: 1, NoiseSpread: 0.7, ScatterSpread: 0.3, MisreadShare: 0.025, Relax: 0.01}
	h.Skewed = family == "nitrate" || family == "phosphate"
	h.Supplied = family == "alkalinity" || family == "calcium"
	switch family {
	case "alkalinity":
		h.LevelSD, h.DemandMean, h.DemandSD = 3, use, 0.7*use+0.15
		h.Wander, h.Relax, h.Noise, h.RelaxSpread = 0.26*use+0.036, math.Max(0.8*use/8.5, 0.005), 0.05, 0.6
	case "calcium":
		h.LevelSD, h.DemandMean, h.DemandSD = 60, 7.15*use, 5*use+1
		h.Wander, h.Relax, h.Noise, h.RelaxSpread = 1.9*use+0.28, math.Max(0.8*7.15*use/425, 0.003), 0.8, 0.6
	case "magnesium":
		h.LevelSD, h.DemandMean, h.DemandSD = 120, 0.3*use+0.3, 0.6*use+0.6
		h.Wander, h.Relax, h.Noise = 0.21*use+0.14, 0.003, 1
	case "nitrate":
		h.LevelSD, h.DemandSD, h.DemandSDRel = 15, 0.1, 0.025
		h.Wander, h.WanderRel, h.Relax, h.Noise, h.NoiseRel = 0.045, 0.014, 0.035, 0.055, 0.025
		h.Yield, h.YieldSD = 0.5, 0.3 // of nitrogen fed; the rest is kept, siphoned, skimmed or denitrified at once: judgement
	case "phosphate":
		h.LevelSD, h.DemandSD, h.DemandSDRel = 0.15, 0.0012, 0.03
		h.Wander, h.WanderRel, h.Relax, h.Noise, h.NoiseRel = 0.001, 0.016, 0.06, 0.0021, 0.04
		h.Rock = true
		h.Yield, h.YieldSD = 0.15, 0.12 // of phosphorus fed; the rest is kept, or bound on sand and rock at once: judgement
	case "salinity":
		h.LevelSD, h.DemandSD = 3, 0.02
		h.Wander, h.Noise = 0.015, 0.06
	default:
		h.LevelSD, h.DemandSDRel, h.WanderRel, h.NoiseRel = 0, 0.004, 0.002, 0.005
	}
	return h.scaled(unitsPer)
}

func (h Habit) scaled(by float64) Habit {
	for _, f := range []*float64{&h.LevelSD, &h.DemandMean, &h.DemandSD, &h.Wander, &h.Noise} {
		*f *= math.Abs(by)
	}
	return h
}

// at resolves the shares of the usual level.
func (h Habit) at(level float64) Habit {
	level = math.Abs(level)
	h.LevelSD = math.Max(h.LevelSD, 0.5*level)
	h.DemandSD += h.DemandSDRel * level
	h.Wander += h.WanderRel * level
	h.Noise += h.NoiseRel * level
	h.DemandSDRel, h.WanderRel, h.NoiseRel = 0, 0, 0
	return h
}

// supplied takes what goes in a day as a better guess of the demand than the kind
// of tank gives: nobody doses for long what is not used (common practice, no source).
func (h Habit) supplied(perDay float64) Habit {
	if h.Supplied && perDay > 0.2*h.DemandMean {
		h.DemandSD = 0.4*perDay + 0.25*h.DemandSD
		h.Relax *= perDay / h.DemandMean
		h.DemandMean = perDay
	}
	return h
}
