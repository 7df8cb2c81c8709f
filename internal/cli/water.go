package cli

import (
	"fmt"

	"driftline/internal/watersheet"
	"driftline/seawater"
	"driftline/units"
)

type waterCmd struct {
	Salinity    string `placeholder:"VALUE" help:"Salinity: 35, \"1.0264 SG 25/25\", \"53 mS/cm\"."`
	Temperature string `placeholder:"VALUE" help:"Temperature: 25.5C, 78F."`
	Alkalinity  string `placeholder:"VALUE" help:"Alkalinity: 8.2dKH, 2.9meq/L, \"2300 µmol/kg\"."`
	PH          string `name:"ph" placeholder:"VALUE" help:"pH: 8.15 (an electrode's, in NBS buffers), \"8.02 total\"."`
	DIC         string `name:"dic" placeholder:"VALUE" help:"Dissolved inorganic carbon in µmol/kg."`
	PCO2        string `name:"pco2" placeholder:"VALUE" help:"Pressure of carbon dioxide in the water, in µatm."`
	Calcium     string `placeholder:"VALUE" help:"Calcium: 420mg/L."`
	Magnesium   string `placeholder:"VALUE" help:"Magnesium: 1300mg/L."`
	Phosphate   string `placeholder:"VALUE" help:"Phosphate: \"0.05 mg/L PO4\"."`
	Nitrate     string `placeholder:"VALUE" help:"Nitrate: \"5 mg/L NO3\"."`
	Silicate    string `placeholder:"VALUE" help:"Silicate: \"0.2 mg/L SiO2\"."`
	Ammonia     string `placeholder:"VALUE" help:"Total ammonia: \"0.1 mg/L N\"."`
	Oxygen      string `placeholder:"VALUE" help:"Oxygen: 7mg/L."`

	CSV         bool   `name:"csv" help:"Read a table from standard input, write it with all that follows to standard output."`
	Pair        string `placeholder:"PAIR" help:"Temperatures of a specific gravity in a table without the column temperature_pair: 25C/25C."`
	Constants   string `default:"lueker2000" placeholder:"NAME" help:"Carbonic acid: lueker2000, waters2014, millero2010."`
	Boron       string `default:"uppstrom1974" placeholder:"NAME" help:"Total boron: uppstrom1974, lee2010."`
	Fluoride    string `default:"perezfraga1987" placeholder:"NAME" help:"Hydrogen fluoride: perezfraga1987, dicksonriley1979."`
	Minor       string `default:"millero1995" placeholder:"NAME" help:"Water, phosphate and silicate on the total scale: millero1995, guide2007."`
	Density     string `default:"teos10" placeholder:"NAME" help:"Density shown: teos10, or eos80 beside it."`
	Extrapolate bool   `help:"Go on beyond the salinity and temperature the constants were published for; what does is named."`
	JSON        bool   `help:"Print the result as JSON."`
}

func (c *waterCmd) Help() string {
	return `What one water's figures say together: salinity, density, carbonates, ammonia, oxygen. A doubt typed after ±, one
standard deviation, is carried to all that follows. A table has the columns SP or SG with temperature_pair or C_mS_per_cm, t_degC, and any of
TA_umol_per_kg, TA_dKH, TA_meq_per_L, DIC_umol_per_kg, pH_total, pH_nbs, pH_free, pH_sws, pCO2_uatm, calcium_mg_per_L,
phosphate_umol_per_kg, silicate_umol_per_kg, tan_mg_per_L, p_dbar, given; docs/commands.md says what comes out.

Examples:

    driftline water --temperature 25.5C --salinity 35 --alkalinity 8.2dKH --ph 8.15
    driftline water --salinity "1.0264 SG 25/25" --temperature 78F --alkalinity "8.2±0.2 dKH" --ph "8.02 total" --json
    driftline water --csv < in.csv > out.csv`
}

func (c *waterCmd) Run(j *job) error {
	o, err := c.options()
	if err != nil {
		return err
	}
	if c.CSV {
		return c.table(j, o)
	}
	return c.one(j, o)
}

func (c *waterCmd) options() (o watersheet.Options, err error) {
	o.Basis.Extrapolate = c.Extrapolate
	if o.Basis.Carbon, err = seawater.ParseCarbonSet(c.Constants); err != nil {
		return o, usage("", "--constants: %v", err)
	}
	if o.Basis.Boron, err = seawater.ParseBoronRatio(c.Boron); err != nil {
		return o, usage("", "--boron: %v", err)
	}
	if o.Basis.Fluoride, err = seawater.ParseFluorideSet(c.Fluoride); err != nil {
		return o, usage("", "--fluoride: %v", err)
	}
	if o.Basis.Minor, err = seawater.ParseMinorSet(c.Minor); err != nil {
		return o, usage("", "--minor: %v", err)
	}
	density, err := seawater.ParseDensityFormula(c.Density)
	if err != nil {
		return o, usage("", "--density: %v", err)
	}
	o.EOS80 = density == seawater.DensityOfEOS80
	if c.Pair != "" {
		pair, err := seawater.ParsePair(c.Pair)
		if err != nil {
			return o, usage("", "--pair: %v", err)
		}
		o.Pair = &pair
	}
	return o, nil
}

// table streams standard input to standard output.
func (c *waterCmd) table(j *job, o watersheet.Options) error {
	for _, flag := range c.figures() {
		if flag.text != "" {
			return usage("", "%s goes with one water; with --csv every figure comes from the table", flag.name)
		}
	}
	tally, err := watersheet.Stream(j.ctx, j.in, j.out, o)
	if err != nil {
		return fmt.Errorf("the table on standard input: %w", err)
	}
	if tally.Refused > 0 { // the table is whole, and says itself which and why
		fmt.Fprintf(j.errs, "driftline: %s of %s could not be worked out; the column error says why\n", grouped(tally.Refused), countOf(tally.Lines, "line", "lines"))
	}
	return nil
}

// figureFlag is a figure of the one-off form.
type figureFlag struct {
	name, text string
	quantity   units.Quantity // "" for the two that are no quantity of the log
}

func (c *waterCmd) figures() []figureFlag {
	return []figureFlag{
		{"--salinity", c.Salinity, units.Salinity}, {"--temperature", c.Temperature, units.Temperature},
		{"--alkalinity", c.Alkalinity, units.Alkalinity}, {"--ph", c.PH, units.PH}, {"--dic", c.DIC, ""}, {"--pco2", c.PCO2, ""},
		{"--calcium", c.Calcium, units.Calcium}, {"--magnesium", c.Magnesium, units.Magnesium}, {"--phosphate", c.Phosphate, units.Phosphate},
		{"--nitrate", c.Nitrate, units.Nitrate}, {"--silicate", c.Silicate, units.Silicate}, {"--ammonia", c.Ammonia, units.TotalAmmonia},
		{"--oxygen", c.Oxygen, units.Oxygen},
	}
}
