package chart_test

import (
	"encoding/xml"
	"io"
	"math"
	"strings"
	"testing"

	"driftline/internal/chart"
)

// Drawn for a phone and for a wide page, well formed, described, and never with a
// figure that is none.
func TestSawIsDrawnWhole(t *testing.T) {
	saw := chart.Saw{Name: "magnesium, quay", Unit: "mg/L", Band: chart.Band{Low: 1250, Aim: 1330, High: 1400}, After: 1310, Before: 1305,
		Teeth: []chart.Tooth{{0, 1290, 15}, {7, 1285, 16}, {7, 1294, 15}, {14, 1289, 17}, {14, 1297, 15}}}
	out := string(chart.SawFigure(saw, "saw"))
	for _, want := range []string{"From 1,290 mg/L to 1,297 mg/L in 2 weeks. It settles between 1,305 and 1,310 mg/L.", `class="drawing saw phone"`, `class="drawing saw wide"`, `class="settled"`, "weeks from today"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in the picture", want)
		}
	}
	for _, odd := range []chart.Saw{{}, {Band: chart.NoBand(), After: math.NaN(), Before: math.Inf(1), Teeth: []chart.Tooth{{0, math.NaN(), 1}, {7, 3, math.NaN()}}}, saw} {
		text := string(chart.SawFigure(odd, "odd"))
		if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Errorf("%+v is drawn with what is no number", odd)
		}
		d := xml.NewDecoder(strings.NewReader(text))
		for {
			if _, err := d.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatalf("%v in %s", err, text)
			}
		}
	}
	if strings.Contains(string(chart.SawFigure(chart.Saw{Band: chart.NoBand(), After: math.NaN(), Before: 1}, "odd")), "settled") {
		t.Error("what does not settle is drawn as settled")
	}
}
