package seawater

import "math"

// The range Clegg and Whitfield 1995 claim for their equations.
const (
	maxAmmoniaSP    = 40.0
	maxAmmoniaTempC = 40.0
)

// AmmoniaPKTotal is the pK of the ammonium ion on the total hydrogen ion scale,
// per kg of seawater: Clegg and Whitfield 1995, Geochim. Cosmochim. Acta 59:2403,
// eq. 18, for practical salinity 0 to 40 and -2 to 40 °C; ErrExtrapolated beyond.
// They claim 5 % in the un-ionised fraction; other authors differ by up to 7 % on
// the same scale.
func AmmoniaPKTotal(sp, tempC float64) (float64, error) {
	if err := checkAmmonia(sp, tempC); err != nil {
		return 0, err
	}
	k := tempC + 273.15
	q, root := math.Sqrt(k), math.Sqrt(sp)
	pk := ammoniaInWater(k) + (0.04203362-11.24742/k)*math.Sqrt(root) +
		(-13.64160+1.176949*q-0.02860785*k+545.4834/k)*root +
		(-0.1462507+0.009022648*q-1.471361e-4*k+10.54250/k)*sp*root +
		(0.004669309-1.691742e-4*q-0.5677934/k)*sp*sp + (-2.354039e-5+0.009698623/k)*sp*sp*root
	return perKgSeawater(pk, sp), nil
}

// AmmoniaPKFree is the same on the free hydrogen ion scale, with the same range and
// claim (Clegg and Whitfield 1995, the free-scale equation).
func AmmoniaPKFree(sp, tempC float64) (float64, error) {
	if err := checkAmmonia(sp, tempC); err != nil {
		return 0, err
	}
	k := tempC + 273.15
	pk := ammoniaInWater(k) + (0.0500616-9.412696/k-2.029559e-7*k*k)*math.Sqrt(sp) +
		(-0.0142372+1.46041e-5*k+3.730005/k)*sp + (7.1047e-5-0.0229021/k)*sp*sp +
		(-5.521278e-7+1.95413e-4/k)*sp*sp*sp
	return perKgSeawater(pk, sp), nil
}

// AmmoniaFractionTotal is the share, 0 to 1, of total ammonia that is un-ionised
// NH3 at a pH (0 to 14) on the total scale, with the range and error of
// AmmoniaPKTotal. A reading in NBS buffers is about 0.13 higher
// than the same pH on the total scale and must be converted first: unconverted
// it gives a third too much.
func AmmoniaFractionTotal(sp, tempC, phTotal float64) (float64, error) {
	pk, err := AmmoniaPKTotal(sp, tempC)
	return unionised(pk, phTotal, err)
}

// AmmoniaFractionFree is the same for a pH (0 to 14) on the free scale. Water's
// AmmoniaFraction takes any scale.
func AmmoniaFractionFree(sp, tempC, phFree float64) (float64, error) {
	pk, err := AmmoniaPKFree(sp, tempC)
	return unionised(pk, phFree, err)
}

func unionised(pk, ph float64, err error) (float64, error) {
	if err != nil {
		return 0, err
	}
	if err := within("pH", ph, 0, 14, ""); err != nil {
		return 0, err
	}
	return 1 / (1 + math.Pow(10, pk-ph)), nil
}

func checkAmmonia(sp, tempC float64) error {
	if err := checkState(sp, tempC); err != nil {
		return err
	}
	return CleggWhitfield1995.Published(sp, tempC)
}

// ammoniaInWater is the pK in pure water, with the temperature in kelvin.
func ammoniaInWater(k float64) float64 { return 9.244605 - 2729.33*(1/298.15-1/k) }

// perKgSeawater turns a pK per kg of water, as printed, into one per kg of seawater.
func perKgSeawater(pk, sp float64) float64 { return pk - math.Log10(1-0.001005*sp) }
