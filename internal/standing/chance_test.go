package standing

import (
	"math"
	"testing"
	"time"
)

// A word never stands against its figure, and a figure says no more than a
// forecast knows.
func TestChanceWords(t *testing.T) {
	for _, row := range []struct {
		p    float64
		want string
	}{
		{0, "very unlikely (under 1 %)"}, {0.043, "very unlikely (about 4 %)"}, {0.12, "unlikely (about 10 %)"},
		{0.26, "less likely than not (about 25 %)"}, {0.43, "as likely as not (about 45 %)"}, {0.6, "as likely as not (about 60 %)"},
		{0.79, "likely (about 80 %)"}, {0.94, "very likely (about 94 %)"}, {0.997, "very likely (over 99 %)"},
		{math.NaN(), "not known"},
	} {
		if got := ChanceWords(row.p); got != row.want {
			t.Errorf("%g: %q, want %q", row.p, got, row.want)
		}
	}
}

func TestLeavingWords(t *testing.T) {
	by := onDay(20)
	date := func(time.Time) string { return "Sat 21 Mar" }
	for _, row := range []struct {
		l    Leaving
		want string
	}{
		{Leaving{PNow: 0.8, Side: "low"}, "likely (about 80 %) below its band now"},
		{Leaving{P14: 0.48, EvenChanceBy: &by, Side: "low"}, "even chance to fall below its band by Sat 21 Mar, about 50 % within 14 days"},
		{Leaving{P14: 0.74, EvenChanceBy: &by, Side: "high"}, "even chance to rise above its band by Sat 21 Mar, likely (about 75 %) within 14 days"},
		{Leaving{P14: 0.33, P30: 0.45}, "less likely than not (about 35 %) to leave its band within 14 days"},
		{Leaving{P14: 0.02, P30: 0.12, Side: "low"}, "unlikely (about 10 %) to fall below its band within 30 days"},
		{Leaving{P30: 0.001}, "very likely (over 99 %) to stay in its band for 30 days"},
	} {
		if got := row.l.Words(date); got != row.want {
			t.Errorf("%q, want %q", got, row.want)
		}
	}
}
