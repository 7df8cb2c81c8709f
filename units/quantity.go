package units

import (
	"fmt"
	"strings"
)

// Quantity is something of the water that a keeper measures.
type Quantity string

// The quantities, by the names the log uses.
const (
	Temperature  Quantity = "temperature"
	Salinity     Quantity = "salinity"
	PH           Quantity = "pH"
	Alkalinity   Quantity = "alkalinity"
	Calcium      Quantity = "calcium"
	Magnesium    Quantity = "magnesium"
	Potassium    Quantity = "potassium"
	Strontium    Quantity = "strontium"
	Nitrate      Quantity = "nitrate"
	Nitrite      Quantity = "nitrite"
	TotalAmmonia Quantity = "total ammonia"
	Phosphate    Quantity = "phosphate"
	Silicate     Quantity = "silicate"
	Iodine       Quantity = "iodine"
	Boron        Quantity = "boron"
	Redox        Quantity = "oxidation-reduction potential"
	Oxygen       Quantity = "oxygen"
)

var order = []Quantity{
	Temperature, Salinity, PH, Alkalinity, Calcium, Magnesium, Potassium, Strontium, Nitrate,
	Nitrite, TotalAmmonia, Phosphate, Silicate, Iodine, Boron, Redox, Oxygen,
}

// synonyms are the usual other names, folded.
var synonyms = map[Quantity][]string{
	Temperature:  {"temp", "watertemperature", "t"},
	Salinity:     {"sal", "salt", "practicalsalinity", "specificgravity", "sg", "conductivity", "density"},
	PH:           {"acidity"},
	Alkalinity:   {"alk", "kh", "dkh", "totalalkalinity", "carbonatehardness", "ta"},
	Calcium:      {"ca", "ca2+"},
	Magnesium:    {"mg", "mg2+"},
	Potassium:    {"k", "k+"},
	Strontium:    {"sr", "sr2+"},
	Nitrate:      {"no3", "nitrates"},
	Nitrite:      {"no2", "nitrites"},
	TotalAmmonia: {"ammonia", "ammonium", "nh3", "nh4", "nh3nh4", "tan", "totalammonianitrogen"},
	Phosphate:    {"po4", "phosphates", "orthophosphate", "reactivephosphate"},
	Silicate:     {"si", "sio2", "silica", "silicates", "silicon"},
	Iodine:       {"i", "iodide"},
	Boron:        {"b", "borate"},
	Redox:        {"orp", "redox", "redoxpotential", "eh"},
	Oxygen:       {"o2", "do", "dissolvedoxygen", "oxygensaturation"},
}

var byName = func() map[string]Quantity {
	m := make(map[string]Quantity)
	for _, q := range order {
		m[fold(string(q))] = q
		for _, s := range synonyms[q] {
			m[fold(s)] = q
		}
	}
	return m
}()

// Quantities lists all quantities in the order they are shown.
func Quantities() []Quantity { return append([]Quantity(nil), order...) }

// ParseQuantity finds a quantity by its name or a usual synonym ("alk", "Ca", "NO3").
func ParseQuantity(s string) (Quantity, error) {
	if _, ok := table[Quantity(s)]; ok {
		return Quantity(s), nil
	}
	if q, ok := byName[fold(s)]; ok {
		return q, nil
	}
	names := make([]string, len(order))
	for i, q := range order {
		names[i] = string(q)
	}
	return "", fmt.Errorf("quantity %s is not known, expected %s", quote(s), list(names))
}

// Units lists the canonical spellings of a quantity's units, the default first.
func (q Quantity) Units() []string {
	k := table[q]
	if k == nil {
		return nil
	}
	names := make([]string, len(k.scales))
	for i := range k.scales {
		names[i] = k.scales[i].name
	}
	return names
}

// Default is the unit a quantity is shown in unless the keeper says otherwise.
func (q Quantity) Default() string {
	if k := table[q]; k != nil {
		return k.scales[0].name
	}
	return ""
}

// list joins names as in a sentence: "a, b or c".
func list(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

// quote shortens what a person typed to something a sentence can carry.
func quote(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return fmt.Sprintf("%q", s)
}
