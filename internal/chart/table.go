package chart

import (
	"fmt"
	"html"
	"html/template"
	"time"
)

// tableRows is how many rows a table shows; a shorter span shows the rest.
const tableRows = 120

// Table is the picture in figures: the readings, newest first, and the forecast by weeks.
func Table(p Picture) template.HTML { return template.HTML(p.tidy().table()) }

func (p Picture) table() string {
	s := &pen{}
	p.readingTable(s)
	p.fanTable(s)
	return s.String()
}

func (p Picture) readingTable(s *pen) {
	if len(p.Readings) == 0 {
		s.add(`<p>`, html.EscapeString(p.readingWords()), `</p>`)
		return
	}
	caption := "Readings in " + p.Unit
	columns := []string{"When", "Reading", "Doubt of the kit", "Kit", "Remark"}
	if p.Derived {
		caption, columns = withUnit("Worked out from readings", p.inUnit()), []string{"When", "Figure", "Doubt"}
	}
	if len(p.Readings) > tableRows {
		caption += fmt.Sprintf(", the newest %d of %s; a shorter span shows the others", tableRows, number(float64(len(p.Readings)), 0))
	}
	head(s, caption, columns...)
	for i := len(p.Readings) - 1; i >= max(0, len(p.Readings)-tableRows); i-- {
		r := p.Readings[i]
		value, remark := number(r.Value, p.Decimals), ""
		if r.Below {
			value, remark = "under "+value, "under the limit of the kit"
		}
		if r.Misread {
			remark = "likely a misread"
		}
		cells := []string{p.moment(r.At), value, "± " + doubt(r.SD, p.Decimals), r.Kit, remark}
		row(s, cells[:len(columns)]...)
	}
	s.add(`</tbody></table>`)
}

func (p Picture) inUnit() string {
	if p.Unit == "" {
		return ""
	}
	return "in " + p.Unit
}

func (p Picture) moment(t time.Time) string { return t.In(p.Zone).Format("2 Jan 2006, 15:04") }

func (p Picture) fanTable(s *pen) {
	if len(p.Fan) == 0 {
		return
	}
	head(s, "Forecast in "+p.Unit, "Day", "Middle", "Nine chances in ten", "One in two")
	next := p.Fan[0].At
	for i, d := range p.Fan {
		if d.At.Before(next) && i < len(p.Fan)-1 {
			continue
		}
		next = d.At.Add(7*day - time.Hour)
		between := func(a, b float64) string { return number(a, p.Decimals) + " to " + number(b, p.Decimals) }
		row(s, d.At.In(p.Zone).Format("2 Jan 2006"), number(d.P50, p.Decimals), between(d.P05, d.P95), between(d.P25, d.P75))
	}
	s.add(`</tbody></table>`)
}

func head(s *pen, caption string, columns ...string) {
	s.add(`<table><caption>`, html.EscapeString(caption), `</caption><thead><tr>`)
	for _, c := range columns {
		s.add(`<th scope="col">`, c, `</th>`)
	}
	s.add(`</tr></thead><tbody>`)
}

func row(s *pen, cells ...string) {
	s.add(`<tr><th scope="row">`, html.EscapeString(cells[0]), `</th>`)
	for _, c := range cells[1:] {
		s.add(`<td>`, html.EscapeString(c), `</td>`)
	}
	s.add("</tr>\n")
}
