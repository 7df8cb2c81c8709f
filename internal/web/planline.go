package web

import (
	"time"

	"driftline/internal/book"
	"driftline/internal/notebook"
	"driftline/internal/prose"
	"driftline/internal/stoprule"
	"driftline/units"
)

// planDetails is what an accepted plan's line says beyond its first words, in the
// plan's order, and the page where it can be seen how it stands.
func planDetails(l book.Line, zone *time.Location) (details []string, stands string) {
	switch b := l.Body.(type) {
	case *book.Correction:
		if q, err := units.ParseQuantity(b.Quantity); err == nil {
			stands = correctPath(l.Tank, string(q))
		}
		return correctionDetails(b, zone), stands
	case *book.Course:
		details = []string{aboutCourse(b)}
		if b.Stop != "" {
			details = append(details, "Stop when: "+b.Stop)
		}
		for _, r := range stoprule.All(b.StopWhen) {
			details = append(details, "The book watches: "+r.Says()+".")
		}
		if len(b.Signs) > 0 {
			details = append(details, "Scored: "+list(b.Signs)+".")
		}
		return details, courseLinePath(l.Tank, l.ID)
	case *book.Trial:
		if len(b.On) == 0 || len(b.Outcomes) == 0 {
			return nil, ""
		}
		return notebook.Plan(b, zone), trialPath(l.ID)
	}
	return nil, ""
}

func correctionDetails(b *book.Correction, zone *time.Location) []string {
	q, err := units.ParseQuantity(b.Quantity)
	var out []string
	for _, s := range b.Steps {
		if s.At == nil {
			continue
		}
		text := s.At.In(zone).Format("Mon 2 Jan, 15:04") + ": "
		switch {
		case s.Amount == "":
			text += "test"
		case s.Substance != "":
			text += join(amount(s.Amount, s.Unit), "of", s.Substance)
		default:
			text += join(amount(s.Amount, s.Unit), "of", b.Substance)
		}
		mean, known := s.Expected.Float()
		sd, _ := s.SD.Float()
		if known && err == nil {
			text += ", " + units.FormatPM(q, mean, sd, b.Unit) + " expected"
		}
		out = append(out, prose.Capital(text)+".")
	}
	return out
}
