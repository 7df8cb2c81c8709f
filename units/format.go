package units

import (
	"math"
	"strconv"
	"strings"
)

// unknown stands for a figure that is not a number.
const unknown = "not known"

// Decimals is how many decimals a value of q in this unit deserves.
func Decimals(q Quantity, unit string) int {
	s, err := unitOf(q, unit)
	if err != nil {
		return 2
	}
	return s.decimals
}

// Format writes a value with its unit: "1,236 mg/L". A value too small for its
// usual decimals gets up to three more.
func Format(q Quantity, v float64, unit string) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return unknown
	}
	return Number(v, enough(v, Decimals(q, unit))) + " " + canonical(q, unit)
}

// FormatPM writes a value with one standard deviation: "1,236 ± 18 mg/L". The
// doubt decides the decimals: one figure of it, two when it begins with a 1.
func FormatPM(q Quantity, mean, sd float64, unit string) string {
	if !(sd > 0) || math.IsInf(sd, 0) || math.IsNaN(mean) || math.IsInf(mean, 0) {
		return Format(q, mean, unit)
	}
	d := min(doubtDecimals(sd), Decimals(q, unit)+2)
	sd = max(sd, math.Pow10(-d)) // never a doubt shown as none
	return Number(mean, d) + " ± " + Number(sd, d) + " " + canonical(q, unit)
}

// doubtDecimals is how many decimals show a doubt to one figure, two when it begins with a 1.
func doubtDecimals(sd float64) int {
	magnitude := math.Floor(math.Log10(sd))
	d := -int(magnitude)
	if sd/math.Pow(10, magnitude) < 1.95 {
		d++
	}
	return max(d, 0)
}

// enough adds decimals until something of a small value shows.
func enough(v float64, d int) int {
	for extra := range 3 {
		if v == 0 || math.Abs(v) >= 0.95*math.Pow10(-d-extra) {
			return d + extra
		}
	}
	return d + 3
}

func canonical(q Quantity, unit string) string {
	if s, err := unitOf(q, unit); err == nil {
		return s.name
	}
	return unit
}

// Number writes v with d decimals, a comma at the thousands and a true minus sign.
func Number(v float64, d int) string {
	s := strconv.FormatFloat(v, 'f', d, 64)
	sign := ""
	if strings.HasPrefix(s, "-") {
		sign, s = "−", s[1:]
	}
	if strings.Trim(s, "0.") == "" {
		sign = ""
	}
	whole, rest, _ := strings.Cut(s, ".")
	if rest != "" {
		rest = "." + rest
	}
	return sign + thousands(whole) + rest
}

func thousands(digits string) string {
	first := len(digits) % 3
	var b strings.Builder
	b.WriteString(digits[:first])
	for i := first; i < len(digits); i += 3 {
		if b.Len() > 0 {
			b.WriteByte(',')
		}
		b.WriteString(digits[i : i+3])
	}
	return b.String()
}

// plain writes a value as it was most likely typed.
func plain(v float64) string {
	if a := math.Abs(v); a != 0 && (a >= 1e15 || a < 1e-6) {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	s := strconv.FormatFloat(v, 'f', -1, 64)
	_, rest, _ := strings.Cut(s, ".")
	return Number(v, len(rest))
}

// FormatAmount writes a mass or volume as it was weighed, without noughts at the
// end: "83.6", "1,005", "0.25".
func FormatAmount(v float64) string {
	text := Number(v, 3)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
