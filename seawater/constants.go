package seawater

import "math"

// Constants are the equilibrium constants and totals of one water at one
// atmosphere, in mol per kg of seawater. All are on the total pH scale but KS,
// which is on the free scale.
type Constants struct {
	K0                         float64 // CO2 in mol per kg and atm of fugacity
	K1, K2                     float64 // carbonic acid
	KB, KW                     float64 // boric acid, water
	KS, KF                     float64 // bisulfate (free scale), hydrogen fluoride
	KP1, KP2, KP3              float64 // phosphoric acid
	KSi, KNH4                  float64 // silicic acid, ammonium
	KspAragonite, KspCalcite   float64 // solubility products
	Boron, Sulfate, Fluoride   float64 // totals
	Calcium                    float64 // total
	Phosphate, Silicate        float64 // totals
	Ammonia                    float64 // total, NH3 and NH4 together
	FugacityShift, FugacityMix float64 // ln(fugacity/pressure) = shift + mix·(1 - x)² for a share x of CO2
}

// state is what the formulas below are written in: salinity, its root, kelvin
// and its logarithm, and the ionic strength in mol per kg of water.
type state struct {
	s, rootS, k, lnK, ionic float64
}

func stateOf(sp, tempC float64) state {
	k := tempC + 273.15
	// Dickson, Sabine and Christian 2007, Guide to best practices for ocean CO2
	// measurements, chapter 5, for the ionic strength.
	return state{sp, math.Sqrt(sp), k, math.Log(k), 19.924 * sp / (1000 - 1.005*sp)}
}

// perKgSeawater is the logarithm of kg of water per kg of seawater (Guide, chapter 5).
func (x state) perKgSeawater() float64 { return math.Log1p(-0.001005 * x.s) }

// Weiss 1974, Mar. Chem. 2:203, eq. 12 with Table 1 per kg.
func (x state) lnK0() float64 {
	h := x.k / 100
	return 93.4517/h - 60.2409 + 23.3585*(x.lnK-math.Log(100)) + x.s*(0.023517+h*(-0.023656+h*0.0047036))
}

// Dickson 1990, Deep-Sea Res. 37:755, eq. 23.
func (x state) lnKB() float64 {
	return (-8966.90+x.rootS*(-2890.53+x.rootS*(-77.942+x.rootS*(1.728-0.0996*x.rootS))))/x.k +
		148.0248 + 137.1942*x.rootS + 1.62142*x.s -
		(24.4344+25.085*x.rootS+0.2474*x.s)*x.lnK + 0.053105*x.rootS*x.k
}

// Millero 1995, Geochim. Cosmochim. Acta 59:661, eq. 63, on the seawater scale.
// The Guide prints the same on the total scale with 148.9652.
func (x state) lnKW() float64 {
	return 148.9802 - 13847.26/x.k - 23.6521*x.lnK +
		(118.67/x.k-5.977+1.0495*x.lnK)*x.rootS - 0.01615*x.s
}

// Dickson 1990, J. Chem. Thermodyn. 22:113, eqs. 22 and 23, free scale.
func (x state) lnKS() float64 {
	return -4276.1/x.k + 141.328 - 23.093*x.lnK +
		math.Sqrt(x.ionic)*(-13856/x.k+324.57-47.986*x.lnK) +
		x.ionic*(35474/x.k-771.54+114.723*x.lnK) -
		2698/x.k*x.ionic*math.Sqrt(x.ionic) + 1776/x.k*x.ionic*x.ionic + x.perKgSeawater()
}

// Perez and Fraga 1987, Mar. Chem. 21:161, total scale as read by the Guide.
func (x state) lnKFPerezFraga() float64 { return 874/x.k - 9.68 + 0.111*x.rootS }

// Dickson and Riley 1979, Mar. Chem. 7:101, free scale.
func (x state) lnKFDicksonRiley() float64 {
	return 1590.2/x.k - 12.641 + 1.525*math.Sqrt(x.ionic) + x.perKgSeawater()
}

// phosphoric is Millero 1995, Geochim. Cosmochim. Acta 59:661, eqs. 65 to 67
// (Yao and Millero 1995), on the seawater scale. The Guide prints the same on
// the total scale, each lower by 0.015.
func (x state) phosphoric() (ln1, ln2, ln3 float64) {
	ln1 = -4576.752/x.k + 115.54 - 18.453*x.lnK +
		(-106.736/x.k+0.69171)*x.rootS + (-0.65643/x.k-0.01844)*x.s
	ln2 = -8814.715/x.k + 172.1033 - 27.927*x.lnK +
		(-160.340/x.k+1.3566)*x.rootS + (0.37335/x.k-0.05778)*x.s
	ln3 = -3070.75/x.k - 18.126 +
		(17.27039/x.k+2.81197)*x.rootS + (-44.99486/x.k-0.09984)*x.s
	return ln1, ln2, ln3
}

// Millero 1995, same, eq. 68 (Yao and Millero 1995), seawater scale; 0.015 lower in the Guide.
func (x state) lnKSi() float64 {
	return -8904.2/x.k + 117.40 - 19.334*x.lnK +
		(-458.79/x.k+3.5913)*math.Sqrt(x.ionic) + (188.74/x.k-1.5998)*x.ionic +
		(-12.1652/x.k+0.07871)*x.ionic*x.ionic + x.perKgSeawater()
}

// Clegg and Whitfield 1995, Geochim. Cosmochim. Acta 59:2403, eq. 18, total
// scale, turned from kg of water to kg of seawater.
func (x state) lnKNH4() float64 {
	q := math.Sqrt(x.k)
	pk := 9.244605 - 2729.33*(1/298.15-1/x.k) + (0.04203362-11.24742/x.k)*math.Sqrt(x.rootS) +
		(-13.64160+1.176949*q-0.02860785*x.k+545.4834/x.k)*x.rootS +
		(-0.1462507+0.009022648*q-1.471361e-4*x.k+10.54250/x.k)*x.s*x.rootS +
		(0.004669309-1.691742e-4*q-0.5677934/x.k)*x.s*x.s +
		(-2.354039e-5+0.009698623/x.k)*x.s*x.s*x.rootS
	return -pk*math.Ln10 + x.perKgSeawater()
}

// solubility is Mucci 1983, Am. J. Sci. 283:780, Table 5 and eq. 5 to 8, as
// logarithms to base 10.
func (x state) solubility() (aragonite, calcite float64) {
	log := x.lnK / math.Ln10
	aragonite = -171.945 - 0.077993*x.k + 2903.293/x.k + 71.595*log +
		(-0.068393+0.0017276*x.k+88.135/x.k)*x.rootS - 0.10018*x.s + 0.0059415*x.s*x.rootS
	calcite = -171.9065 - 0.077993*x.k + 2839.319/x.k + 71.595*log +
		(-0.77712+0.0028426*x.k+178.34/x.k)*x.rootS - 0.07711*x.s + 0.0041249*x.s*x.rootS
	return aragonite, calcite
}

// fugacity gives the parts of the logarithm of fugacity over partial pressure at
// one atmosphere, shift + mix·(1-x)² with x the fraction of CO2: Weiss 1974,
// Mar. Chem. 2:203, eqs. 6, 9 and 11.
func (x state) fugacity() (shift, mix float64) {
	rt := 82.05736 * x.k
	b := -1636.75 + x.k*(12.0408+x.k*(-0.0327957+x.k*3.16528e-5))
	return b / rt, 2 * (57.7 - 0.118*x.k) / rt
}

// activityNBS is hydrogen on the NBS scale over the seawater scale: Takahashi et
// al. 1982, in GEOSECS Pacific Expedition vol. 3, p. 77. It depends on the electrode
// in use and is good to about 0.02 in pH at best.
func (x state) activityNBS() float64 {
	return 1.2948 - 0.002036*x.k + (4.607e-4-1.475e-6*x.k)*x.s*x.s
}

// vapourAtm is the pressure of water over seawater in atm: Weiss and Price 1980,
// Mar. Chem. 8:347, eq. 10.
func (x state) vapourAtm() float64 {
	return math.Exp(24.4543 - 6745.09/x.k - 4.8489*(x.lnK-math.Log(100)) - 0.000544*x.s)
}
