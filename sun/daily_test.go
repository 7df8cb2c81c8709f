package sun_test

import (
	"math"
	"testing"

	"driftline/sun"
)

// FAO 56, example 8: 3 September at 20° south gives 32.2 MJ a square metre (from memory).
func TestExtraterrestrial(t *testing.T) {
	got, err := sun.Extraterrestrial(-20, 246)
	if err != nil || math.Abs(got-32.2) > 0.1 {
		t.Errorf("20° S on 3 September: %.2f, %v; want 32.2", got, err)
	}
	if dark, _ := sun.Extraterrestrial(75, 355); dark != 0 {
		t.Errorf("polar night gives %g", dark)
	}
	summer, _ := sun.Extraterrestrial(90, 172) // the pole in June: the whole day at the declination's height
	if want := 24 * 60 * 0.0820 * (1 + 0.033*math.Cos(2*math.Pi*172/365)) * math.Sin(0.409*math.Sin(2*math.Pi*172/365-1.39)); math.Abs(summer-want) > 0.01 {
		t.Errorf("the pole in June: %g, want %g", summer, want)
	}
	for _, bad := range []struct {
		latitude float64
		day      int
	}{{91, 1}, {math.NaN(), 1}, {10, 0}, {10, 367}} {
		if _, err := sun.Extraterrestrial(bad.latitude, bad.day); err == nil {
			t.Errorf("latitude %g on day %d was accepted", bad.latitude, bad.day)
		}
	}
}
