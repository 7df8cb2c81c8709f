package makeup

import (
	"fmt"
	"strings"

	"driftline/units"
)

// Figure is a value of a quantity in a unit.
type Figure struct {
	Quantity units.Quantity `json:"quantity"`
	Value    float64        `json:"value"`
	Unit     string         `json:"unit"`
}

// Ask is a batch as a keeper wants it.
type Ask struct {
	Litres   float64
	Salinity float64 // practical salinity wanted
	TempC    float64 // of the finished water
	Salt     string  // the salt's name, "" for sea salt
	// Have is what the water holds at that salinity without supplements, tested
	// or by the label; the natural ratio stands for the rest.
	Have []Figure
	Want []Figure // aims
	With []string // substances to use; the usual ones where none of them serves
	// SaltGramsPerL is by the label, at a salinity of 35; 0 takes the usual.
	SaltGramsPerL float64
	Bin           Bin // "" takes Mixed where Have says something, else Empty
}

// Raises is what an addition does to the batch.
type Raises struct {
	Quantity units.Quantity `json:"quantity"`
	By       float64        `json:"by"`
	Unit     string         `json:"unit"`
}

// Addition is one substance to weigh in.
type Addition struct {
	Substance string   `json:"substance"`
	Amount    float64  `json:"amount"`
	Unit      string   `json:"unit"`
	Raises    Raises   `json:"raises"`         // what it is given for
	Also      []Raises `json:"also,omitempty"` // what comes with it
	Says      string   `json:"says"`
}

// Order is one step at the bin.
type Order struct {
	Do   string `json:"do"`
	Wait string `json:"wait,omitempty"` // "15 minutes"
	Why  string `json:"why"`
}

// Batch is a recipe.
type Batch struct {
	Litres    float64    `json:"litres"`
	Salinity  float64    `json:"salinity_psu"`
	SaltGrams float64    `json:"salt_g"`
	SaltSays  string     `json:"salt_says"`
	Additions []Addition `json:"additions"`
	Order     []Order    `json:"order"`
	Cautions  []string   `json:"cautions"`
	Warnings  []string   `json:"warnings"`
	Result    []Figure   `json:"result"`
	Check     string     `json:"check"` // what the instruments should show before use

	TempC          float64 `json:"temperature_c"`
	Salt           string  `json:"salt"` // its name
	SaltWhy        string  `json:"-"`    // by what its grams go
	Bin            Bin     `json:"bin"`
	SalinityAfter  float64 `json:"salinity_after_psu"`
	SaltLeftOut    float64 `json:"salt_left_out_g"` // with an empty bin, by what the supplements bring
	ExchangeLitres float64 `json:"exchange_l"`      // with a mixed one, for purified water to come back to the salinity
	SalinitySays   string  `json:"salinity_says"`   // "" where the supplements bring no salt
}

// ParseFigures reads "magnesium=1180mg/L,calcium=395mg/L,alkalinity=7.1dKH".
func ParseFigures(text string) ([]Figure, error) {
	var out []Figure
	seen := map[units.Quantity]bool{}
	for _, part := range strings.Split(text, ",") {
		if strings.TrimSpace(part) == "" {
			continue
		}
		f, err := parseFigure(part)
		if err != nil {
			return nil, err
		}
		if seen[f.Quantity] {
			return nil, fmt.Errorf("%s stands twice in %q", f.Quantity, clip(text))
		}
		seen[f.Quantity] = true
		out = append(out, f)
	}
	return out, nil
}

func parseFigure(part string) (Figure, error) {
	name, value, both := strings.Cut(part, "=")
	if !both {
		return Figure{}, fmt.Errorf("%q is not understood; expected such as magnesium=1180mg/L", clip(part))
	}
	q, err := units.ParseQuantity(strings.TrimSpace(name))
	if err != nil {
		return Figure{}, err
	}
	value = strings.TrimSpace(value)
	end := strings.IndexFunc(value, func(r rune) bool { return !strings.ContainsRune("0123456789.", r) })
	if end < 0 {
		end = len(value)
	}
	v, err := parseFloat(value[:end])
	if err != nil {
		return Figure{}, fmt.Errorf("%s %q is not a figure; expected such as %s=%s", q, clip(value), q, units.Format(q, 0, q.Default()))
	}
	unit := q.Default()
	if rest := strings.TrimSpace(value[end:]); rest != "" {
		if unit, err = units.ParseUnit(q, rest); err != nil {
			return Figure{}, err
		}
	}
	if err := units.Check(q, v, unit); err != nil {
		return Figure{}, err
	}
	return Figure{q, v, unit}, nil
}

func clip(s string) string {
	if r := []rune(strings.TrimSpace(s)); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return strings.TrimSpace(s)
}
