package web

import (
	"html/template"
	"net/url"
	"sort"
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
	p := chart.FromQuantity(lately(q, smallSpan), zone)
	return chart.Small(p.Between(p.Past(smallSpan)))
}

// smallSpan is how far back the picture in a row looks.
const smallSpan = 60 * 24 * time.Hour

// lately leaves out what lies before the span, so that a row of a tank with ten
// years of log costs no more than one of a young tank. The last point before the
// span stays, for the line that enters it.
func lately(q standing.Quantity, span time.Duration) standing.Quantity {
	from := q.AsOf.Add(-span)
	q.Readings = q.Readings[since(len(q.Readings), func(i int) time.Time { return q.Readings[i].At }, from):]
	q.History = q.History[since(len(q.History), func(i int) time.Time { return q.History[i].At }, from):]
	q.Deeds = nil
	return q
}

func since(n int, at func(int) time.Time, from time.Time) int {
	return max(0, sort.Search(n, func(i int) bool { return !at(i).Before(from) })-1)
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
