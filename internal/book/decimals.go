package book

import (
	"regexp"
	"strings"
)

// decimals reads numbers as people write them in tables: with a decimal point,
// or a decimal comma where that cannot be a mark of thousands.
type decimals struct {
	separator    byte
	point, comma bool // a number has shown this mark beyond doubt
}

var (
	plainNumber = regexp.MustCompile(`^[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?$`)
	// perhapsThousands fits both 1.236 and 1,236: thousands to one, a fraction to another.
	perhapsThousands = regexp.MustCompile(`^[+-]?[1-9]\d{0,2}[.,]\d{3}$`)
)

// notice learns from a number which mark the table uses.
func (d *decimals) notice(text string) {
	if !plainNumber.MatchString(text) || perhapsThousands.MatchString(text) {
		return
	}
	d.comma = d.comma || strings.ContainsRune(text, ',')
	d.point = d.point || strings.ContainsRune(text, '.')
}

// number reads one value.
func (d *decimals) number(text string) (Number, *Fault) {
	switch {
	case text == "":
		return "", nil
	case !plainNumber.MatchString(text):
		return "", faultf("value", "value %q is not a number; expected such as 8.2, or <0.02 for below a kit's limit", clip(text))
	case perhapsThousands.MatchString(text) && d.doubtful(text):
		return "", faultf("value", "value %q could mean thousands or a decimal; write it with a decimal point and no mark for thousands", clip(text))
	}
	d.notice(text)
	return literal(text), nil
}

// doubtful says whether a number of the form 1.236 or 1,236 is open to doubt in
// this table. In one parted by commas a comma is more likely a mark of
// thousands, in any other a decimal comma.
func (d *decimals) doubtful(text string) bool {
	if strings.ContainsRune(text, ',') {
		return d.point || d.separator == ',' && !d.comma
	}
	return d.comma && !d.point
}

// literal writes the number as JSON does, keeping its digits.
func literal(text string) Number {
	text = strings.Replace(strings.TrimPrefix(text, "+"), ",", ".", 1)
	sign := ""
	if strings.HasPrefix(text, "-") {
		sign, text = "-", text[1:]
	}
	text, exponent := text, ""
	if i := strings.IndexAny(text, "eE"); i >= 0 {
		text, exponent = text[:i], text[i:]
	}
	whole, fraction, _ := strings.Cut(text, ".")
	if whole = strings.TrimLeft(whole, "0"); whole == "" {
		whole = "0"
	}
	if fraction != "" {
		fraction = "." + fraction
	}
	return Number(sign + whole + fraction + exponent)
}
