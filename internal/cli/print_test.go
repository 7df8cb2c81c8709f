package cli

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"driftline/internal/book"
	"driftline/internal/rounds"
	"driftline/internal/standing"
)

var golden = flag.Bool("golden", false, "write the golden texts anew")

// sameText compares what was printed with testdata/NAME.golden.
func sameText(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name+".golden")
	if *golden {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s (-want +got):\n%s", file, diff)
	}
}

var eight = time.Date(2026, 3, 14, 8, 0, 0, 0, time.UTC)

func days(n int) time.Time { return eight.AddDate(0, 0, n) }

func limit(v float64) *float64 { return &v }

// sloping makes a history or a forecast that falls evenly.
func sloping(from, to int, level, aDay float64) (past []standing.Point, ahead []standing.Day) {
	for d := from; d <= to; d++ {
		v := level - aDay*float64(d)
		past = append(past, standing.Point{At: days(d), Mean: v, SD: 10})
		ahead = append(ahead, standing.Day{At: days(d), Mean: v,
			P05: v - 16, P10: v - 13, P25: v - 7, P50: v, P75: v + 7, P90: v + 13, P95: v + 16})
	}
	return past, ahead
}

// threeStandings are made by hand: one near its edge, one with a misread, one
// hardly known.
func threeStandings() []standing.Quantity {
	even := days(19)
	past, _ := sloping(-45, 0, 1265, 0.9)
	_, ahead := sloping(0, 30, 1265, 0.9)
	return []standing.Quantity{
		{Name: "magnesium", Unit: "mg/L", AsOf: eight, State: standing.NearEdge, Why: "Fell 24 mg/L in 30 days: demand took 35, doses gave 11.",
			Band: standing.Band{Low: limit(1250), Aim: limit(1330), High: limit(1420)}, Level: standing.Estimate{Mean: 1265, SD: 18},
			Demand: standing.Estimate{Mean: 0.9, SD: 0.4}, Leaves: standing.Leaving{P30: 0.7, EvenChanceBy: &even, Side: "low"},
			NextTest: standing.NextTest{On: days(2)}, History: past, Forecast: ahead},
		{Name: "phosphate", Unit: "mg/L PO4", AsOf: eight, State: standing.Steady, Band: standing.Band{High: limit(0.1)},
			Level: standing.Estimate{Mean: 0.05, SD: 0.01}, Demand: standing.Estimate{Mean: -0.0011, SD: 0.0008},
			Leaves: standing.Leaving{P30: 0.2}, NextTest: standing.NextTest{On: days(-1)},
			Readings: []standing.Reading{{Line: "a", At: days(-3), Value: 0.5, Misread: 0.97, Expected: standing.Estimate{Mean: 0.05, SD: 0.02}}}},
		{Name: "pH", Unit: "NBS", AsOf: eight, State: standing.Unknown, Simple: true, Level: standing.Estimate{Mean: 8.1, SD: 0.2}},
	}
}

func TestDriftAsText(t *testing.T) {
	var out bytes.Buffer
	tank := &book.TankFacts{Tank: book.Tank{Name: "Harbour tank"}, Location: time.UTC}
	if err := printStanding(&out, tankStanding{tank, eight, threeStandings()}); err != nil {
		t.Fatal(err)
	}
	sameText(t, "drift", out.Bytes())
}

func TestLedgerAsText(t *testing.T) {
	var out bytes.Buffer
	led := standing.Ledger{Tank: "Harbour tank", Quantity: "magnesium", Unit: "mg/L", Start: days(-30), End: eight,
		From: standing.Estimate{Mean: 1289, SD: 17}, To: standing.Estimate{Mean: 1265, SD: 18},
		Entries: []standing.Entry{
			{Name: "dose", Detail: "magnesium chloride hexahydrate", Count: 1, Change: standing.Estimate{Mean: 11.4, SD: 0.3}, Grams: limit(4.78)},
			{Name: "water change", Detail: "reef salt", Count: 2, Change: standing.Estimate{Mean: -0.4, SD: 5}, Grams: limit(-0.168)},
			{Name: "demand", Change: standing.Estimate{Mean: -35, SD: 12}, Grams: limit(-14.7)},
			{Name: "unexplained", Change: standing.Estimate{Mean: 0, SD: 14}, Grams: limit(0)},
		},
		Sentence: "Fell 24 mg/L in 30 days: demand took 35, doses gave 11."}
	if err := printLedger(&out, led, time.UTC); err != nil {
		t.Fatal(err)
	}
	sameText(t, "ledger", out.Bytes())
}

func TestRoundsAsText(t *testing.T) {
	var out bytes.Buffer
	on := days(2)
	sheet := &rounds.Sheet{On: eight, Quiet: "Nothing to do today for Cellar quarantine.",
		Rows: []rounds.Row{
			{Title: "Magnesium, Harbour tank: near the edge", Why: "1,265 ± 18 mg/L, likely (about 70 %) to be outside within 30 days."},
			{Title: "Weekly magnesium, Harbour tank: due", Why: "Dose 40 g, every 7 days.", Cautions: []string{"Wear glasses.", "The label outranks this book."}},
		},
		Next: []rounds.Row{{Title: "Alkalinity, Harbour tank: test", On: &on}, {Title: "Filter rinsed, Harbour tank"}}}
	if err := printSheet(&out, sheet, 0, time.UTC); err != nil {
		t.Fatal(err)
	}
	if err := printSheet(&out, &rounds.Sheet{On: days(1), Rows: sheet.Rows[:1]}, 3, time.UTC); err != nil {
		t.Fatal(err)
	}
	sameText(t, "rounds", out.Bytes())
}

func TestErrorsAsText(t *testing.T) {
	var out bytes.Buffer
	err := usage("the book has Harbour tank", "no tank is called %q\nat all", "Attic")
	Explain(&out, err, false)
	Explain(&out, err, true)
	Explain(&out, refused("", "that can't be"), false)
	sameText(t, "errors", out.Bytes())
}
