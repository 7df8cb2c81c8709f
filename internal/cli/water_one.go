package cli

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"driftline/internal/watersheet"
	"driftline/seawater"
	"driftline/units"
)

// given is a figure turned to a column of the sheet.
type given struct {
	column    string
	value, sd float64
}

// shown is a figure of the sheet as a person reads it.
type shown struct {
	column, label, unit string
	decimals            int
}

var waterFigures = []shown{
	{"SP", "Salinity", "PSU", 2}, {"SG_25C_25C", "Specific gravity 25/25 °C", "", 4}, {"SG_20C_20C", "Specific gravity 20/20 °C", "", 4},
	{"SG_60F_60F", "Specific gravity 60/60 °F", "", 4}, {"SG_20C_4C", "Specific gravity 20/4 °C", "", 4}, {"SG_25C_4C", "Specific gravity 25/4 °C", "", 4},
	{"C_mS_per_cm", "Conductivity", "mS/cm", 2}, {"rho_exact_kg_per_m3", "Density, TEOS-10", "kg/m³", 2}, {"rho_eos80_kg_per_m3", "Density, EOS-80", "kg/m³", 2},
	{"TA_dKH", "Alkalinity", "dKH", 2}, {"TA_meq_per_L", "", "meq/L", 3}, {"TA_mg_per_L_CaCO3", "", "mg/L CaCO3", 1}, {"TA_umol_per_kg", "", "µmol/kg", 1},
	{"DIC_umol_per_kg", "Dissolved inorganic carbon", "µmol/kg", 1},
	{"pH_total", "pH, total scale", "", 3}, {"pH_nbs", "pH, NBS scale", "", 3}, {"pH_sws", "pH, seawater scale", "", 3}, {"pH_free", "pH, free scale", "", 3},
	{"pCO2_uatm", "Pressure of carbon dioxide", "µatm", 0}, {"fCO2_uatm", "Fugacity of carbon dioxide", "µatm", 0},
	{"CO2_umol_per_kg", "Carbon dioxide", "µmol/kg", 2}, {"HCO3_umol_per_kg", "Bicarbonate", "µmol/kg", 1}, {"CO3_umol_per_kg", "Carbonate", "µmol/kg", 1},
	{"BOH4_umol_per_kg", "Borate", "µmol/kg", 1}, {"OH_umol_per_kg", "Hydroxide", "µmol/kg", 2},
	{"omega_aragonite", "Saturation of aragonite", "", 2}, {"omega_calcite", "Saturation of calcite", "", 2}, {"revelle_factor", "Revelle factor", "", 2},
	{"fraction_CW95_pH_total", "Un-ionised share of ammonia", "%", 2}, {"NH3_mg_per_L", "Un-ionised ammonia", "mg/L NH3", 4},
	{"O2_umol_per_kg", "Oxygen when saturated", "µmol/kg", 1}, {"O2_mg_per_L", "", "mg/L", 2},
}

func (c *waterCmd) one(j *job, o watersheet.Options) error {
	in, notes, err := c.typed(&o)
	if err != nil {
		return err
	}
	out, beyond, err := watersheet.One(columnsOf(in, nil), o)
	if err != nil {
		return usage("", "%v", err)
	}
	sds, err := doubts(in, out, o)
	if err != nil {
		return usage("", "%v", err)
	}
	notes = append(notes, lacking(in, out)...)
	for _, formula := range beyond {
		if name, left := strings.CutSuffix(formula, " left out"); left {
			notes = append(notes, name+" does not reach this salinity or temperature; --extrapolate continues it.")
			continue
		}
		notes = append(notes, formula+" is continued beyond what it was published for.")
	}
	if c.JSON {
		return printWaterJSON(j, in, out, sds, notes)
	}
	return printWater(j, out, sds, notes)
}

// typed turns what was typed into columns.
func (c *waterCmd) typed(o *watersheet.Options) (in []given, notes []string, err error) {
	byQuantity := map[units.Quantity]measured{}
	for _, f := range c.figures() {
		if f.text == "" {
			continue
		}
		if f.quantity == "" {
			v, rest, ok := leadingFigure(f.text)
			if !ok || rest != "" && rest != "µmol/kg" && rest != "umol/kg" && rest != "µatm" && rest != "uatm" || v <= 0 {
				return nil, nil, usage("", "%s %q is not a figure above 0", f.name, f.text)
			}
			in = append(in, given{map[string]string{"--dic": "DIC_umol_per_kg", "--pco2": "pCO2_uatm"}[f.name], v, 0})
			continue
		}
		if byQuantity[f.quantity], err = parseMeasured(f.name, f.quantity, f.text); err != nil {
			return nil, nil, err
		}
	}
	if _, ok := byQuantity[units.Salinity]; !ok {
		return nil, nil, usage("driftline water --help shows examples", "the salinity is missing: everything else rests on it; expected such as --salinity 35")
	}
	more, notes, err := waterColumns(byQuantity)
	return append(more, in...), notes, err
}

// waterColumns turns quantities into the columns of a sheet. Kilograms of
// seawater are taken at the water's own salinity and temperature.
func waterColumns(m map[units.Quantity]measured) (in []given, notes []string, err error) {
	to := func(q units.Quantity, unit, column string, factor float64) {
		x, ok := m[q]
		if !ok || err != nil {
			return
		}
		var v, sd float64
		if v, err = units.Convert(q, x.value, x.unit, unit); err == nil {
			sd, err = units.ConvertSD(q, x.value, x.sd, x.unit, unit)
		}
		in = append(in, given{column, v * factor, sd * factor})
	}
	to(units.Salinity, "PSU", "SP", 1)
	to(units.Temperature, "°C", "t_degC", 1)
	if a, ok := m[units.Alkalinity]; ok && a.unit == "µmol/kg" {
		in = append(in, given{"TA_umol_per_kg", a.value, a.sd})
	} else {
		to(units.Alkalinity, "dKH", "TA_dKH", 1)
	}
	if p, ok := m[units.PH]; ok && p.unit == "total" {
		in = append(in, given{"pH_total", p.value, p.sd})
	} else if ok {
		in = append(in, given{"pH_nbs", p.value, p.sd})
		notes = append(notes, "The pH is taken as an electrode's, set in NBS buffers; write \"total\" after it for the total scale.")
	}
	to(units.Calcium, "mg/L", "calcium_mg_per_L", 1)
	to(units.TotalAmmonia, "mg/L N", "tan_mg_per_L", 1)
	if err != nil {
		return nil, nil, err
	}
	perKg := 1 / 1.0234 // L/kg at salinity 35 and 25 °C, when no temperature was given
	if sp, t := valueOf(in, "SP"), valueOf(in, "t_degC"); !math.IsNaN(t) {
		if perKg, err = seawater.PerKilogram(1, sp, t); err != nil {
			return nil, nil, err
		}
	}
	to(units.Phosphate, "mg/L PO4", "phosphate_umol_per_kg", 1000/94.970*perKg) // IUPAC 2021: PO4 94.970, SiO2 60.083 g/mol
	to(units.Silicate, "mg/L SiO2", "silicate_umol_per_kg", 1000/60.083*perKg)
	return in, notes, err
}

func valueOf(in []given, column string) float64 {
	for _, g := range in {
		if g.column == column {
			return g.value
		}
	}
	return math.NaN()
}

// columnsOf makes the columns, those in shift moved.
func columnsOf(in []given, shift map[string]float64) []watersheet.Figure {
	var out []watersheet.Figure
	for _, g := range in {
		out = append(out, watersheet.Figure{Name: g.column, Value: g.value + shift[g.column]})
	}
	return out
}

// doubts carries the typed doubts to each result, to first order by differences
// over a hundredth of each (JCGM 100:2008, 5.1).
func doubts(in []given, out []watersheet.Figure, o watersheet.Options) (map[string]float64, error) {
	variance := map[string]float64{}
	for _, g := range in {
		if g.sd == 0 {
			continue
		}
		step := g.sd / 100
		moved, _, err := watersheet.One(columnsOf(in, map[string]float64{g.column: step}), o)
		if err != nil {
			return nil, err
		}
		for i, f := range moved {
			if i < len(out) && out[i].Name == f.Name {
				d := (f.Value - out[i].Value) / step * g.sd
				variance[f.Name] += d * d
			}
		}
	}
	for name, v := range variance {
		variance[name] = math.Sqrt(v)
	}
	return variance, nil
}

// lacking says what else would have to be known.
func lacking(in []given, out []watersheet.Figure) []string {
	has := map[string]bool{}
	for _, g := range in {
		has[g.column] = true
	}
	for _, f := range out {
		has[f.Name] = true
	}
	var notes []string
	if !has["t_degC"] {
		notes = append(notes, "With a temperature there would be density, oxygen and the carbonates too.")
	} else if !has["omega_aragonite"] {
		notes = append(notes, "With two of alkalinity, pH, dissolved carbon and pressure of carbon dioxide there would be the carbonates too.")
	} else if !has["calcium_mg_per_L"] {
		notes = append(notes, "Calcium is taken from the salinity.")
	}
	return notes
}

func printWater(j *job, out []watersheet.Figure, sds map[string]float64, notes []string) error {
	t := table{head: []string{"", "figure", "±", "unit"}, right: map[int]bool{1: true, 2: true}}
	for _, s := range waterFigures {
		for _, f := range out {
			if f.Name != s.column {
				continue
			}
			v, sd := f.Value, sds[f.Name]
			if s.unit == "%" {
				v, sd = v*100, sd*100
			}
			doubt := ""
			if sd > 0 {
				doubt = strconv.FormatFloat(sd, 'f', s.decimals, 64)
			}
			t.add(s.label, strconv.FormatFloat(v, 'f', s.decimals, 64), doubt, s.unit)
		}
	}
	if err := t.print(j.out); err != nil {
		return err
	}
	if len(notes) > 0 {
		_, err := fmt.Fprintf(j.out, "\n%s\n", strings.Join(notes, "\n"))
		return err
	}
	return nil
}

func printWaterJSON(j *job, in []given, out []watersheet.Figure, sds map[string]float64, notes []string) error {
	doc := struct {
		Given  map[string]float64 `json:"given"`
		Result map[string]float64 `json:"result"`
		SD     map[string]float64 `json:"sd"`
		Notes  []string           `json:"notes"`
	}{map[string]float64{}, map[string]float64{}, map[string]float64{}, orEmpty(notes)}
	for _, g := range in {
		doc.Given[g.column] = g.value
	}
	for _, f := range out {
		doc.Result[f.Name] = f.Value
		if sd := sds[f.Name]; sd > 0 {
			doc.SD[f.Name] = sd
		}
	}
	return printJSON(j.out, doc)
}
