package watersheet

import "slices"

// What comes in, by the names of the header.
const (
	inSP = iota
	inSG
	inPair
	inC
	inTemp
	inTemp68
	inPressure
	inTA
	inTAdKH
	inTAmeq
	inDIC
	inPHTotal
	inPHNBS
	inPHFree
	inPHSWS
	inPCO2
	inCalcium
	inPhosphate
	inSilicate
	inTAN
	inGiven
	inputs
)

// inputNames are the spellings of each input. A bare pH in such a table is on the
// total scale: it is the one its ammonia column is named after.
var inputNames = [inputs][]string{
	inSP: {"SP"}, inSG: {"SG"}, inPair: {"temperature_pair"}, inC: {"C_mS_per_cm"},
	inTemp: {"t_degC", "t90_degC"}, inTemp68: {"t68_degC"}, inPressure: {"p_dbar"},
	inTA: {"TA_umol_per_kg"}, inTAdKH: {"TA_dKH"}, inTAmeq: {"TA_meq_per_L"}, inDIC: {"DIC_umol_per_kg"},
	inPHTotal: {"pH_total", "pH"}, inPHNBS: {"pH_nbs"}, inPHFree: {"pH_free"}, inPHSWS: {"pH_sws"},
	inPCO2: {"pCO2_uatm"}, inCalcium: {"calcium_mg_per_L"}, inPhosphate: {"phosphate_umol_per_kg"},
	inSilicate: {"silicate_umol_per_kg"}, inTAN: {"tan_mg_per_L"}, inGiven: {"given"},
}

// What goes out.
const (
	outSP = iota
	outConductivity
	outRatio
	outRho
	outRhoEOS80
	outSG
	outSG20
	outSG25
	outSG60
	outSG20Over4
	outSG25Over4
	outTA
	outDIC
	outPHTotal
	outPCO2
	outFCO2
	outCO2
	outHCO3
	outCO3
	outOmegaA
	outOmegaC
	outPHSWS
	outPHFree
	outPHNBS
	outBOH4
	outOH
	outRevelle
	outTAmeq
	outTAdKH
	outTAmg
	outFraction
	outNH3
	outO2
	outO2mg
	outputs
)

var outputNames = [outputs]string{
	"SP", "C_mS_per_cm", "conductivity_ratio", "rho_exact_kg_per_m3", "rho_eos80_kg_per_m3",
	"SG", "SG_20C_20C", "SG_25C_25C", "SG_60F_60F", "SG_20C_4C", "SG_25C_4C",
	"TA_umol_per_kg", "DIC_umol_per_kg", "pH_total", "pCO2_uatm", "fCO2_uatm", "CO2_umol_per_kg", "HCO3_umol_per_kg", "CO3_umol_per_kg",
	"omega_aragonite", "omega_calcite", "pH_sws", "pH_free", "pH_nbs", "BOH4_umol_per_kg", "OH_umol_per_kg", "revelle_factor",
	"TA_meq_per_L", "TA_dKH", "TA_mg_per_L_CaCO3", "fraction_CW95_pH_total", "NH3_mg_per_L", "O2_umol_per_kg", "O2_mg_per_L",
}

// The two columns of words, last in the sheet.
const (
	beyondColumn = "beyond"
	errorColumn  = "error"
)

// layout is what a header makes of a table.
type layout struct {
	at   [inputs]int // column of each input, -1 when absent
	out  []int       // outputs in order
	head []string
}

func newLayout(header []string, o Options) layout {
	var l layout
	for in, names := range inputNames {
		l.at[in] = -1
		for _, name := range names {
			if i := slices.Index(header, name); i >= 0 && l.at[in] < 0 {
				l.at[in] = i
			}
		}
	}
	l.out = l.outputs(o)
	l.head = slices.Clone(header)
	for _, out := range l.out {
		l.head = append(l.head, free(outputNames[out], header))
	}
	l.head = append(l.head, free(beyondColumn, header), free(errorColumn, header))
	return l
}

// free gives a column a name that the header has not.
func free(name string, header []string) string {
	for slices.Contains(header, name) {
		name += "_out"
	}
	return name
}

func (l *layout) has(ins ...int) bool {
	for _, in := range ins {
		if l.at[in] >= 0 {
			return true
		}
	}
	return false
}

// outputs lists what the columns of a header can lead to.
func (l *layout) outputs(o Options) []int {
	var out []int
	salinity, warmth := l.has(inSP, inSG, inC), l.has(inTemp, inTemp68)
	if !salinity {
		return nil
	}
	if l.has(inSG, inC) {
		out = append(out, outSP)
	}
	if warmth {
		if l.has(inSP, inSG) {
			out = append(out, outConductivity, outRatio)
		}
		out = append(out, outRho)
		if o.EOS80 {
			out = append(out, outRhoEOS80)
		}
	}
	if l.has(inPair) && l.has(inSP, inC) {
		out = append(out, outSG)
	}
	out = append(out, outSG20, outSG25, outSG60, outSG20Over4, outSG25Over4)
	if warmth {
		out = append(out, l.carbonates()...)
		if l.has(inTAN) {
			out = append(out, outNH3)
		}
		out = append(out, outO2, outO2mg)
	}
	return out
}

func (l *layout) carbonates() []int {
	count := 0
	for _, group := range [][]int{{inTA, inTAdKH, inTAmeq}, {inDIC}, {inPHTotal, inPHNBS, inPHFree, inPHSWS}, {inPCO2}} {
		if l.has(group...) {
			count++
		}
	}
	var out []int
	switch {
	case count >= 2:
		for i := outTA; i <= outFraction; i++ {
			out = append(out, i)
		}
	case l.has(inTA, inTAdKH, inTAmeq):
		out = append(out, outTA, outTAmeq, outTAdKH, outTAmg)
	case l.has(inPHTotal, inPHNBS, inPHFree, inPHSWS):
		out = append(out, outPHTotal, outPHSWS, outPHFree, outPHNBS, outFraction)
	}
	return out
}
