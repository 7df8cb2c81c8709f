package chart

import (
	"encoding/json"
	"math"
	"time"
)

// Data is what the page's script reads out: the figures of the drawing. Times
// are seconds since 1970; within a list the first number of each row is the
// minutes since the row before it, or since From.
type Data struct {
	Unit     string      `json:"unit"`
	Decimals int         `json:"decimals"`
	Zone     string      `json:"zone"`
	From     int64       `json:"from"`
	To       int64       `json:"to"`
	First    int64       `json:"first"` // of all there is
	Last     int64       `json:"last"`
	Today    int64       `json:"today"`
	Low      *float64    `json:"low"`
	High     *float64    `json:"high"`
	Kits     []string    `json:"kits"`
	Readings [][]float64 `json:"readings"` // minutes, value, sd, kit, 1 misread or 2 below
	Levels   [][]float64 `json:"levels"`   // minutes, mean, sd
	Fan      [][]float64 `json:"fan"`      // minutes, p05, p50, p95
	Deeds    [][]float64 `json:"deeds"`    // minutes, label
	Labels   []string    `json:"labels"`
}

// readOutColumns is how finely the script can tell moments apart.
const readOutColumns = 240

// data writes the figures where a script can find them, as data only.
func (p Picture) data(s *pen, all Span) {
	d := Data{
		Unit: p.Unit, Decimals: p.Decimals, Zone: p.Zone.String(),
		From: p.From.Unix(), To: p.To.Unix(), First: all.From.Unix(), Last: all.To.Unix(),
		Low: orNil(p.Band.Low), High: orNil(p.Band.High), Kits: p.Kits,
	}
	if !p.Today.IsZero() {
		d.Today = p.Today.Unix()
	}
	p.readingRows(&d)
	p.levelRows(&d)
	p.deedRows(&d)
	b, err := json.Marshal(d)
	if err != nil { // every number has been checked, so this stands for an empty reading line
		return
	}
	s.add(`<script type="application/json" class="chart-data">`, string(b), `</script>`)
}

// clock counts the minutes from one row to the next.
type clock struct{ at int64 }

func (c *clock) since(t time.Time) float64 {
	minute := t.Unix() / 60
	gap := minute - c.at
	c.at = minute
	return float64(gap)
}

func (p Picture) clock() *clock { return &clock{p.From.Unix() / 60} }

func (p Picture) round(v float64) float64 {
	scale := math.Pow(10, float64(p.Decimals+1))
	if r := math.Round(v*scale) / scale; finite(r) {
		return r
	}
	return v
}

func (p Picture) column(t time.Time, columns int) int {
	return int(share(p.From, p.To, t) * float64(columns))
}

func (p Picture) readingRows(d *Data) {
	index := map[string]int{}
	for k, kit := range p.Kits {
		index[kit] = k
	}
	c := p.clock()
	d.Readings = [][]float64{}
	for _, r := range thinReadings(p.Readings, func(r Reading) int { return p.column(r.At, 2*readOutColumns) }) {
		row := []float64{c.since(r.At), p.round(r.Value), p.round(r.SD), float64(index[r.Kit])}
		switch {
		case r.Misread:
			row = append(row, 1)
		case r.Below:
			row = append(row, 2)
		}
		d.Readings = append(d.Readings, row)
	}
}

func (p Picture) levelRows(d *Data) {
	c, last := p.clock(), -1
	d.Levels, d.Fan = [][]float64{}, [][]float64{}
	for i, l := range p.Levels {
		if k := p.column(l.At, readOutColumns); k != last || i == len(p.Levels)-1 {
			last = k
			d.Levels = append(d.Levels, []float64{c.since(l.At), p.round(l.Mean), p.round(l.SD)})
		}
	}
	c, last = p.clock(), -1
	for i, f := range p.Fan {
		if k := p.column(f.At, readOutColumns); k != last || i == len(p.Fan)-1 {
			last = k
			d.Fan = append(d.Fan, []float64{c.since(f.At), p.round(f.P05), p.round(f.P50), p.round(f.P95)})
		}
	}
}

// deedRows keeps one deed of each label in each column.
func (p Picture) deedRows(d *Data) {
	c, index, last := p.clock(), map[string]int{}, map[int]int{}
	d.Deeds, d.Labels = [][]float64{}, []string{}
	for _, deed := range p.Deeds {
		k, known := index[deed.Label]
		if !known {
			k = len(d.Labels)
			index[deed.Label] = k
			d.Labels = append(d.Labels, deed.Label)
		}
		column := p.column(deed.At, readOutColumns)
		if was, ok := last[k]; ok && was == column {
			continue
		}
		last[k] = column
		d.Deeds = append(d.Deeds, []float64{c.since(deed.At), float64(k)})
	}
}

func orNil(v float64) *float64 {
	if math.IsNaN(v) {
		return nil
	}
	return &v
}
