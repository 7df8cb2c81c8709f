package quickline

import (
	"fmt"
	"strconv"
	"strings"

	"driftline/internal/book"
	"driftline/stoichiometry"
	"driftline/units"
)

// noteSaid stands for a note, whose text the sentence adds.
const noteSaid = "a note,"

// note needs its text only; cutNote has taken it already.
func (l *line) note() (book.Body, string, error) {
	return nil, noteSaid, nil
}

// dose reads "AMOUNT UNIT [of] SUBSTANCE".
func (l *line) dose() (book.Body, string, error) {
	amount, unit, err := l.amount("amount")
	if err != nil {
		return nil, "", err
	}
	l.drop("of")
	name, err := l.substance(l.takeAll())
	if err != nil {
		return nil, "", err
	}
	d := &book.Dose{Substance: name, Amount: amount, Unit: unit}
	return d, fmt.Sprintf("a dose of %s %s of %s", amount, unit, name), nil
}

// waterChange reads "VOLUME UNIT [mix NAME]"; the volume may be a share of the tank.
func (l *line) waterChange() (book.Body, string, error) {
	l.drop("of")
	volume, unit, err := l.volume()
	if err != nil {
		return nil, "", err
	}
	l.drop("with", "of")
	l.drop("mix")
	mix, err := l.mix(l.takeAll())
	if err != nil {
		return nil, "", err
	}
	c := &book.WaterChange{Volume: volume, Unit: unit, Mix: mix}
	return c, fmt.Sprintf("a water change of %s %s with %s", volume, unit, mix), nil
}

// topOff reads "VOLUME UNIT [with SUBSTANCE CONCENTRATION]".
func (l *line) topOff() (book.Body, string, error) {
	volume, unit, err := l.volume()
	if err != nil {
		return nil, "", err
	}
	t := &book.TopOff{Volume: volume, Unit: unit}
	said := fmt.Sprintf("a top-off of %s %s", volume, unit)
	if len(l.words) == 0 {
		return t, said, nil
	}
	l.drop("with", "of")
	if t.Concentration, err = l.concentration(); err != nil {
		return nil, "", err
	}
	if t.Substance, err = l.substance(l.takeAll()); err != nil {
		return nil, "", err
	}
	return t, fmt.Sprintf("%s holding %s of %s a litre", said, t.Concentration, t.Substance), nil
}

// concentration takes the last figure off the words, and "g/L" after it.
func (l *line) concentration() (book.Number, error) {
	n := len(l.words)
	if n > 1 && (strings.EqualFold(l.words[n-1], "g/L") || strings.EqualFold(l.words[n-1], "mL/L")) {
		n--
	}
	if n < 2 {
		return "", fmt.Errorf("say how much of the substance a litre holds, such as 1.5 g/L")
	}
	tail := line{words: []string{l.words[n-1]}}
	l.words = l.words[:n-1]
	return tail.number("concentration")
}

// feeding reads "AMOUNT UNIT FOOD", "FOOD AMOUNT UNIT" or "FOOD".
func (l *line) feeding() (book.Body, string, error) {
	food, amount, unit, err := l.thing("food")
	if err != nil {
		return nil, "", err
	}
	f := &book.Feeding{Food: food, Amount: amount, Unit: unit}
	return f, "fed " + portion(amount, unit) + food, nil
}

// harvest reads the same of what was taken out.
func (l *line) harvest() (book.Body, string, error) {
	what, amount, unit, err := l.thing("what was harvested")
	if err != nil {
		return nil, "", err
	}
	h := &book.Harvest{What: what, WetMass: amount, Unit: unit}
	return h, "harvested " + portion(amount, unit) + what, nil
}

func portion(amount book.Number, unit string) string {
	if amount == "" {
		return ""
	}
	return string(amount) + " " + unit + " of "
}

// score reads "SIGN VALUE".
func (l *line) score() (book.Body, string, error) {
	n := len(l.words)
	if n < 2 {
		return nil, "", fmt.Errorf("say a sign and its score from 0 to 4, such as film algae 2")
	}
	tail := line{words: []string{l.words[n-1]}}
	l.words = l.words[:n-1]
	value, err := tail.number("score")
	if err != nil {
		return nil, "", err
	}
	s := &book.Score{Sign: l.takeAll(), Value: value}
	return s, fmt.Sprintf("%s scored %s of 4", s.Sign, value), nil
}

func (l *line) chore() (book.Body, string, error) {
	name := l.takeAll()
	if name == "" {
		return nil, "", fmt.Errorf("say which chore was done")
	}
	return &book.Chore{Name: name}, "chore done, " + name, nil
}

// amount takes a figure and a unit of mass or volume.
func (l *line) amount(what string) (book.Number, string, error) {
	n, err := l.number(what)
	if err != nil {
		return "", "", err
	}
	word := l.take()
	if unit, err := units.ParseMassUnit(word); err == nil {
		return n, unit, nil
	}
	if unit, err := units.ParseVolumeUnit(word); err == nil {
		return n, unit, nil
	}
	return "", "", fmt.Errorf("unit %q is not a mass or a volume; expected g, mg, mL or L", word)
}

// volume takes a figure and a unit of volume, of one or two words, or a share of
// the tank in %.
func (l *line) volume() (book.Number, string, error) {
	n, err := l.number("volume")
	if err != nil {
		return "", "", err
	}
	for words := min(2, len(l.words)); words > 0; words-- {
		if unit, err := units.ParseVolumeUnit(strings.Join(l.words[:words], " ")); err == nil {
			l.words = l.words[words:]
			return n, unit, nil
		}
	}
	word := l.take()
	if word == "%" || strings.EqualFold(word, "percent") {
		return l.share(n)
	}
	_, err = units.ParseVolumeUnit(word)
	return "", "", err
}

// share turns a percentage of the tank into a volume in the tank's own unit.
func (l *line) share(percent book.Number) (book.Number, string, error) {
	p, ok := percent.Float()
	net, okNet := l.netVolume()
	if !ok || p <= 0 || p > 100 {
		return "", "", fmt.Errorf("volume %q %% is not a share of the tank; expected above 0 up to 100 %%", percent)
	}
	if !okNet {
		return "", "", fmt.Errorf("the tank has no net volume to take %s %% of; say the volume", percent)
	}
	volume := strconv.FormatFloat(net*p/100, 'f', 1, 64)
	return book.Number(strings.TrimSuffix(volume, ".0")), l.tank.Tank.Unit, nil
}

func (l *line) netVolume() (float64, bool) {
	if l.tank == nil {
		return 0, false
	}
	return l.tank.Tank.NetVolume.Float()
}

// thing reads a name with an optional amount before or after it.
func (l *line) thing(what string) (name string, amount book.Number, unit string, err error) {
	if len(l.words) == 0 {
		return "", "", "", fmt.Errorf("%s is missing", what)
	}
	if digits, _ := cutFigure(l.words[0]); digits != "" {
		if amount, unit, err = l.amount("amount"); err != nil {
			return "", "", "", err
		}
		l.drop("of")
	} else if amount, unit, err = l.trailingAmount(); err != nil {
		return "", "", "", err
	}
	if name = l.takeAll(); name == "" {
		return "", "", "", fmt.Errorf("%s is missing", what)
	}
	return name, amount, unit, nil
}

// trailingAmount takes "5 g" or "5g" off the end, if it is there.
func (l *line) trailingAmount() (book.Number, string, error) {
	for n := 1; n <= 2 && n < len(l.words); n++ {
		at := len(l.words) - n
		if digits, _ := cutFigure(l.words[at]); digits == "" {
			continue
		}
		tail := line{words: append([]string(nil), l.words[at:]...)}
		amount, unit, err := tail.amount("amount")
		if err == nil {
			l.words = l.words[:at]
		}
		return amount, unit, err
	}
	return "", "", nil
}

// substance finds a declared substance or a built-in pure salt.
func (l *line) substance(name string) (string, error) {
	if name == "" {
		return "", fmt.Errorf("say what was dosed")
	}
	if s, ok := l.facts.SubstanceAt(name, l.at); ok {
		return s.Name, nil
	}
	if salt, ok := stoichiometry.Salt(name); ok {
		return salt.Name, nil
	}
	return "", fmt.Errorf("no substance is called %q; declared: %s; pure salts are known by name or formula", name, list(l.substances()))
}

func (l *line) substances() []string {
	var out []string
	seen := map[string]bool{}
	for _, d := range l.facts.Substances {
		if key := book.Key(d.Body.Name); !seen[key] {
			seen[key] = true
			out = append(out, d.Body.Name)
		}
	}
	return out
}

// mix finds a declared mix, or takes the only one there is.
func (l *line) mix(name string) (string, error) {
	known := l.mixes()
	if name == "" && len(known) == 1 {
		return known[0], nil
	}
	if name == "" {
		return "", fmt.Errorf("say which mix the new water was; declared: %s", list(known))
	}
	if m, ok := l.facts.MixAt(name, l.at); ok {
		return m.Name, nil
	}
	return "", fmt.Errorf("no mix is called %q; declared: %s", name, list(known))
}

func (l *line) mixes() []string {
	var out []string
	seen := map[string]bool{}
	for _, d := range l.facts.Mixes {
		if key := book.Key(d.Body.Name); !seen[key] {
			seen[key] = true
			out = append(out, d.Body.Name)
		}
	}
	return out
}
