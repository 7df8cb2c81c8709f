package seawater_test

import (
	"strings"
	"testing"

	"driftline/seawater"
)

func TestChoicesByName(t *testing.T) {
	if c, err := seawater.ParseCarbonSet("Lueker 2000"); err != nil || c != seawater.Lueker2000 {
		t.Errorf("Lueker 2000 is %v, %v", c, err)
	}
	if c, err := seawater.ParseCarbonSet("waters-2014"); err != nil || c != seawater.Waters2014 {
		t.Errorf("waters-2014 is %v, %v", c, err)
	}
	if b, err := seawater.ParseBoronRatio("lee2010"); err != nil || b != seawater.Lee2010 {
		t.Errorf("lee2010 is %v, %v", b, err)
	}
	if f, err := seawater.ParseFluorideSet("dicksonriley1979"); err != nil || f != seawater.DicksonRiley1979 {
		t.Errorf("dicksonriley1979 is %v, %v", f, err)
	}
	if m, err := seawater.ParseMinorSet("guide2007"); err != nil || m != seawater.Guide2007 {
		t.Errorf("guide2007 is %v, %v", m, err)
	}
	if s, err := seawater.ParsePHScale("NIST"); err != nil || s != seawater.NBSScale {
		t.Errorf("NIST is %v, %v", s, err)
	}
	for _, parse := range []func(string) error{
		func(s string) error { _, err := seawater.ParseCarbonSet(s); return err },
		func(s string) error { _, err := seawater.ParseBoronRatio(s); return err },
		func(s string) error { _, err := seawater.ParseFluorideSet(s); return err },
		func(s string) error { _, err := seawater.ParseMinorSet(s); return err },
		func(s string) error { _, err := seawater.ParsePHScale(s); return err },
	} {
		if parse("") == nil || parse("nobody1900") == nil {
			t.Error("an unknown name was taken")
		}
	}
}

// Each name a Parse function lists comes back from String, however it is spelled.
func TestEveryNameComesBack(t *testing.T) {
	type parse func(string) (string, error)
	for what, c := range map[string]struct {
		names []string
		parse parse
	}{
		"carbon":   {seawater.CarbonSets(), func(s string) (string, error) { v, err := seawater.ParseCarbonSet(s); return v.String(), err }},
		"boron":    {seawater.BoronRatios(), func(s string) (string, error) { v, err := seawater.ParseBoronRatio(s); return v.String(), err }},
		"fluoride": {seawater.FluorideSets(), func(s string) (string, error) { v, err := seawater.ParseFluorideSet(s); return v.String(), err }},
		"minor":    {seawater.MinorSets(), func(s string) (string, error) { v, err := seawater.ParseMinorSet(s); return v.String(), err }},
		"density":  {seawater.DensityFormulas(), func(s string) (string, error) { v, err := seawater.ParseDensityFormula(s); return v.String(), err }},
		"scale": {seawater.PHScales(), func(s string) (string, error) {
			v, err := seawater.ParsePHScale(s)
			return strings.ToLower(v.String()), err
		}},
	} {
		for _, name := range c.names {
			for _, spelled := range []string{name, strings.ToUpper(name), name[:2] + " " + name[2:]} {
				if got, err := c.parse(spelled); err != nil || got != name {
					t.Errorf("%s %q gave %q, %v", what, spelled, got, err)
				}
			}
		}
		if _, err := c.parse("nobody1900"); err == nil || !strings.Contains(err.Error(), "expected "+c.names[0]) {
			t.Errorf("%s: error %v, want one that says what is expected", what, err)
		}
	}
	if d, err := seawater.ParseDensityFormula("exact"); err != nil || d != seawater.DensityExact {
		t.Errorf("exact is %v, %v", d, err)
	}
	if v, err := seawater.DensityFormula(7).Density(35, 25); err == nil {
		t.Errorf("an unknown formula gave %g", v)
	}
}
