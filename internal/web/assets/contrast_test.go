package assets_test

import (
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

type colour [3]float64

func hex(s string) colour {
	var c colour
	for i := range c {
		v, err := strconv.ParseUint(s[1+2*i:3+2*i], 16, 8)
		if err != nil {
			return colour{}
		}
		c[i] = float64(v) / 255
	}
	return c
}

// mix is color-mix in sRGB: share of c, the rest of d.
func mix(c colour, share float64, d colour) colour {
	for i := range c {
		c[i] = share*c[i] + (1-share)*d[i]
	}
	return c
}

// luminance and contrast as defined in WCAG 2.2, "relative luminance" and "contrast ratio".
func luminance(c colour) float64 {
	for i, v := range c {
		if v <= 0.04045 {
			c[i] = v / 12.92
		} else {
			c[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2]
}

func contrast(a, b colour) float64 {
	x, y := luminance(a), luminance(b)
	return (math.Max(x, y) + 0.05) / (math.Min(x, y) + 0.05)
}

// theme reads the colours declared in the first block that begins with selector.
func theme(t *testing.T, css, selector string) map[string]colour {
	t.Helper()
	_, rest, ok := strings.Cut(css, selector)
	if !ok {
		t.Fatalf("base.css has no %s", selector)
	}
	block, _, _ := strings.Cut(rest, "}")
	colours := map[string]colour{}
	for _, m := range regexp.MustCompile(`--([a-z-]+):\s*(#[0-9A-Fa-f]{6})`).FindAllStringSubmatch(block, -1) {
		colours[m[1]] = hex(m[2])
	}
	return colours
}

// WCAG 2.2: 4.5 for text (1.4.3), 3 for what a drawing is read by (1.4.11), on
// plain paper and on the wash of the band.
func TestChartColoursStandOut(t *testing.T) {
	css, err := os.ReadFile("base.css")
	if err != nil {
		t.Fatal(err)
	}
	for name, selector := range map[string]string{"day": ":root {", "night": ":root[data-theme=night] {"} {
		c := theme(t, string(css), selector)
		if got := contrast(c["on-deed"], c["deed"]); got < 4.5 {
			t.Errorf("%s: the words of a main button have a contrast of %.2f, want 4.5", name, got)
		}
		for ground, on := range map[string]colour{"paper": c["paper"], "band": mix(c["rule"], .42, c["paper"])} {
			for what, least := range map[string]float64{"ink": 4.5, "soft": 4.5, "madder": 4.5, "sea": 3} {
				if got := contrast(c[what], on); got < least {
					t.Errorf("%s: %s on %s has a contrast of %.2f, want %g", name, what, ground, got, least)
				}
			}
		}
	}
}
