package booktest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"driftline/internal/book"
)

// Log draws a log that every rule accepts: declared tanks, lines of all kinds
// in any order of time, corrections, retractions, unknown fields.
func Log(t *rapid.T) []book.Line {
	d := drawer{T: t}
	for i := range rapid.IntRange(1, 3).Draw(t, "tanks") {
		d.tanks = append(d.tanks, fmt.Sprintf("Tank %c", 'A'+i))
		d.add(book.KindTank, &book.Tank{Name: d.tanks[i], NetVolume: d.number(1, 900), Unit: "L", TimeZone: "Europe/Madrid"})
	}
	for range rapid.IntRange(0, 40).Draw(t, "lines") {
		d.any()
	}
	lines := rapid.Permutation(d.lines).Draw(t, "order")
	return lines
}

type drawer struct {
	*rapid.T
	tanks []string
	lines []book.Line
}

func (d *drawer) name() string {
	return rapid.StringMatching(`[A-Za-zéß][A-Za-z é"\\/<>&'\x{1F41F}-]{0,12}`).Draw(d.T, "name")
}

// number draws what a person might type, trailing zeros included.
func (d *drawer) number(low, high int) book.Number {
	n := rapid.IntRange(low, high-1).Draw(d.T, "whole")
	digits := rapid.StringMatching(`(\.[0-9]{1,4})?(e0|E-0)?`).Draw(d.T, "fraction")
	return book.Number(fmt.Sprintf("%d%s", n, digits))
}

// at draws times that often coincide.
func (d *drawer) at() time.Time {
	seconds := rapid.Int64Range(0, 20).Draw(d.T, "day") * 86400
	nanos := rapid.SampledFrom([]int64{0, 0, 0, 1, 250_000_000, 123_456_789}).Draw(d.T, "nanoseconds")
	zone := rapid.SampledFrom([]int{0, 3600, -5 * 3600, 5*3600 + 1800}).Draw(d.T, "offset")
	at := time.Unix(1_700_000_000+seconds, nanos)
	if zone == 0 {
		return at.UTC()
	}
	return at.In(time.FixedZone("", zone))
}

func (d *drawer) add(kind book.Kind, body book.Body) {
	l := book.Line{ID: fmt.Sprintf("line-%d", len(d.lines)), Kind: kind, At: d.at(), Body: body, Extra: d.extra()}
	if rapid.Bool().Draw(d.T, "signed") {
		l.By, l.Note = d.name(), rapid.String().Draw(d.T, "note")
	}
	if kind == book.KindNote {
		l.Note = "n" + l.Note
	}
	if kind != book.KindTank && kind != book.KindVoid && kind != book.KindPreference {
		l.Tank = rapid.SampledFrom(append(d.tanks, strings.ToUpper(d.tanks[0])+" ")).Draw(d.T, "tank")
	}
	if kind == book.KindVoid || len(d.lines) > 0 && rapid.IntRange(0, 5).Draw(d.T, "corrects") == 0 {
		l.Replaces = rapid.SampledFrom(d.lines).Draw(d.T, "replaces").ID
	}
	d.lines = append(d.lines, l)
}

func (d *drawer) extra() map[string]json.RawMessage {
	if rapid.IntRange(0, 3).Draw(d.T, "extras") > 0 {
		return nil
	}
	value := rapid.SampledFrom([]string{"null", "true", "1.50", "-0", `"text \u00b5"`, `[1,{"b":2,"a":[]}]`, `{}`}).Draw(d.T, "extra")
	name := rapid.SampledFrom([]string{"mood", "x y", "", "ünïcode", "Value", "below"}).Draw(d.T, "extra name")
	return map[string]json.RawMessage{name: json.RawMessage(value)}
}

func (d *drawer) any() {
	parts := []book.Contained{{Quantity: "calcium", Value: d.number(300, 500), Unit: "mg/L"}}
	from := d.at()
	until := from.AddDate(0, 0, 9)
	bodies := []book.Body{
		&book.Reading{Quantity: "Alk", Value: d.number(5, 12), Unit: "dkh", Instrument: d.name(), Below: rapid.Bool().Draw(d.T, "below")},
		&book.Band{Quantity: "calcium", Unit: "ppm", Low: "380", Aim: d.number(400, 420), High: "450.0"},
		&book.Instrument{Name: d.name(), Quantity: "nitrate", Method: "Colour card", Unit: "mg/L", SD: d.number(0, 3)},
		&book.Substance{Name: d.name(), Contains: []book.Contained{{Quantity: "iodine", Value: d.number(0, 9), Unit: "mg/mL"}}},
		&book.Mix{Name: d.name(), Composition: parts},
		&book.Routine{Name: d.name(), Action: "dose", Substance: d.name(), Amount: d.number(0, 90), Unit: "mL", EveryDays: "0.5", From: &from, Automatic: true},
		&book.Equipment{Name: d.name(), Properties: map[string]json.RawMessage{"b": json.RawMessage("2.0"), d.name(): json.RawMessage(`"x"`)}},
		&book.Preference{Name: d.name(), Value: d.name()},
		&book.Dose{Substance: d.name(), Amount: d.number(0, 90), Unit: "g", Plan: "p1"},
		&book.WaterChange{Volume: d.number(1, 90), Unit: "imp gal", Mix: d.name(), Composition: parts},
		&book.TopOff{Volume: d.number(1, 9), Unit: "L"},
		&book.Feeding{Food: d.name(), Amount: d.number(0, 9), Unit: d.name()},
		&book.Harvest{What: d.name(), WetMass: d.number(0, 900), Unit: "g"},
		&book.Score{Sign: d.name(), Value: d.number(0, 4)},
		&book.Chore{Name: d.name(), Replaced: "33.3", Lost: d.number(0, 90)},
		&book.Setting{Equipment: d.name(), Property: d.name(), Value: json.RawMessage(`"two thirds"`)},
		&book.Photo{File: "sha256-00.jpg"},
		&book.Correction{Quantity: "Mg", From: "1290.5", Aim: d.number(1400, 1450), Unit: "mg/L", Substance: d.name(),
			Steps: []book.Step{{At: &from, Amount: d.number(0, 90), Unit: "g", Expected: "1300"}, {At: &from, Substance: d.name(), Expected: "1310", SD: d.number(0, 30)}}},
		&book.Course{Name: d.name(), Substance: d.name(), Amount: d.number(0, 9), Unit: "mL", Most: "9", EveryHours: "12", From: &from, Days: d.number(1, 14),
			Signs: []string{d.name(), "cyanobacteria"}, Watch: []string{d.name()}, Stop: d.name(), HalfDays: "0.5",
			StopWhen: []book.StopRule{{Sign: d.name(), Is: "At most", Value: d.number(0, 4), Times: "2"}, {Quantity: "nitrate", Is: "above", Value: d.number(5, 50), Unit: "mg/L NO3"}}},
		&book.PlanEnd{Plan: "p1", Why: d.name()},
		&book.PlanResume{Plan: "p1", Why: d.name()},
		&book.Stock{Substance: d.name(), Amount: d.number(0, 900), Unit: "g", Added: rapid.Bool().Draw(d.T, "added"), Price: "9.90", Currency: "EUR"},
		&book.Trial{Name: d.name(), Question: d.name(), Change: d.name(), On: []book.Phase{{From: &from}}, Comparison: []string{d.name()}, SettleDays: "7.0",
			Outcomes: []book.Outcome{{What: "score", Of: d.name(), Hoped: "Fall", Matters: "0.50"}, {What: "reading", Of: "NO3", Unit: "ppm", Hoped: "fall", EveryDays: d.number(1, 9)}}},
		&book.Food{Name: d.name(), Moisture: "8", Protein: d.number(0, 90), Phosphorus: "1.20", Portion: d.name(), PortionGrams: d.number(1, 9)},
		&book.Animal{Name: d.name(), What: "Observed", Species: d.name(), Group: "fish", Count: d.number(1, 9), Mass: "4.50", MassUnit: "g", Feeding: d.number(0, 4)},
		&book.Absence{From: &from, Until: &until, EveryDays: "2.5", Minder: d.name(), Link: strings.Repeat("0a", 32)},
		&book.Outline{Colony: d.name(), Photo: "sha256-00.jpg", Points: json.RawMessage("[[1,2.50],[30,4],[5,60]]"), Helped: true, Count: "3"},
		&book.Scale{Viewpoint: d.name(), Photo: "sha256-00.jpg", Points: json.RawMessage("[[1,2],[300,4]]"), Length: "20.0", Unit: "cm"},
		&book.Marks{Photo: "sha256-00.jpg", Reference: "sha256-01.jpg", Points: json.RawMessage("[[1,2,3,4],[9,2,11,4],[9,8,11,10],[1,8,3,10]]")},
	}
	kinds := []book.Kind{book.KindReading, book.KindBand, book.KindInstrument, book.KindSubstance, book.KindMix, book.KindRoutine,
		book.KindEquipment, book.KindPreference, book.KindDose, book.KindWaterChange, book.KindTopOff, book.KindFeeding, book.KindHarvest,
		book.KindScore, book.KindChore, book.KindSetting, book.KindPhoto,
		book.KindCorrection, book.KindCourse, book.KindPlanEnd, book.KindPlanResume, book.KindStock, book.KindTrial, book.KindFood, book.KindAnimal, book.KindAbsence, book.KindOutline, book.KindScale, book.KindMarks, book.KindNote, book.KindVoid}
	i := rapid.IntRange(0, len(kinds)-1).Draw(d.T, "kind")
	if i < len(bodies) {
		d.add(kinds[i], bodies[i])
		return
	}
	d.add(kinds[i], nil)
}

// roundTrip is the promise of the log: what is exported and imported is the same
// to the byte, and importing it again adds nothing.
func roundTrip(t *testing.T, open func(t *testing.T) book.Store) {
	rapid.Check(t, func(rt *rapid.T) {
		lines := Log(rt)
		first, second := book.NewMemory(), open(t)
		defer second.Close()
		if _, err := first.Append(t.Context(), lines); err != nil {
			rt.Fatal(err)
		}
		out := export(rt, first)
		for i, want := range []int{len(lines), 0} {
			report, err := book.ImportJSONL(t.Context(), bytes.NewReader(out), second, book.ImportOptions{Now: Now})
			if err != nil || len(report.Refused) > 0 || report.Added != want {
				rt.Fatalf("import %d: %+v, %v; want %d added", i, report, err, want)
			}
			if diff := cmp.Diff(string(out), string(export(rt, second))); diff != "" {
				rt.Fatalf("import %d changed the log (- before, + after):\n%s", i, diff)
			}
		}
	})
}

func export(t *rapid.T, s book.Store) []byte {
	var b bytes.Buffer
	if err := book.ExportJSONL(t.Context(), s, &b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
