package photo

import (
	"encoding/binary"
	"strings"
	"time"
)

// Meta is what a picture says of itself, as far as it can be read; nothing of it is
// certain.
type Meta struct {
	Orientation int       // 1 to 8; 1 when nothing is said
	Taken       time.Time // by the camera's clock, in UTC where no offset is said; zero when nothing is said
	Offset      bool      // whether the clock's offset is said
	Placed      bool      // whether it says where it was taken
}

// MetaOf reads the Exif data of a JPEG (Exif 2.32, sections 4.5 and 4.6): the two
// directories that hold the orientation and the time, and whether there is a place.
// What is damaged is taken for not there.
func MetaOf(raw []byte) Meta {
	m := Meta{Orientation: 1}
	tiff, ok := exifOf(raw)
	if !ok {
		return m
	}
	r, ok := newTIFF(tiff)
	if !ok {
		return m
	}
	first := r.directory(r.first)
	if v, ok := first.short(0x0112); ok && v >= 1 && v <= 8 {
		m.Orientation = v
	}
	_, m.Placed = first.long(0x8825)
	at, offset := first.text(0x0132), ""
	if p, ok := first.long(0x8769); ok {
		exif := r.directory(p)
		if t := exif.text(0x9003); t != "" {
			at = t
		}
		offset = exif.text(0x9011)
	}
	m.Taken, m.Offset = taken(at, offset)
	return m
}

// taken reads "2026:03:14 17:45:00" with an offset such as "+01:00".
func taken(at, offset string) (time.Time, bool) {
	const layout = "2006:01:02 15:04:05"
	if t, err := time.Parse(layout+"-07:00", at+offset); err == nil && offset != "" {
		return t, true
	}
	t, err := time.Parse(layout, at)
	if err != nil {
		return time.Time{}, false
	}
	return t, false
}

// exifOf finds the Exif segment among the markers of a JPEG.
func exifOf(raw []byte) ([]byte, bool) {
	if len(raw) < 4 || raw[0] != 0xff || raw[1] != 0xd8 {
		return nil, false
	}
	for i := 2; i+4 <= len(raw) && raw[i] == 0xff; {
		marker, size := raw[i+1], int(binary.BigEndian.Uint16(raw[i+2:]))
		if marker == 0xda || marker == 0xd9 || size < 2 || i+2+size > len(raw) {
			return nil, false
		}
		body := raw[i+4 : i+2+size]
		if marker == 0xe1 && len(body) > 6 && string(body[:6]) == "Exif\x00\x00" {
			return body[6:], true
		}
		i += 2 + size
	}
	return nil, false
}

// tiff is the data of an Exif segment.
type tiff struct {
	raw   []byte
	order binary.ByteOrder
	first uint32
}

func newTIFF(raw []byte) (tiff, bool) {
	t := tiff{raw: raw}
	if len(raw) < 8 {
		return t, false
	}
	switch string(raw[:2]) {
	case "II":
		t.order = binary.LittleEndian
	case "MM":
		t.order = binary.BigEndian
	default:
		return t, false
	}
	t.first = t.order.Uint32(raw[4:])
	return t, t.order.Uint16(raw[2:]) == 42
}

// directory is the entries of one directory, by tag.
type directory struct {
	t       tiff
	entries map[uint16][]byte // twelve bytes each
}

const mostEntries = 200

func (t tiff) directory(at uint32) directory {
	d := directory{t: t, entries: map[uint16][]byte{}}
	if uint64(at)+2 > uint64(len(t.raw)) {
		return d
	}
	n := int(t.order.Uint16(t.raw[at:]))
	for i := range min(n, mostEntries) {
		from := uint64(at) + 2 + 12*uint64(i)
		if from+12 > uint64(len(t.raw)) {
			break
		}
		e := t.raw[from : from+12]
		d.entries[t.order.Uint16(e)] = e
	}
	return d
}

func (d directory) short(tag uint16) (int, bool) {
	e, ok := d.entries[tag]
	if !ok || d.t.order.Uint16(e[2:]) != 3 {
		return 0, false
	}
	return int(d.t.order.Uint16(e[8:])), true
}

func (d directory) long(tag uint16) (uint32, bool) {
	e, ok := d.entries[tag]
	if !ok || d.t.order.Uint16(e[2:]) != 4 {
		return 0, false
	}
	return d.t.order.Uint32(e[8:]), true
}

func (d directory) text(tag uint16) string {
	e, ok := d.entries[tag]
	if !ok || d.t.order.Uint16(e[2:]) != 2 {
		return ""
	}
	n := uint64(d.t.order.Uint32(e[4:]))
	if n <= 4 {
		return strings.Trim(string(e[8:8+n]), "\x00 ")
	}
	at := uint64(d.t.order.Uint32(e[8:]))
	if n > 64 || at+n > uint64(len(d.t.raw)) {
		return ""
	}
	return strings.Trim(string(d.t.raw[at:at+n]), "\x00 ")
}
