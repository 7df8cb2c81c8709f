package book

import (
	"context"
	"errors"
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// ImportCSV takes a table of readings into a store, with the header
// time,tank,quantity,value,unit and optionally instrument,note, in any order.
// The separator is a comma, a semicolon or a tab; a decimal comma is read where
// it cannot be anything else; "<0.02" is a reading below a kit's limit; a time
// without an offset is one of the tank's zone. What holds of ImportJSONL holds
// here, and a table that ExportCSV wrote adds nothing to the book it came from.
func ImportCSV(ctx context.Context, r io.Reader, s Store, opt ImportOptions) (Report, error) {
	in, err := newIntake(ctx, s, opt)
	if err != nil {
		return Report{}, err
	}
	in.knowTables()
	t := &table{lines: newTextLines(r)}
	number, place, err := t.open()
	var fault *Fault
	if errors.As(err, &fault) {
		in.refuse(number, err)
		return in.finish()
	}
	if err != nil {
		return in.report, err
	}
	rows := rows{in: in, table: t, place: place, decimals: decimals{separator: t.separator}, zones: map[string]*time.Location{}}
	if err := rows.survey(); err != nil {
		return in.report, err
	}
	if err := rows.all(); err != nil {
		return in.report, err
	}
	return in.finish()
}

// knowTables lets the readings of the book be recognised in a table, where they
// come without their id.
func (in *intake) knowTables() {
	for _, l := range in.book {
		if plain, ok := asRow(l); ok {
			in.book[ContentID(plain)] = &plain
		}
	}
}

// asRow is what a table keeps of a reading.
func asRow(l *Line) (Line, bool) {
	b, ok := l.Body.(*Reading)
	if !ok {
		return Line{}, false
	}
	clean := func(s string) string { return strings.TrimSpace(strings.ReplaceAll(s, "\r\n", "\n")) }
	return Line{Kind: KindReading, At: l.At, Tank: clean(l.Tank), Note: clean(l.Note),
		Body: &Reading{Quantity: clean(b.Quantity), Value: b.Value, Unit: clean(b.Unit),
			Instrument: clean(b.Instrument), Below: b.Below}}, true
}

// rows takes the records of a table.
type rows struct {
	in       *intake
	table    *table
	place    map[string]int
	decimals decimals
	zones    map[string]*time.Location
}

// surveyBytes is how much of a table is looked at for its decimal mark.
const surveyBytes = 4 << 20

// survey reads ahead and learns which decimal mark the table uses.
func (r *rows) survey() error {
	size := 0
	for n := 0; size < surveyBytes; n++ {
		p, err := r.table.peek(n)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		size += len(p.text) + 64
		fields, _ := split(p.text, r.table.separator)
		text, _ := value(r.field(fields, "value"))
		r.decimals.notice(text)
	}
	return nil
}

func (r *rows) field(fields []string, name string) string {
	at, ok := r.place[name]
	if !ok || at >= len(fields) {
		return ""
	}
	return strings.TrimSpace(fields[at])
}

// value takes the mark of a reading below a kit's limit off its number.
func value(text string) (number string, below bool) {
	if rest, ok := strings.CutPrefix(text, "<"); ok {
		return strings.TrimSpace(rest), true
	}
	return text, false
}

func (r *rows) all() error {
	for {
		number, fields, err := r.table.record()
		var fault *Fault
		switch {
		case errors.Is(err, io.EOF):
			return nil
		case errors.As(err, &fault):
			r.in.refuse(number, err)
		case err != nil:
			return err
		default:
			if err := r.take(number, fields); err != nil {
				return err
			}
		}
		if err := r.in.ctx.Err(); err != nil {
			return err
		}
	}
}

func (r *rows) take(number int, fields []string) error {
	if strings.TrimSpace(strings.Join(fields, "")) == "" {
		return nil
	}
	l, fault := r.reading(fields)
	if fault != nil {
		r.in.refuse(number, fault)
		return nil
	}
	return r.in.add(number, l)
}

// reading makes a line of a record.
func (r *rows) reading(fields []string) (Line, *Fault) {
	if fault := r.width(fields); fault != nil {
		return Line{}, fault
	}
	for _, f := range fields {
		if !utf8.ValidString(f) {
			return Line{}, faultf("", "the line is not valid UTF-8 text; save the table as CSV in UTF-8")
		}
	}
	tank := r.field(fields, "tank")
	at, fault := parseTableTime(r.field(fields, "time"), r.zone(tank))
	if fault != nil {
		return Line{}, fault
	}
	text, below := value(r.field(fields, "value"))
	number, fault := r.decimals.number(text)
	if fault != nil {
		return Line{}, fault
	}
	return Line{Kind: KindReading, At: at, Tank: tank, Note: r.field(fields, "note"),
		Body: &Reading{Quantity: r.field(fields, "quantity"), Value: number, Unit: r.field(fields, "unit"),
			Instrument: r.field(fields, "instrument"), Below: below}}, nil
}

// width refuses a record with more fields than the header has columns: a
// decimal comma between commas is the usual reason.
func (r *rows) width(fields []string) *Fault {
	last := 0
	for _, at := range r.place {
		last = max(last, at+1)
	}
	if len(fields) <= last || strings.TrimSpace(strings.Join(fields[last:], "")) == "" {
		return r.shifted(fields)
	}
	if r.table.separator == ',' {
		return faultf("", "the line has %d fields where the header has %d; a decimal comma or a comma in a note must stand in quotes, "+
			"or the fields be parted by semicolons", len(fields), last)
	}
	return faultf("", "the line has %d fields where the header has %d", len(fields), last)
}

// shifted notices a decimal comma that has pushed its digits into the unit.
func (r *rows) shifted(fields []string) *Fault {
	unit := r.field(fields, "unit")
	if r.table.separator != ',' || unit == "" || strings.Trim(unit, "0123456789") != "" {
		return nil
	}
	return faultf("unit", "unit %q is a number; a decimal comma must stand in quotes, or the fields be parted by semicolons", clip(unit))
}

// zone is that of the tank as the book declares it last, UTC when it does not.
func (r *rows) zone(tank string) *time.Location {
	if len(r.zones) == 0 {
		r.zones[""] = time.UTC
		for key, name := range r.in.zones {
			r.zones[key] = location(name)
		}
	}
	if z, ok := r.zones[Key(tank)]; ok {
		return z
	}
	return time.UTC
}
