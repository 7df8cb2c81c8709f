package standing

import (
	"strconv"
	"strings"

	"driftline/internal/book"
	"driftline/units"
)

// Interval is how often a quantity may be tested, in days: never sooner than
// Shortest after the last test, never later than Longest. Common practice, no
// source: the longest is about twice the usual interval between tests, so
// that a tank with a quiet log is asked for few tests but never for none.
type Interval struct{ ShortestDays, LongestDays float64 }

var intervals = map[units.Quantity]Interval{
	units.Alkalinity:   {1, 7},
	units.Calcium:      {3, 21},
	units.Magnesium:    {4, 35},
	units.Potassium:    {7, 60},
	units.Strontium:    {14, 120},
	units.Nitrate:      {2, 14},
	units.Nitrite:      {2, 45},
	units.TotalAmmonia: {1, 45},
	units.Phosphate:    {2, 14},
	units.Silicate:     {5, 90},
	units.Iodine:       {7, 60},
	units.Boron:        {14, 120},
	units.Salinity:     {2, 10},
	units.Temperature:  {0.5, 7},
	units.PH:           {1, 7},
	units.Redox:        {1, 14},
	units.Oxygen:       {2, 30},
}

// IntervalOf gives the shortest and longest interval between tests of a quantity.
func IntervalOf(q units.Quantity) Interval {
	if i, ok := intervals[q]; ok {
		return i
	}
	return Interval{3, 30}
}

// Tolerance is the chance of an unseen excursion the keeper accepts: the
// preference "tolerance", written "5 %", "5" or "0.05"; 0.05 without one. It
// is kept between 0.5 and 50 %.
func Tolerance(f *book.Facts) float64 {
	const usual = 0.05
	text := strings.TrimSpace(f.Preferences[book.Key("tolerance")])
	percent := strings.HasSuffix(text, "%")
	v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(text, "%")), 64)
	if err != nil || !(v > 0) {
		return usual
	}
	if percent || v >= 1 {
		v /= 100
	}
	return min(max(v, 0.005), 0.5)
}
