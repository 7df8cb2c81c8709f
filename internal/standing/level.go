package standing

import (
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// Level is where a quantity stands, in its default unit; false when it was never read
// or cannot be told.
func (d *Desk) Level(f *book.Facts, tank string, q units.Quantity, at time.Time) (Estimate, bool) {
	s, err := d.Quantity(f, tank, string(q), at, 0)
	if err != nil || len(s.Readings) == 0 {
		return Estimate{}, false
	}
	mean, err := units.Convert(q, s.Level.Mean, s.Unit, q.Default())
	if err != nil {
		return Estimate{}, false
	}
	sd, err := units.ConvertSD(q, s.Level.Mean, s.Level.SD, s.Unit, q.Default())
	return Estimate{Mean: mean, SD: sd}, err == nil
}
