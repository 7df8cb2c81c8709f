package units

import (
	"fmt"
	"strings"
	"unicode"
)

// fold reduces a spelling to what tells units apart: lower-case letters, digits
// and the signs %, ‰ and +. Degree signs, slashes, dots, spaces and dashes go;
// both micro signs become u, subscript digits become digits.
func fold(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == 'µ' || r == 'μ' || r == 'Μ': // micro sign, Greek mu, and the capital either turns into
			r = 'u'
		case r == 'º': // an ordinal sign typed for a degree sign
			continue
		case r == '℃' || r == '℉':
			r = map[rune]rune{'℃': 'c', '℉': 'f'}[r]
		case r >= '₀' && r <= '₉':
			r = '0' + (r - '₀')
		case r >= '⁰' && r <= '⁹', r == '²', r == '³':
			r = superscript(r)
		case r == '%' || r == '‰' || r == '+':
		case !unicode.IsLetter(r) && !unicode.IsDigit(r):
			continue
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}

func superscript(r rune) rune {
	switch r {
	case '²':
		return '2'
	case '³':
		return '3'
	}
	return '0' + (r - '⁰')
}

// ParseUnit turns a usual spelling of a unit of q into the canonical one.
func ParseUnit(q Quantity, s string) (string, error) {
	k := table[q]
	if k == nil {
		_, err := ParseQuantity(string(q))
		if err == nil {
			err = fmt.Errorf("quantity %s is not spelled as the log spells it", quote(string(q)))
		}
		return "", err
	}
	if i := k.find(s); i >= 0 {
		return k.scales[i].name, nil
	}
	if why := ambiguous[q][fold(s)]; why != "" {
		return "", fmt.Errorf("unit %s of %s is ambiguous: %s; expected %s", quote(s), q, why, list(q.Units()))
	}
	if strings.TrimSpace(s) == "" {
		return "", fmt.Errorf("unit of %s is missing, expected %s", q, list(q.Units()))
	}
	return "", fmt.Errorf("unit %s does not fit %s, expected %s", quote(s), q, list(q.Units()))
}

// ambiguous names spellings that mean different things to different people.
var ambiguous = map[Quantity]map[string]string{
	Salinity: {
		"ppm": "as dissolved solids or as sodium chloride", "mgl": "as dissolved solids or as sodium chloride",
		"%": "a hundredth part or a mistyped ‰", "gl": "grams per litre depend on the temperature",
		"uscm": "a probe for sea water shows mS/cm", "g": "a specific gravity needs its pair of temperatures",
	},
	PH:         {"sws": "the seawater scale is not kept", "free": "the free scale is not kept"},
	Alkalinity: {"h": "degrees of hardness are German, French or English", "d": "degrees of hardness are German, French or English", "mglhco3": "as bicarbonate or as CaCO3", "ppmhco3": "as bicarbonate or as CaCO3"},
	Oxygen:     {"mll": "millilitres of gas need a stated temperature"},
}

// massPerLitre are the folded ways to write mg/L and µg/L.
var (
	milliPerLitre = []string{"mgl", "ppm", "mgperl", "mgperlitre", "mgperliter", "mglitre", "mgliter", "mgl1", "milligramsperlitre", "milligramsperliter", "milligramperlitre", "milligramperliter", "gm3"}
	microPerLitre = []string{"ugl", "ppb", "ugperl", "ugperlitre", "ugperliter", "uglitre", "ugliter", "ugl1", "mcgl", "microgramsperlitre", "microgramsperliter", "microgramperlitre", "microgramperliter"}
)

// spellings combines ways to write a unit with ways to write what is weighed:
// "mg/L NO3", "ppm as nitrate", "NO3 mg/L", "mg NO3/L".
func spellings(ways []string, species ...string) []string {
	var out []string
	for _, w := range ways {
		for _, s := range species {
			out = append(out, w+s, s+w, w+"as"+s)
			if len(w) == 3 && w[2] == 'l' { // mgl, ugl: what is weighed may stand between
				out = append(out, w[:2]+s+"l")
			}
		}
	}
	return out
}
