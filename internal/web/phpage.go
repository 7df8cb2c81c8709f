package web

import (
	"html/template"
	"net/http"
	"slices"

	"driftline/internal/chart"
	"driftline/internal/prose"
	"driftline/internal/waterbench"
	"driftline/units"
)

// phView says why a tank's pH is what it is, and what airing would do.
type phView struct {
	frame
	Tank, TankHref string
	PHHref, Bench  string
	Read           string
	Needs          string
	Says           string
	Figure         template.HTML
	Notes          []noteRow
	Findings       []string // but what the outcomes tell
	Outcomes       []outcomeRow
	Day            []hourRow
	PHUnit         string
	Assumed        []string
	Caution        string
}

// noteRow is a figure in the margin.
type noteRow struct{ Name, Words string }

// outcomeRow is where pH would come to if something were done.
type outcomeRow struct{ Name, PH, Gain string }

// hourRow is pH in one part of the day.
type hourRow struct {
	Name, PH, CO2 string
	Readings      string
}

var phScreen = screen[phView]{"ph.html"}

// phPage is the last part of the page's address: no quantity has this name.
const phPage = "ph-and-air"

func phAirPath(tank string) string { return tankPath(tank) + "/" + phPage }

func (s *Server) phAndAir(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	name := t.Tank.Name
	d, err := s.diagnoses.of(f, t, s.diagnosisOf)
	if err != nil {
		return err
	}
	v := phView{frame: s.frame(r, "pH and the air, "+name, "rounds"), Tank: name, TankHref: tankPath(name), PHHref: quantityPath(name, string(units.PH)),
		Bench: waterPath(name), Read: readPath(name) + "?quantity=pH", Needs: sentence(d.Needs), Says: d.Says, Findings: restsOn(d), Assumed: d.Assumed, PHUnit: d.PHUnit}
	if d.Needs == "" {
		v.Figure = chart.PlaneFigure(chart.FromDiagnosis(d, t.Location), "plane")
		v.Notes = phNotes(d)
		v.Outcomes, v.Day = outcomeRows(d), hourRows(d)
		v.Caution = "Before anything goes into the water to raise alkalinity: " + prose.Lower(labelFirst) + " Raise it slowly and test between steps."
	}
	return phScreen.show(s, w, http.StatusOK, v)
}

// restsOn are the findings without those that stand in the table of outcomes.
func restsOn(d waterbench.PHDiagnosis) []string {
	return slices.DeleteFunc(slices.Clone(d.Findings), func(s string) bool {
		return s == d.Aired.Says || s == d.Halfway.Says || s == d.Raised.Says
	})
}

func phNotes(d waterbench.PHDiagnosis) []noteRow {
	return []noteRow{
		{"pH, the day's swing taken out", phWords(d, d.Level.PH)},
		{"Carbon dioxide in the water", co2Words(d.CO2)},
		{"Over that of open air", plain(d.Ratio.Mean, d.Ratio.SD, "times")},
		{"Alkalinity", units.FormatPM(units.Alkalinity, d.Level.Alkalinity.Mean, d.Level.Alkalinity.SD, d.AlkalinityUnit)},
		{"Temperature", units.FormatPM(units.Temperature, d.TempC.Mean, d.TempC.SD, "°C")},
		{"Salinity", units.FormatPM(units.Salinity, d.Salinity.Mean, d.Salinity.SD, "PSU")},
	}
}

func outcomeRows(d waterbench.PHDiagnosis) []outcomeRow {
	var rows []outcomeRow
	for _, o := range []waterbench.Outcome{d.Aired, d.Halfway, d.Raised} {
		if o.Name == "" {
			continue
		}
		rows = append(rows, outcomeRow{prose.Capital(o.Name), phWords(d, o.PH), gainWords(o.Gain)})
	}
	return rows
}

// gainWords: "0.16 ± 0.05 higher than now."
func gainWords(e waterbench.Estimate) string {
	way := "higher"
	if e.Mean < 0 {
		way, e.Mean = "lower", -e.Mean
	}
	return plain(e.Mean, e.SD, "") + " " + way + " than now."
}

func hourRows(d waterbench.PHDiagnosis) []hourRow {
	var rows []hourRow
	for _, h := range d.Day {
		if h.Readings > 0 {
			rows = append(rows, hourRow{prose.Capital(h.Name), plain(h.PH.Mean, h.PH.SD, ""), plain(h.CO2.Mean, h.CO2.SD, ""), thousands(h.Readings)})
		}
	}
	return rows
}

func phWords(d waterbench.PHDiagnosis, e waterbench.Estimate) string {
	return units.FormatPM(units.PH, e.Mean, e.SD, d.PHUnit)
}

func co2Words(e waterbench.Estimate) string { return plain(e.Mean, e.SD, "µatm") }
