package standing

import (
	"driftline/internal/book"
	"driftline/units"
)

// The errors below are the trade's common practice, without a source unless
// marked: what each method usually does in a keeper's hands. They fill in what
// an instrument's declaration leaves out. Units are the quantity's default;
// rel and relBias are fractions of the level. A spread of "±" between kits is
// read as about 1.7 standard deviations.

type errorsOf struct{ sd, rel, resolution, bias, relBias float64 }

const (
	dropTitration = "drop titration"
	colourCard    = "colour card"
	photometer    = "photometer"
	hydrometer    = "hydrometer"
	refractometer = "refractometer"
	conductivity  = "conductivity probe"
	electrode     = "electrode"
	thermometer   = "thermometer"
	laboratory    = "laboratory"
	unnamed       = "" // an undeclared or unnamed instrument
)

var methods = map[units.Quantity]map[string]errorsOf{
	units.Alkalinity: {
		dropTitration: {sd: 0.3, resolution: 0.3, bias: 0.35},
		photometer:    {sd: 0.2, resolution: 0.1, bias: 0.3},
		electrode:     {sd: 0.06, resolution: 0.01, bias: 0.1},
		laboratory:    {sd: 0.1, resolution: 0.01, bias: 0.15}, // changes in the bottle by post
		unnamed:       {sd: 0.3, resolution: 0.1, bias: 0.35},
	},
	units.Calcium: {
		dropTitration: {sd: 12, resolution: 10, bias: 12},
		photometer:    {sd: 15, resolution: 1, bias: 15},
		laboratory:    {rel: 0.025, resolution: 1, relBias: 0.03},
		unnamed:       {sd: 14, resolution: 5, bias: 14},
	},
	units.Magnesium: {
		dropTitration: {sd: 40, resolution: 20, bias: 30},
		photometer:    {sd: 40, resolution: 5, bias: 40},
		laboratory:    {rel: 0.025, resolution: 1, relBias: 0.03},
		unnamed:       {sd: 40, resolution: 10, bias: 35},
	},
	units.Potassium: {
		dropTitration: {sd: 20, resolution: 10, bias: 20},
		photometer:    {sd: 20, resolution: 5, bias: 20},
		laboratory:    {rel: 0.025, resolution: 1, relBias: 0.03},
		unnamed:       {sd: 20, resolution: 5, bias: 20},
	},
	units.Strontium: {
		laboratory: {rel: 0.04, resolution: 0.1, relBias: 0.05},
		unnamed:    {sd: 1, resolution: 0.5, bias: 1},
	},
	units.Nitrate: {
		colourCard: {sd: 1, rel: 0.3, bias: 0.3, relBias: 0.2},
		photometer: {sd: 0.5, rel: 0.1, resolution: 0.1, bias: 0.2, relBias: 0.11},
		laboratory: {sd: 0.1, rel: 0.05, resolution: 0.01, relBias: 0.05},
		unnamed:    {sd: 0.7, rel: 0.2, resolution: 0.1, bias: 0.3, relBias: 0.15},
	},
	units.Nitrite: {
		colourCard: {sd: 0.05, rel: 0.2, bias: 0.02, relBias: 0.15},
		photometer: {sd: 0.01, rel: 0.1, resolution: 0.01, bias: 0.01, relBias: 0.1},
		laboratory: {sd: 0.005, rel: 0.05, relBias: 0.05},
		unnamed:    {sd: 0.05, rel: 0.2, bias: 0.02, relBias: 0.15},
	},
	units.TotalAmmonia: {
		colourCard: {sd: 0.1, rel: 0.2, bias: 0.04, relBias: 0.15},
		photometer: {sd: 0.03, rel: 0.1, resolution: 0.01, bias: 0.02, relBias: 0.1},
		electrode:  {sd: 0.05, rel: 0.1, resolution: 0.01, bias: 0.03, relBias: 0.1},
		unnamed:    {sd: 0.1, rel: 0.2, bias: 0.04, relBias: 0.15},
	},
	units.Phosphate: {
		colourCard: {sd: 0.03, rel: 0.1, bias: 0.015, relBias: 0.05},
		photometer: {sd: 0.015, rel: 0.045, resolution: 0.01, bias: 0.01, relBias: 0.03},
		laboratory: {sd: 0.015, resolution: 0.001, bias: 0.01},
		unnamed:    {sd: 0.02, rel: 0.1, resolution: 0.01, bias: 0.012, relBias: 0.05},
	},
	units.Silicate: {
		colourCard: {sd: 0.1, rel: 0.2, bias: 0.05, relBias: 0.1},
		photometer: {sd: 0.05, rel: 0.1, resolution: 0.01, bias: 0.03, relBias: 0.05},
		laboratory: {sd: 0.05, rel: 0.05, relBias: 0.05},
		unnamed:    {sd: 0.1, rel: 0.2, bias: 0.05, relBias: 0.1},
	},
	units.Iodine: {
		laboratory: {sd: 0.003, rel: 0.2, relBias: 0.1},
		unnamed:    {sd: 0.02, rel: 0.2, bias: 0.01},
	},
	units.Boron: {
		laboratory: {rel: 0.1, resolution: 0.1, relBias: 0.05},
		unnamed:    {sd: 0.5, resolution: 0.5, bias: 0.4},
	},
	units.Salinity: {
		hydrometer:    {sd: 1.3, resolution: 1.3, bias: 1},
		refractometer: {sd: 0.5, resolution: 0.5, bias: 0.8},
		conductivity:  {sd: 0.2, resolution: 0.1, bias: 0.4},
		laboratory:    {sd: 0.1, resolution: 0.1, bias: 0.1},
		unnamed:       {sd: 0.7, resolution: 0.5, bias: 0.8},
	},
	units.PH: {
		electrode:  {sd: 0.02, resolution: 0.01, bias: 0.05},
		photometer: {sd: 0.05, resolution: 0.1, bias: 0.06},
		colourCard: {sd: 0.15, resolution: 0.2, bias: 0.1},
		unnamed:    {sd: 0.05, resolution: 0.01, bias: 0.08},
	},
	units.Temperature: {
		thermometer: {sd: 0.1, resolution: 0.1, bias: 0.25},
		electrode:   {sd: 0.1, resolution: 0.1, bias: 0.25},
		unnamed:     {sd: 0.15, resolution: 0.1, bias: 0.25},
	},
	units.Redox: {
		electrode: {sd: 5, resolution: 1, bias: 20},
		unnamed:   {sd: 8, resolution: 1, bias: 25},
	},
	units.Oxygen: {
		electrode:     {sd: 0.15, resolution: 0.1, bias: 0.2},
		dropTitration: {sd: 0.3, resolution: 0.5, bias: 0.2},
		unnamed:       {sd: 0.3, resolution: 0.1, bias: 0.3},
	},
}

// methodErrors gives the usual errors of a method for a quantity; a method it
// does not know counts as unnamed.
func methodErrors(q units.Quantity, method string) errorsOf {
	rows := methods[q]
	if e, ok := rows[book.Key(method)]; ok {
		return e
	}
	return rows[unnamed]
}
