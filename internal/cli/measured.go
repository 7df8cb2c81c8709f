package cli

import (
	"strconv"
	"strings"

	"driftline/units"
)

// measured is a figure as typed on the command line.
type measured struct {
	value, sd float64 // sd is zero when none was typed
	unit      string  // canonical
}

// parseMeasured reads "8.2dKH", "8.2 ± 0.2 dKH", "8.2+-0.2 dKH" or a bare figure,
// which is in the quantity's usual unit.
func parseMeasured(flag string, q units.Quantity, text string) (measured, error) {
	m := measured{unit: q.Default()}
	rest := strings.TrimSpace(strings.NewReplacer("+/-", "±", "+-", "±", "−", "-").Replace(text))
	var ok bool
	if m.value, rest, ok = leadingFigure(rest); !ok {
		return m, usage("", "%s %q does not begin with a figure; expected such as %s", flag, text, example(q))
	}
	if after, has := strings.CutPrefix(rest, "±"); has {
		if m.sd, rest, ok = leadingFigure(strings.TrimSpace(after)); !ok || m.sd < 0 {
			return m, usage("", "%s %q: the doubt after ± is not a figure of 0 or more", flag, text)
		}
	}
	if rest != "" {
		unit, err := units.ParseUnit(q, rest)
		if err != nil {
			return m, usage("", "%s %q: %v", flag, text, err)
		}
		m.unit = unit
	}
	if err := units.Check(q, m.value, m.unit); err != nil {
		return m, usage("", "%s: %v", flag, err)
	}
	return m, nil
}

// leadingFigure cuts a number off the start of a text.
func leadingFigure(text string) (v float64, rest string, ok bool) {
	end := 0
	for end < len(text) && strings.IndexByte("0123456789.+-", text[end]) >= 0 {
		end++
	}
	v, err := strconv.ParseFloat(text[:end], 64)
	return v, strings.TrimSpace(text[end:]), err == nil
}

func example(q units.Quantity) string {
	usual := map[units.Quantity]string{units.Temperature: "25.5C", units.Salinity: "35", units.PH: "8.15", units.Alkalinity: "8.2dKH"}
	if e, ok := usual[q]; ok {
		return e
	}
	return "420" + strings.ReplaceAll(q.Default(), " ", "")
}
