package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"driftline/internal/standing"
	"driftline/units"
)

// printJSON prints a result as one indented JSON document.
func printJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("the result cannot be printed: %w", err)
	}
	return nil
}

// countOf says "1 line" or "1,204 lines".
func countOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return grouped(n) + " " + many
}

// grouped writes a count with a comma between thousands.
func grouped(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// levelOf says an estimate of the quantity with its doubt and unit.
func levelOf(q, unit string, e standing.Estimate) string {
	return units.FormatPM(units.Quantity(q), e.Mean, e.SD, unit)
}

// signed writes a figure with a true minus sign.
func signed(v float64, places int) string {
	s := strconv.FormatFloat(v, 'f', places, 64)
	return strings.Replace(s, "-", "−", 1)
}

// bandOf says a band in the unit of the quantity: "7–8.5", "up to 0.1".
func bandOf(q string, unit string, b standing.Band) string {
	figure := func(v float64) string { return bare(q, unit, v) }
	switch {
	case b.Low != nil && b.High != nil:
		return figure(*b.Low) + "–" + figure(*b.High)
	case b.Low != nil:
		return "from " + figure(*b.Low)
	case b.High != nil:
		return "up to " + figure(*b.High)
	default:
		return "none"
	}
}

// bare formats a value without its unit.
func bare(q, unit string, v float64) string {
	return strings.TrimSuffix(units.Format(units.Quantity(q), v, unit), " "+unit)
}

// percent rounds a chance to what it is worth: to five where it is not near 0 or 1.
func percent(p float64) string {
	if p >= 0.1 && p <= 0.9 {
		return fmt.Sprintf("%d %%", int(math.Round(p*20))*5)
	}
	return fmt.Sprintf("%d %%", int(math.Round(p*100)))
}

// levelAlone says a value of the quantity with its unit.
func levelAlone(q standing.Quantity, v float64) string {
	return units.Format(units.Quantity(q.Name), v, q.Unit)
}

// plusMinus says an estimate without its unit, as columns of one unit do.
func plusMinus(q, unit string, e standing.Estimate) string {
	text := units.FormatPM(units.Quantity(q), e.Mean, e.SD, unit)
	return strings.ReplaceAll(strings.TrimSuffix(text, " "+unit), "-", "−")
}

// changeOf says a change, with its sign even when it is a plus.
func changeOf(q, unit string, e standing.Estimate) string {
	text := plusMinus(q, unit, e)
	if e.Mean > 0 {
		return "+" + text
	}
	return text
}

// withSign writes the sign of a change even when it is a plus.
func withSign(v float64, places int) string {
	if v > 0 {
		return "+" + signed(v, places)
	}
	return signed(v, places)
}

// placesFor keeps three figures of a mass, down to a hundredth.
func placesFor(v float64) int {
	if v == 0 {
		return 0
	}
	return min(2, max(0, 2-int(math.Floor(math.Log10(math.Abs(v))))))
}

// indent sets a block of lines in by two more.
func indent(s string) string { return strings.ReplaceAll(s, "\n", "\n    ") }
