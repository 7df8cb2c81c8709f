package web

import (
	"html/template"
	"net/url"
	"time"

	"driftline/internal/chart"
	"driftline/internal/standing"
)

// pictureDays is how far ahead the pictures look.
const pictureDays = 60

// likelyMisread is the chance from which a reading is called a likely misread.
const likelyMisread = 0.5

// smallPicture is the picture in a row; nothing when there is nothing to draw.
func smallPicture(q standing.Quantity, zone *time.Location) template.HTML {
	if len(q.Readings) == 0 {
		return ""
	}
	p := chart.FromQuantity(q, zone)
	return chart.Small(p.Between(p.Past(60 * 24 * time.Hour)))
}

// place is where the large picture of a quantity stands.
func place(q standing.Quantity) chart.Place {
	page := quantityPath(q.Tank, q.Name)
	return chart.Place{ID: "picture", Src: page + "/drawing", Page: page}
}

// spanAsked puts the span of the page's address on the picture.
func spanAsked(p chart.Picture, q url.Values) (chart.Picture, error) {
	span, err := chart.ParseSpan(q.Get("from"), q.Get("to"))
	if err != nil || span.From.IsZero() {
		return p, err
	}
	return p.Between(span), nil
}
