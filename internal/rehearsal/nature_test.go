package rehearsal

import (
	"math"
	"testing"
	"time"
)

// still is a tank in which nothing happens by itself.
func still(days int) *nature {
	flat := func(v float64) []float64 { return trace(days*stepsPerDay+1, func(float64) float64 { return v }) }
	return &nature{litres: 100, calcify: flat(0), foodN: flat(0), foodP: flat(0), takeN: flat(0), takeP: flat(0), magSink: flat(0),
		swell: flat(0), warmth: flat(25), acid: flat(8.1), refAlk: 8, refCal: 420, calPerDKH: 7.15, magPerDKH: 0.1, rockRoom: 1}
}

var usual = levels{alk: 8, cal: 420, mag: 1300, nit: 10, pho: 0.1, sal: 35}

func agrees(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.6g, want %.6g ± %.2g", what, got, want, tolerance)
	}
}

func TestCalcificationKeepsItsRatios(t *testing.T) {
	n := still(20)
	for i := range n.calcify {
		n.calcify[i] = 0.1
	}
	b := newBasin("pond", Origin, 100, n, usual, 1)
	b.until(10)
	// 2:1 rule of Smith & Key 1975: 1 mol of CaCO3 takes two equivalents, 40.078/(2*2.804) = 7.15 mg/L of calcium per dKH.
	agrees(t, "alkalinity taken in ten days at 0.1 dKH a day", usual[alk]-b.s.c[alk], 1, 0.002)
	agrees(t, "calcium with it", usual[cal]-b.s.c[cal], 7.15, 0.015)
	agrees(t, "magnesium with it", usual[mag]-b.s.c[mag], 0.1, 0.001)
	agrees(t, "salinity", b.s.c[sal], 35, 1e-12)
}

func TestBalanceCloses(t *testing.T) {
	// What is put in, less what the tank takes, is the change: every rate is summed beside the run on a finer grid.
	d := draw(5, Usual, Origin)
	d.basin.mute = true
	n := d.basin.n
	s := d.basin.s
	const days, fine = 40, 40
	var put, taken levels
	for i := range days * stepsPerDay * fine {
		h := 1.0 / (stepsPerDay * fine)
		feeds := d.basin.inflow(s.t)
		for q := range nDissolved {
			put[q] += feeds[q] * h
		}
		rates, rock := n.rates(s, float64(i)*h+h/2, feeds)
		for q := range nDissolved {
			taken[q] += (feeds[q] - rates[q]) * h
			s.c[q] += rates[q] * h
		}
		s.rock += rock * h
		s.t = float64(i+1) * h
	}
	start := d.basin.s.c
	run := d.basin.s
	n.advance(&run, days, d.basin.inflow)
	d.basin.s = run
	for q := range nDissolved {
		agrees(t, ionNames[q], run.c[q], start[q]+put[q]-taken[q], 2e-3*start[q])
	}
}

func TestRemovalInProportionDecaysExponentially(t *testing.T) {
	n := still(40)
	for i := range n.takeN {
		n.takeN[i], n.foodN[i] = 0.05, 0.2
	}
	n.denitrified = 1
	b := newBasin("pond", Origin, 100, n, usual, 1)
	b.until(30)
	// C(t) = F/k + (C0 - F/k) exp(-kt), the textbook solution of dC/dt = F - kC.
	want := 4 + 6*math.Exp(-1.5)
	agrees(t, "nitrate", b.s.c[nit], want, 1e-4)
	// Charge balance: one equivalent for every mol of nitrate made and, here, of nitrate gone.
	agrees(t, "alkalinity", b.s.c[alk], 8-dkhPerNO3*(want-10), 1e-4)
}

func TestRockGivesPhosphateBack(t *testing.T) {
	n := still(400)
	n.rockRate, n.rockRoom = 0.1, 4
	b := newBasin("pond", Origin, 100, n, usual, 1)
	b.s.c[pho], b.s.rock = 0.02, 0.12
	b.until(390)
	// Nothing leaves, so water and rock (holding four times as much) end at the common level (0.02 + 4*0.12)/5.
	agrees(t, "water", b.s.c[pho], 0.1, 1e-6)
	agrees(t, "rock", b.s.rock, 0.1, 1e-6)
}

func TestWaterChangesByHandArithmetic(t *testing.T) {
	n := still(2)
	s := state{c: usual}
	for range 2 {
		n.replace(&s, 0.25, levels{alk: 10, cal: 440, mag: 1380, sal: 35})
	}
	// X1 = X0(1-f) + Xnew f, twice: 10*0.75*0.75, 8 -> 8.5 -> 8.875, 1300 -> 1320 -> 1335.
	agrees(t, "nitrate", s.c[nit], 5.625, 1e-9)
	agrees(t, "alkalinity", s.c[alk], 8.875, 1e-9)
	agrees(t, "magnesium", s.c[mag], 1335, 1e-9)
}

func TestDosesByMolarMass(t *testing.T) {
	tests := []struct {
		what  substance
		q     ion
		grams float64
		want  float64 // in 100 L
	}{
		// Worked from the molar masses: 84.006 g of NaHCO3 is 1 eq; 0.99 * 8.4006 g in 100 L is 0.99 meq/L.
		{bicarbonate, alk, 8.4006, 0.99 * 2.804},
		{calciumSalt, cal, 100, 0.98 * 272.62},   // 40.078/147.008
		{magnesiumS, mag, 100, 0.98 * 119.56},    // 24.305/203.295
		{lime, alk, 3.7046, 0.95 * 2.804},        // 2 eq in 74.092 g
		{saltpetre, nit, 1, 0.99 * 10 * 0.72951}, // 62.004/84.994
		{potash, pho, 1, 0.98 * 10 * 0.69788},    // 94.970/136.084
		{carbonateStock, alk, 100, 1.8 * 2.804},  // 180 meq
	}
	for _, c := range tests {
		t.Run(c.what.line.Name, func(t *testing.T) {
			agrees(t, "rise", c.grams*c.what.raises(100)[c.q], c.want, 2e-4*c.want)
		})
	}
}

func TestSameSeedSameTank(t *testing.T) {
	a, b := NewTank(3), NewTank(3)
	if len(a.Lines) != len(b.Lines) {
		t.Fatalf("%d and %d lines from one seed", len(a.Lines), len(b.Lines))
	}
	for i := range a.Lines {
		if a.Lines[i].ID != b.Lines[i].ID {
			t.Fatalf("line %d differs", i)
		}
	}
	other := NewTank(4)
	if len(other.Lines) > 0 && other.Lines[0].ID == a.Lines[0].ID {
		t.Error("another seed wrote the same line")
	}
}

func TestFutureStartsWhereThePastEnds(t *testing.T) {
	for seed := uint64(1); seed <= 6; seed++ {
		tank := NewTank(seed)
		asOf := tank.From.Add(60*24*time.Hour + 7*time.Hour + 30*time.Minute)
		f, err := tank.After(asOf, 5, Declared)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range Families {
			past, err := tank.Level(name, asOf)
			if err != nil {
				t.Fatal(err)
			}
			now, _ := f.On(name, 0)
			agrees(t, tank.Name+", "+name, now, past, 0.02*past)
		}
	}
}

func TestHandsOffStopsHandWorkOnly(t *testing.T) {
	n := still(60)
	b := newBasin("pond", Origin, 100, n, usual, 1)
	b.mute = true
	b.feeds = []*feed{{what: carbonateStock, amount: 1, every: 1, potency: 1, wear: func(float64) float64 { return 1 }}}
	b.hands = []*habit{{what: &magnesiumS, amount: 10, every: 10, last: -5}}
	b.faithful(30, false)
	agrees(t, "alkalinity by the pump", b.s.c[alk], 8+30*1.8*2.804/100, 1e-6)
	agrees(t, "magnesium without hands", b.s.c[mag], 1300, 1e-9)

	b = newBasin("pond", Origin, 100, n, usual, 1)
	b.mute = true
	b.hands = []*habit{{what: &magnesiumS, amount: 10, every: 10, last: -5}}
	b.faithful(30, true)
	// Due on days 5, 15 and 25: three times 10 g, each weighed to 2 %.
	agrees(t, "magnesium by hand", b.s.c[mag]-1300, 3*10*0.98*1.1956, 3.5)
}
