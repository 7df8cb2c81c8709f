package sun

import (
	"fmt"
	"math"
)

// solarConstant in MJ a square metre and minute (FAO 56, equation 21).
const solarConstant = 0.0820

// Extraterrestrial is the daily sum of radiation above the air on a level surface, MJ
// a square metre, at a latitude in degrees (north positive) on a day of the year, 1 to
// 366 (Allen and others 1998, FAO Irrigation and Drainage Paper 56, equation 21).
func Extraterrestrial(latitude float64, day int) (float64, error) {
	if !(latitude >= -90 && latitude <= 90) || day < 1 || day > 366 {
		return 0, fmt.Errorf("latitude %g on day %d: expected -90 to 90 degrees and a day from 1 to 366", latitude, day)
	}
	phi, angle := latitude*math.Pi/180, 2*math.Pi*float64(day)/365
	distance := 1 + 0.033*math.Cos(angle)
	declination := 0.409 * math.Sin(angle-1.39)
	x := -math.Tan(phi) * math.Tan(declination)
	sunset := math.Acos(math.Max(-1, math.Min(1, x))) // polar night and day at the ends
	sum := sunset*math.Sin(phi)*math.Sin(declination) + math.Cos(phi)*math.Cos(declination)*math.Sin(sunset)
	return math.Max(0, 24*60/math.Pi*solarConstant*distance*sum), nil
}
