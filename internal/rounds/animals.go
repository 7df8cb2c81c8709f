package rounds

import (
	"fmt"
	"strings"

	"driftline/internal/animals"
	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

// The kinds of row that animals on their way in make.
const (
	AnimalLook  Kind = "animal look"  // one on its way in is to be looked at
	AnimalReady Kind = "animal ready" // it may go on to its next stage
	AnimalLate  Kind = "animal late"  // it should have settled long ago
)

const (
	animalLookShare  = 0.3 // an illness seen a day later costs animals
	animalReadyShare = 0.1
	animalLateShare  = 0.2
)

// animalRows are what the animals of a tank on their way in ask for today.
func animalRows(d *standing.Desk, f *book.Facts, t *book.TankFacts, all []*animals.Animal, today day) []Row {
	var rows []Row
	warm, _ := d.Level(f, t.Tank.Name, units.Temperature, today.on)
	for _, a := range all {
		if book.Key(a.Tank) != book.Key(t.Tank.Name) || a.Stage == "" || a.Stage == "planned" || !a.Here() {
			continue
		}
		s := animals.WayIn(a, all, warm.Mean, today.on)
		if s == nil {
			continue
		}
		r := Row{Tank: t.Tank.Name, Lines: []string{a.Line}, Action: Action{Do: "animal", Tank: t.Tank.Name, Animal: a.Name}}
		switch {
		case s.Late:
			r.Kind, r.Consequence, r.Key = AnimalLate, animalLateShare, rowKey(t.Tank.Name, "animal late", a.Name)
			r.Title, r.Why = fmt.Sprintf("%s, %s: not settled", prose.Capital(a.Name), t.Tank.Name), strings.Join(s.NotYet, " ")
		case s.Ready && s.Stage != "settled":
			r.Kind, r.Consequence, r.Key = AnimalReady, animalReadyShare, rowKey(t.Tank.Name, "animal ready", a.Name)
			r.Title, r.Why = fmt.Sprintf("%s, %s: may go on to %s", prose.Capital(a.Name), t.Tank.Name, s.Next), "Its days are over and its last looks were well."
			if s.Stage == "arrival" {
				r.Why = "The waters are to be matched first."
			}
		case s.LookDue:
			r.Kind, r.Consequence, r.Key = AnimalLook, animalLookShare, rowKey(t.Tank.Name, "animal look", a.Name)
			r.Title = fmt.Sprintf("Look at %s, %s", a.Name, t.Tank.Name)
			r.Why = prose.Capital(strings.Join(s.Checks[:min(len(s.Checks), 3)], "; ")) + "?"
			if len(s.NotYet) > 0 {
				r.Why += " " + s.NotYet[0]
			}
		default:
			continue
		}
		rows = append(rows, r)
	}
	return rows
}
