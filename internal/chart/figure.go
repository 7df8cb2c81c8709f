package chart

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"net/url"
	"strings"
	"time"
)

// Place is where a figure stands: the start of its ids, the address of its
// drawings and the address of the page it is on. Without addresses it is a
// still picture, for print and for the exported report.
type Place struct{ ID, Src, Page string }

// Figure is the large picture with its legend, table and ways to zoom.
func Figure(p Picture, at Place) template.HTML {
	src := ""
	if at.Src != "" {
		src = ` data-src="` + html.EscapeString(at.Src) + `"`
	}
	return template.HTML(`<figure class="chart"` + src + `>` + string(Inner(p, at)) + `</figure>`)
}

// Inner is what a figure holds: the answer to a request for another span.
func Inner(p Picture, at Place) template.HTML {
	all := p.Extent()
	whole := p
	p = p.tidy()
	s := &pen{}
	if at.Src != "" {
		whole.ways(s, at, Span{p.From, p.To}, all)
	}
	s.add(`<div class="chart-plot">`, p.large(Phone, at.ID), p.large(Wide, at.ID), `</div>`)
	if at.Src != "" {
		s.add(`<p class="chart-reading"></p>`)
	}
	p.legend(s)
	s.add(`<details class="chart-table"><summary>The same as a table</summary>`, p.table(), `</details>`)
	if at.Src != "" {
		p.data(s, all)
	}
	return template.HTML(s.String())
}

// ways are the links to other spans, useful with and without a script.
func (p Picture) ways(s *pen, at Place, now, all Span) {
	s.add(`<nav class="chart-spans" aria-label="Span of the picture">`)
	link := func(text, label string, to Span, current bool) {
		q := url.Values{"from": {to.From.UTC().Format(time.RFC3339)}, "to": {to.To.UTC().Format(time.RFC3339)}}
		fmt.Fprintf(s, `<a href="%s"`, html.EscapeString(at.Page+"?"+q.Encode()))
		if label != "" {
			fmt.Fprintf(s, ` aria-label="%s"`, label)
		}
		if current {
			s.add(` aria-current="true"`)
		}
		s.add(`>`, text, `</a>`)
	}
	half := now.To.Sub(now.From) / 2
	if now.From.After(all.From) {
		link("‹", "earlier", Span{now.From.Add(-half), now.To.Add(-half)}, false)
	}
	if now.To.Before(all.To) {
		link("›", "later", Span{now.From.Add(half), now.To.Add(half)}, false)
	}
	found := false
	for _, w := range p.usualSpans(all) {
		here := !found && w.span.near(now)
		link(w.words, "", w.span, here)
		found = found || here
	}
	s.add(`</nav>`)
}

type namedSpan struct {
	words string
	span  Span
}

func (p Picture) usualSpans(all Span) []namedSpan {
	return []namedSpan{
		{"30 days", p.Past(30 * day)}, {"90 days", p.Past(90 * day)}, {"Year", p.Past(365 * day)}, {"All", all},
	}
}

// near tells whether two spans are the same to within a day.
func (s Span) near(o Span) bool {
	return s.From.Sub(o.From).Abs() < day && s.To.Sub(o.To).Abs() < day
}

// ParseSpan reads the two ends of a span as the page's script and links send
// them: RFC 3339, or a date. Both empty is no span and no error.
func ParseSpan(from, to string) (Span, error) {
	if from == "" && to == "" {
		return Span{}, nil
	}
	a, err := parseEnd("from", from)
	if err != nil {
		return Span{}, err
	}
	b, err := parseEnd("to", to)
	if err != nil {
		return Span{}, err
	}
	if !b.After(a) {
		return Span{}, fmt.Errorf("to: %q is not after %q; expected a later moment", to, from)
	}
	return Span{a, b}, nil
}

func parseEnd(field, s string) (time.Time, error) {
	for _, layout := range []string{time.RFC3339, time.DateOnly} {
		if t, err := time.Parse(layout, s); err == nil && t.Year() >= 1 && t.Year() <= 9999 {
			return t, nil
		}
	}
	if len(s) > 40 {
		s = strings.ToValidUTF8(s[:40], "") + "…"
	}
	return time.Time{}, fmt.Errorf("%s: %q is no moment; expected a date such as 2026-03-12 or 2026-03-12T19:30:00Z", field, s)
}

// legend names the shapes that the picture holds, and no others.
func (p Picture) legend(s *pen) {
	s.add(`<ul class="chart-legend">`)
	item := func(key, words string) {
		s.add(`<li><svg class="drawing key" viewBox="-9 -7 18 14" aria-hidden="true">`, key, `</svg>`, html.EscapeString(words), `</li>`)
	}
	p.readingKeys(item)
	if len(p.Levels) > 0 {
		item(key("ribbon", "M-9-5h18v10h-18z")+key("level", "M-9 0h18"), "level, with its doubt (nine chances in ten)")
	}
	if len(p.Fan) > 0 {
		item(key("fan", "M-9-6h18v12h-18z")+key("fan", "M-9-4h18v8h-18z")+key("fan", "M-9-2h18v4h-18z")+key("middle", "M-9 0h18"),
			"forecast: 90, 80 and 50 chances in a hundred")
	}
	if b := p.bandWords(); b != "" {
		item(key("band", "M-9-5h18v10h-18z")+key("edge", "M-9-5h18M-9 5h18"), p.bandName()+", "+b)
	}
	if p.AimName != "" && !math.IsNaN(p.Band.Aim) {
		item(key("aim", "M-9 0h18"), p.AimName+", "+p.figure(p.Band.Aim))
	}
	if p.marksLeaving() {
		item(key("leaves", "M0-7v14")+key("leaves-mark", "M-5-1l5 8 5-8z"), "even chance of having left the band by "+p.date(p.Leaves))
	}
	p.deedKeys(item)
	s.add(`</ul>`)
}

func key(class, d string) string { return `<path class="` + class + `" d="` + d + `"/>` }

func (p Picture) readingKeys(item func(key, words string)) {
	used := map[string]bool{}
	var misread, below, barred bool
	for _, r := range p.Readings {
		used[r.Kit] = true
		misread, below, barred = misread || r.Misread, below || r.Below, barred || r.SD > 0
	}
	for k, kit := range p.Kits {
		if !used[kit] {
			continue
		}
		bar := ""
		if barred {
			bar = key("bar", "M0-7v14")
		}
		words := orReading(kit)
		if p.Derived {
			words = "worked out from readings, with its doubt (one standard deviation)"
		}
		item(bar+key("dot", "M0 0"+glyphOf(k, 3.4)), words)
	}
	if misread {
		item(key("dot hollow", "M0 0"+glyphOf(0, 3.4))+key("cross", "M-5-5l10 10M5-5l-10 10"), "likely a misread")
	}
	if below {
		item(key("below", "M-4-3h8M-3 0l3 4 3-4"), "under the limit of the kit")
	}
}

func orReading(kit string) string {
	if kit == "" {
		return "reading"
	}
	return kit
}

func (p Picture) deedKeys(item func(key, words string)) {
	words := map[DeedKind]string{Dose: "dose", WaterChange: "water change", TopOff: "top-off", Setting: "setting", OtherDeed: "other work"}
	used := map[DeedKind]bool{}
	for _, d := range p.Deeds {
		used[d.Kind] = true
	}
	for kind := Dose; kind <= Setting; kind++ {
		if used[kind] {
			item(key(deedClasses[kind], "M0 0"+deedMarks[kind]), words[kind])
		}
	}
}
