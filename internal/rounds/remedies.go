package rounds

import (
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	give "driftline/internal/substance"
	"driftline/units"
)

// Remedies are where a quantity that is low, or about to be, can be put right: a
// correction by doses, and the make-up water if that has less of it than the
// tank should have.
func Remedies(f *book.Facts, t *book.TankFacts, q standing.Quantity) []Action {
	quantity := units.Quantity(q.Name)
	low := q.State == standing.Outside || q.State == standing.NearEdge
	if !low || q.Leaves.Side != "low" || quantity == units.Salinity || len(give.Usual(quantity)) == 0 {
		return nil
	}
	out := []Action{{Do: "correct", Tank: t.Tank.Name, Quantity: q.Name}}
	if mix := makeUp(t, q.AsOf); mix != "" && lacks(f, mix, q) {
		out = append(out, Action{Do: "mix", Tank: t.Tank.Name, Quantity: q.Name, Mix: mix})
	}
	return out
}

// makeUp is the mix that the tank's water is changed with: of its last change,
// else of its routine.
func makeUp(t *book.TankFacts, asOf time.Time) string {
	for i := len(t.Events) - 1; i >= 0; i-- {
		if b, ok := t.Events[i].Body.(*book.WaterChange); ok && !t.Events[i].At.After(asOf) && b.Mix != "" {
			return b.Mix
		}
	}
	for _, d := range t.RoutinesNow() {
		if book.Key(d.Body.Action) == "water change" && d.Body.Mix != "" {
			return d.Body.Mix
		}
	}
	return ""
}

// lacks says whether a mix has less of a quantity than its aim, or without one
// the lower edge of its band.
func lacks(f *book.Facts, mix string, q standing.Quantity) bool {
	m, ok := f.MixAt(mix, q.AsOf)
	want := q.Band.Aim
	if want == nil {
		want = q.Band.Low
	}
	if !ok || want == nil {
		return false
	}
	for _, c := range m.Composition {
		got, err := units.ParseQuantity(c.Quantity)
		v, isNumber := c.Value.Float()
		if err != nil || !isNumber || string(got) != q.Name {
			continue
		}
		v, err = units.Convert(got, v, c.Unit, q.Unit)
		return err == nil && v < *want
	}
	return false
}
