package drift

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// pair solves x' = -k·(x-ref) - rate·(x-y) - use, y' = rate/room·(x-y) over dt by the
// matrix exponential of gonum, an outside implementation.
func pair(r Rock, k, ref, use, x, y, dt float64) (float64, float64) {
	a := mat.NewDense(3, 3, []float64{
		-k - r.Rate, r.Rate, k*ref - use,
		r.Rate / r.Room, -r.Rate / r.Room, 0,
		0, 0, 0,
	})
	a.Scale(dt, a)
	var e mat.Dense
	e.Exp(a)
	var out mat.VecDense
	out.MulVec(&e, mat.NewVecDense(3, []float64{x, y, 1}))
	return out.AtVec(0), out.AtVec(1)
}

func TestRockAgreesWithTheMatrixExponential(t *testing.T) {
	for _, r := range []Rock{{0.05, 5}, {0.2, 20}, {0.02, 4}} {
		for _, dt := range []float64{0.3, 7, 40} {
			x, y := r.Swap(0.02, 0.12, dt)
			wantX, wantY := pair(r, 0, 0, 0, 0.02, 0.12, dt)
			if math.Abs(x-wantX) > 1e-12 || math.Abs(y-wantY) > 1e-12 {
				t.Errorf("%+v over %g days: %.9f, %.9f, want %.9f, %.9f", r, dt, x, y, wantX, wantY)
			}
		}
	}
}

// The steps taken in turn stay within a hundredth of the way travelled.
func TestDriftByRockFollowsBothTogether(t *testing.T) {
	c := Case{Habit: HabitOf("phosphate", "mixed", 1), Kits: []Kit{{SD: 0.01}}, Readings: []Reading{{T: 0, Value: 0.08}}}
	e := newEngine(&c, 90)
	for _, room := range rockRooms {
		w := e.newRockWalker(spreads{}, 0.6, room)
		w.f.X[stateLevel], w.f.X[stateRock], w.f.X[w.l.mean] = 0.02, 0.15, 0.001
		for _, at := range []float64{1, 8, 30, 90} {
			was, wasRock, span := w.f.X[stateLevel], w.f.X[stateRock], at-w.t
			wantX, wantY := pair(w.rock, w.flow.Relax, w.ref, 0.001, was, wasRock, span)
			w.drift(at, nil, nil)
			if err := math.Abs(w.f.X[stateLevel] - wantX); err > 0.01*math.Abs(wantX-was)+1e-3*wantX {
				t.Errorf("room %g, day %g: water %.6f, want %.6f", room, at, w.f.X[stateLevel], wantX)
			}
			if err := math.Abs(w.f.X[stateRock] - wantY); err > 0.01*math.Abs(wantY-wasRock)+1e-3*wantY {
				t.Errorf("room %g, day %g: rock %.6f, want %.6f", room, at, w.f.X[stateRock], wantY)
			}
		}
	}
}

func TestRockSettlesAsTheMatrixExponentialSays(t *testing.T) {
	for _, r := range []Rock{{}, {0.05, 5}, {0.2, 20}} {
		const removal = 0.03
		days := r.Settles(removal)
		x, room := 1.0, r
		if room.Room == 0 {
			room.Room = 1
		}
		if x, _ = pair(room, removal, 0, 0, 1, 1, days); math.Abs(x-0.05) > 1e-6 {
			t.Errorf("%+v: %.6f left after %.1f days, want 0.05", r, x, days)
		}
	}
	if d := (Rock{}).Settles(0); !math.IsInf(d, 1) {
		t.Errorf("no removal settles in %g days, want never", d)
	}
}

// rockTank is the log of a tank of which half the water is changed each week from
// day 60 on. Rock refills the water within days, each week from a lower level; plain
// removal as fast brings it back to the same.
func rockTank(r Rock, removal float64, seed uint64) Case {
	rng := rand.New(rand.NewPCG(seed, 5))
	c := Case{Habit: HabitOf("phosphate", "mixed", 1), Kits: []Kit{{SD: 0.008, Resolution: 0.01}}, Band: Band{Low: 0.02, High: 0.1}}
	const level = 0.3
	x, y := level, level
	for day := range 151 {
		if day%3 == 0 {
			c.Readings = append(c.Readings, Reading{T: float64(day), Value: max(x+0.008*rng.NormFloat64(), 0)})
		}
		if day >= 60 && day%7 == 0 {
			x *= 0.5
			c.Changes = append(c.Changes, Change{T: float64(day) + 0.001, Fraction: 0.5, Mix: -1})
		}
		x, y = pair(r, removal, level, 0, x, y, 1)
	}
	return c
}

func TestTheTanksReadingsTellOfItsRock(t *testing.T) {
	with, without := 0.0, 0.0
	const tanks = 8
	for seed := range uint64(tanks) {
		for _, r := range []Rock{{0.2, 5}, {0, 1}} {
			s, err := Analyse(rockTank(r, 0.22-r.Rate, seed), 150)
			if err != nil {
				t.Fatal(err)
			}
			chance, share := s.Rocky()
			if share < 0 || share > chance {
				t.Errorf("chance %.2f, share %.2f: expected a share between 0 and the chance", chance, share)
			}
			if r.Rate > 0 {
				with += chance / tanks
			} else {
				without += chance / tanks
			}
		}
	}
	t.Logf("chance of rock: %.2f where there is some, %.2f where there is none", with, without)
	if with < 0.5 || with < without+0.2 {
		t.Errorf("chance of rock: %.2f where there is some, %.2f where there is none", with, without)
	}
}
