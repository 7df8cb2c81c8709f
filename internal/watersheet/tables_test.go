package watersheet_test

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"driftline/internal/watersheet"
	"driftline/seawater"
)

// sheetOf streams a table and gives its rows by column name.
func sheetOf(t *testing.T, text string, o watersheet.Options) ([]map[string]string, watersheet.Tally) {
	t.Helper()
	var out strings.Builder
	tally, err := watersheet.Stream(t.Context(), strings.NewReader(text), &out, o)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(out.String())).ReadAll()
	if err != nil {
		t.Fatalf("what was written is not CSV: %v", err)
	}
	var all []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, cell := range row {
			m[rows[0][i]] = cell
		}
		all = append(all, m)
	}
	return all, tally
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatalf("%q is not a number", text)
	}
	return v
}

// only keeps the named columns of a table, as one who has only these.
func only(t *testing.T, text string, columns ...string) string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	w := csv.NewWriter(&out)
	for _, row := range rows {
		var kept []string
		for i, name := range rows[0] {
			if slices.Contains(columns, name) {
				kept = append(kept, row[i])
			}
		}
		if err := w.Write(kept); err != nil {
			t.Fatal(err)
		}
	}
	w.Flush()
	return out.String()
}

type limit struct {
	column, as string // as: the column it is compared with, itself when empty
	absolute   float64
	relative   float64
}

var carbonates = []limit{
	{"DIC_umol_per_kg", "", 0, 5e-5}, {"pCO2_uatm", "", 0, 5e-5}, {"fCO2_uatm", "", 0, 5e-5}, {"CO2_umol_per_kg", "", 0, 5e-5},
	{"HCO3_umol_per_kg", "", 0, 5e-5}, {"CO3_umol_per_kg", "", 0, 5e-5}, {"omega_aragonite", "", 0, 3e-4}, {"omega_calcite", "", 0, 3e-4},
	{"pH_total", "", 2e-5, 0}, {"pH_sws", "", 2e-5, 0}, {"pH_free", "", 2e-5, 0}, {"pH_nbs", "", 2e-5, 0}, {"TA_umol_per_kg", "", 0, 5e-5},
}

var alkalinity = []limit{
	{"TA_meq_per_L", "", 0, 2e-5}, {"TA_dKH", "", 0, 2e-5}, {"TA_mg_per_L_CaCO3", "", 0, 2e-5}, {"rho_exact_kg_per_m3", "rho_kg_per_m3", 2e-4, 0},
}

// The tables, their sources and fair tolerances are in seawater/testdata/SOURCES.md.
func TestReferenceTables(t *testing.T) {
	lee := watersheet.Options{Basis: seawater.Basis{Boron: seawater.Lee2010}}
	tests := []struct {
		file   string
		inputs []string
		o      watersheet.Options
		limits []limit
	}{
		{"carbonate_ta_ph.csv", []string{"SP", "t_degC", "given", "TA_umol_per_kg", "pH_total"}, watersheet.Options{}, append(alkalinity, carbonates...)},
		{"carbonate_ta_ph.csv", []string{"SP", "t_degC", "TA_dKH", "pH_nbs"}, watersheet.Options{}, carbonates},
		{"carbonate_ta_ph.csv", []string{"SP", "t_degC", "TA_meq_per_L", "pH_free"}, watersheet.Options{}, carbonates},
		{"carbonate_ta_dic.csv", []string{"SP", "t_degC", "given", "TA_umol_per_kg", "DIC_umol_per_kg"}, watersheet.Options{}, append(alkalinity, carbonates...)},
		{"carbonate_ta_dic.csv", []string{"SP", "t_degC", "DIC_umol_per_kg", "pH_total"}, watersheet.Options{}, carbonates},
		{"carbonate_ta_dic.csv", []string{"SP", "t_degC", "DIC_umol_per_kg", "pCO2_uatm"}, watersheet.Options{}, carbonates},
		{"carbonate_ta_pco2.csv", []string{"SP", "t_degC", "given", "TA_umol_per_kg", "pCO2_uatm"}, watersheet.Options{}, append(alkalinity, carbonates...)},
		{"carbonate_ta_pco2.csv", []string{"SP", "t_degC", "pH_sws", "pCO2_uatm"}, watersheet.Options{}, carbonates},
		{"carbonate_ta_ph_lee2010.csv", []string{"SP", "t_degC", "given", "TA_umol_per_kg", "pH_total"}, lee, append(alkalinity, carbonates...)},
		{"density_grid.csv", []string{"SP", "t90_degC"}, watersheet.Options{EOS80: true, Basis: seawater.Basis{Extrapolate: true}}, []limit{
			{"rho_exact_kg_per_m3", "", 1e-4, 0}, {"rho_eos80_kg_per_m3", "", 1e-4, 0}}},
		{"sg_to_sp.csv", []string{"temperature_pair", "SG"}, watersheet.Options{}, []limit{{"SP", "", 0.003, 0}}},
		{"sp_to_sg.csv", []string{"temperature_pair", "SP"}, watersheet.Options{}, []limit{{"SG", "", 3e-6, 0}}},
		{"pss78_c_to_sp.csv", []string{"C_mS_per_cm", "t90_degC", "p_dbar"}, watersheet.Options{}, []limit{{"SP", "", 1e-5, 0}}},
		{"pss78_sp_to_c.csv", []string{"SP", "t90_degC", "p_dbar"}, watersheet.Options{}, []limit{{"C_mS_per_cm", "", 1e-5, 0}, {"conductivity_ratio", "", 1e-6, 0}}},
		{"oxygen_grid.csv", []string{"SP", "t90_degC"}, watersheet.Options{}, []limit{{"O2_umol_per_kg", "", 0.001, 0}, {"O2_mg_per_L", "", 0.004, 0}}},
		{"ammonia_fraction.csv", []string{"SP", "t_degC", "pH"}, watersheet.Options{}, []limit{{"fraction_CW95_pH_total", "", 0, 1e-4}}},
		{"alkalinity_units.csv", []string{"SP", "t90_degC", "TA_umol_per_kg"}, watersheet.Options{}, alkalinity},
	}
	for _, test := range tests {
		t.Run(test.file+" from "+strings.Join(test.inputs, " "), func(t *testing.T) {
			text, err := os.ReadFile("../../seawater/testdata/" + test.file)
			if err != nil {
				t.Fatal(err)
			}
			wants, _ := sheetOf(t, string(text), test.o) // the table's own columns, echoed
			gots, tally := sheetOf(t, only(t, string(text), test.inputs...), test.o)
			for i := range wants {
				if wants[i]["range"] == "outside_2_to_42" && gots[i]["error"] != "" { // saltier than any answer
					tally.Refused--
				}
			}
			if len(gots) != len(wants) || len(gots) == 0 || tally.Refused > 0 {
				t.Fatalf("%d lines of %d, %d refused; first error %q", len(gots), len(wants), tally.Refused, gots[0]["error"])
			}
			for i := range wants {
				compare(t, i, test.limits, test.inputs, gots[i], wants[i])
			}
		})
	}
}

func compare(t *testing.T, i int, limits []limit, inputs []string, got, want map[string]string) {
	t.Helper()
	if want["range"] == "outside_2_to_42" { // beyond what the scale was published for
		return
	}
	for _, l := range limits {
		name, as := l.column, l.as
		if as == "" {
			as = name
		}
		if slices.Contains(inputs, name) {
			name += "_out"
		}
		expected, held := want[as]
		if !held {
			continue
		}
		g, w := number(t, got[name]), number(t, expected)
		if math.Abs(g-w) > l.absolute+l.relative*math.Abs(w)+1e-12 {
			t.Errorf("line %d: %s is %v, want %v", i+1, name, g, w)
		}
	}
}
