package course

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"driftline/internal/book"
)

var start = time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)

const tank = `{"kind":"tank","at":"2025-10-01T08:00:00Z","id":"t","name":"quay","net_volume":400,"unit":"L"}`

func replay(t testing.TB, texts ...string) *book.Facts {
	t.Helper()
	var lines []book.Line
	for i, text := range append([]string{tank}, texts...) {
		l, err := book.ParseLine([]byte(text))
		if err == nil {
			err = book.Validate(l)
		}
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if l.ID == "" {
			l.ID = fmt.Sprint("line-", i)
		}
		lines = append(lines, l)
	}
	return book.Replay(lines, start.AddDate(1, 0, 0))
}

// Common practice, no source: 2.6 mL of 3 % in 100 L, so 10.4 mL in 400 L, twice a
// day. From memory: at most 2 mg/L a dose, 6.7 mL of 3 % in 100 L: 26.6 mL in 400 L.
func TestPeroxideByNetVolume(t *testing.T) {
	p, err := Work(replay(t), Ask{Tank: "quay", Known: "peroxide"}, start)
	if err != nil || p.Refused != "" || p.Amount != 10.4 || p.Unit != "mL" || p.Most != 26.6 || p.EveryHours != 12 || p.Turns != 20 || p.Days < 7 || p.Days > 14 {
		t.Fatalf("%+v, %v", p, err)
	}
	if text := strings.Join(append(p.Cautions, p.Warnings...), " "); !strings.Contains(text, "never doubled") || !strings.Contains(text, "label") || p.Stop == "" || len(p.Watch) == 0 {
		t.Errorf("%+v", p)
	}
	half, err := Work(replay(t), Ask{Tank: "quay", Known: "peroxide", Substance: "hydrogen peroxide 6 %"}, start)
	if err != nil || half.Amount != 5.2 || half.Most != 13.3 {
		t.Errorf("twice as strong: %v mL, at most %v, %v", half.Amount, half.Most, err)
	}
}

func TestHardStops(t *testing.T) {
	f := replay(t)
	for name, ask := range map[string]Ask{
		"above the ceiling":  {Tank: "quay", Known: "peroxide", Amount: 40, Unit: "mL"},
		"in litres":          {Tank: "quay", Known: "peroxide", Amount: 0.04, Unit: "L"},
		"by another name":    {Tank: "quay", Name: "mine", Substance: "hydrogen peroxide 3 %", Amount: 30, Unit: "mL", EveryHours: 12, Days: 7},
		"far too strong":     {Tank: "quay", Known: "peroxide", Substance: "hydrogen peroxide 35 %"},
		"an illness":         {Tank: "quay", Name: "spots", Substance: "copper sulfate", Amount: 1, Unit: "mL", EveryHours: 24, Days: 14},
		"an illness by name": {Tank: "quay", Name: "Formalin bath", Substance: "bottle", Amount: 1, Unit: "mL", EveryHours: 24, Days: 14},
	} {
		p, err := Work(f, ask, start)
		if err != nil || p.Refused == "" || p.Instead == "" || p.Turns != 0 {
			t.Errorf("%s: %+v, %v", name, p, err)
		}
		if _, err := Accept(p, start); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	for name, ask := range map[string]Ask{
		"no tank": {Tank: "x", Known: "peroxide"}, "no such course": {Tank: "quay", Known: "magic"}, "no amount": {Tank: "quay", Name: "a", Substance: "tonic", EveryHours: 12, Days: 3},
		"no days": {Tank: "quay", Name: "a", Substance: "tonic", Amount: 1, EveryHours: 12}, "every minute": {Tank: "quay", Name: "a", Substance: "tonic", Amount: 1, EveryHours: 0.01, Days: 3},
		"no chore": {Tank: "quay", Name: "a", Action: "chore", EveryHours: 12, Days: 3}, "peroxide by weight": {Tank: "quay", Known: "peroxide", Amount: 3, Unit: "g"},
	} {
		if p, err := Work(f, ask, start); err == nil {
			t.Errorf("%s: %+v", name, p)
		}
	}
}

func accepted(t testing.TB) string {
	t.Helper()
	p, err := Work(replay(t), Ask{Tank: "quay", Known: "peroxide", Days: 7}, start)
	if err != nil {
		t.Fatal(err)
	}
	l, err := Accept(p, start)
	if err != nil {
		t.Fatal(err)
	}
	l.ID = "course-1"
	text, err := book.AppendJSON(nil, l)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func dose(at time.Time) string {
	return fmt.Sprintf(`{"kind":"dose","at":%q,"tank":"quay","substance":"hydrogen peroxide 3 %%","amount":10.4,"unit":"mL"}`, at.Format(time.RFC3339))
}

func stand(t testing.TB, f *book.Facts, asOf time.Time) Standing {
	t.Helper()
	all, err := Stand(f, "quay", asOf)
	if err != nil || len(all) != 1 {
		t.Fatal(all, err)
	}
	return all[0]
}

func TestTurnsAreDoneMissedAndMovedButNeverDoubled(t *testing.T) {
	course := accepted(t)
	s := stand(t, replay(t, course, dose(start.Add(time.Hour))), start.Add(2*time.Hour))
	if s.Given != 1 || s.Missed != 0 || s.Next == nil || !s.Next.Equal(start.Add(12*time.Hour)) {
		t.Errorf("after the first: %+v", s)
	}
	late := stand(t, replay(t, course, dose(start.Add(5*time.Hour+30*time.Minute))), start.Add(6*time.Hour))
	if want := start.Add(5*time.Hour + 30*time.Minute + 7*time.Hour + 12*time.Minute); late.Next == nil || !late.Next.Equal(want) { // 0.6 of 12 h later
		t.Errorf("after a late one the next is at %v, want %v", late.Next, want)
	}
	missed := stand(t, replay(t, course, dose(start)), start.Add(25*time.Hour))
	if missed.Missed != 1 || missed.Given != 1 || len(missed.Turns) != 14 {
		t.Errorf("after one missed: %+v", missed)
	}
	if strings.Contains(missed.Says, "double") || !strings.Contains(missed.Says, "not made up for") {
		t.Error(missed.Says)
	}
	ended := stand(t, replay(t, course, fmt.Sprintf(`{"kind":"plan end","at":%q,"tank":"quay","plan":"course-1","why":"clean"}`, start.AddDate(0, 0, 3).Format(time.RFC3339))), start.AddDate(0, 0, 4))
	if !ended.Over || ended.Ended != "clean" || ended.Next != nil {
		t.Errorf("ended: %+v", ended)
	}
}

// However doses are logged, no turn is done twice and no dose does two turns.
func TestTurnsAndDosesMatchOneToOne(t *testing.T) {
	course := accepted(t)
	rapid.Check(t, func(rt *rapid.T) {
		texts := []string{course}
		n := rapid.IntRange(0, 20).Draw(rt, "doses")
		for i := range n {
			texts = append(texts, dose(start.Add(time.Duration(rapid.IntRange(0, 8*24*60).Draw(rt, fmt.Sprint("minute ", i)))*time.Minute)))
		}
		s := stand(t, replay(t, texts...), start.AddDate(0, 0, 9))
		lines := map[string]bool{}
		for _, turn := range s.Turns {
			if turn.State == Done && (turn.Line == "" || lines[turn.Line]) {
				rt.Errorf("turn %+v takes a dose twice", turn)
			}
			lines[turn.Line] = true
		}
		if s.Given > n || s.Given+s.Missed != len(s.Turns) || !s.Over {
			rt.Errorf("%d given of %d logged, %d missed of %d turns", s.Given, n, s.Missed, len(s.Turns))
		}
	})
}

// Permeability constants: Hollander & Wolfe 1973, p. 69, as in the R documentation
// of wilcox.test; the exact two-sided p by enumeration.
func TestRankP(t *testing.T) {
	a := []float64{0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46}
	b := []float64{1.15, 0.88, 0.90, 0.74, 1.21}
	if p := rankP(a, b); math.Abs(p-0.2544122544122544) > 1e-12 {
		t.Errorf("p %v", p)
	}
	// Crab densities with ties, as tabled in course notes of C. J. Schwarz; p by enumeration with exact fractions.
	if p := rankP([]float64{23, 30, 27, 25}, []float64{17, 19, 23, 25, 17}); math.Abs(p-0.06349206349206349) > 1e-12 {
		t.Errorf("p with ties %v", p)
	}
	// By hand: 0 0 0 against 4 4 4, two of the 20 picks are as far.
	if p := rankP([]float64{0, 0, 0}, []float64{4, 4, 4}); math.Abs(p-0.1) > 1e-12 {
		t.Errorf("p of three against three apart is %v", p)
	}
	if p := rankP([]float64{2, 2, 2}, []float64{2, 2, 2, 2}); p != 1 {
		t.Errorf("p of all alike is %v", p)
	}
}

func TestSignsBeforeAndAfter(t *testing.T) {
	texts := []string{accepted(t)}
	score := func(day int, v int) {
		texts = append(texts, fmt.Sprintf(`{"kind":"score","at":%q,"tank":"quay","sign":"cyanobacteria","value":%d}`, start.AddDate(0, 0, day).Add(time.Hour).Format(time.RFC3339), v))
	}
	for day := -8; day < 0; day += 2 {
		score(day, 3)
	}
	for day := 5; day < 9; day++ {
		score(day, 0)
	}
	s := stand(t, replay(t, texts...), start.AddDate(0, 0, 10))
	if len(s.Signs) != 2 || math.Abs(s.Signs[0].P-2.0/70) > 1e-12 || !strings.Contains(s.Signs[1].Says, "too few") { // 8 over 4 is 70
		t.Errorf("%+v", s.Signs)
	}
}
