package photo_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"driftline/photo"
)

func jpegOf(t testing.TB, w, h int) []byte {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetRGBA(x, y, color.RGBA{uint8(255 * x / w), uint8(255 * y / h), 90, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// withExif puts an Exif segment after the first marker of a JPEG: orientation, a time
// with its offset, and a place (Exif 2.32, sections 4.5 and 4.6).
func withExif(raw []byte, orientation uint16, taken, offset string) []byte {
	var t bytes.Buffer
	order := binary.LittleEndian
	put := func(v any) { _ = binary.Write(&t, order, v) }
	t.WriteString("II")
	put(uint16(42))
	put(uint32(8))
	entry := func(tag, kind uint16, count, value uint32) { put(tag); put(kind); put(count); put(value) }
	put(uint16(3)) // first directory at 8
	entry(0x0112, 3, 1, uint32(orientation))
	entry(0x8769, 4, 1, 50) // after 8 + 2 + 3·12 + 4
	entry(0x8825, 4, 1, 50)
	put(uint32(0))
	put(uint16(2)) // the Exif directory at 50
	entry(0x9003, 2, 20, 80)
	entry(0x9011, 2, 7, 100)
	put(uint32(0))
	t.WriteString(taken + "\x00")
	t.WriteString(offset + "\x00")
	body := append([]byte("Exif\x00\x00"), t.Bytes()...)
	seg := []byte{0xff, 0xe1, 0, 0}
	binary.BigEndian.PutUint16(seg[2:], uint16(len(body)+2))
	return append(append(append([]byte{}, raw[:2]...), append(seg, body...)...), raw[2:]...)
}

func TestMeta(t *testing.T) {
	raw := withExif(jpegOf(t, 40, 30), 6, "2026:03:14 17:45:00", "+01:00")
	m := photo.MetaOf(raw)
	if m.Orientation != 6 || !m.Placed || !m.Offset || !m.Taken.Equal(time.Date(2026, 3, 14, 16, 45, 0, 0, time.UTC)) {
		t.Errorf("%+v", m)
	}
	p, err := photo.Open(raw)
	if err != nil {
		t.Fatal(err)
	}
	if b := p.Image.Bounds(); b.Dx() != 30 || b.Dy() != 40 {
		t.Errorf("upright it is %d by %d, want 30 by 40", b.Dx(), b.Dy())
	}
	// Orientation 6: the first row is the right side, the first column the top.
	r, g, _, _ := p.Image.At(29, 0).RGBA()
	if r>>8 > 20 || g>>8 > 20 {
		t.Errorf("the first pixel stored came to be elsewhere: red %d, green %d at the top right", r>>8, g>>8)
	}
	if m := photo.MetaOf(jpegOf(t, 40, 30)); m.Orientation != 1 || !m.Taken.IsZero() || m.Placed {
		t.Errorf("nothing said: %+v", m)
	}
}

// bomb is the head of a PNG that claims a size; no pixel of it is there.
func bomb(w, h uint32) []byte {
	raw := []byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0dIHDR")
	raw = binary.BigEndian.AppendUint32(raw, w)
	raw = binary.BigEndian.AppendUint32(raw, h)
	raw = append(raw, 8, 2, 0, 0, 0)
	return binary.BigEndian.AppendUint32(raw, crc32.ChecksumIEEE(raw[12:]))
}

func TestBadPicturesAreRefusedInASentence(t *testing.T) {
	good := jpegOf(t, 400, 300)
	var small bytes.Buffer
	_ = png.Encode(&small, image.NewGray(image.Rect(0, 0, 1, 1)))
	for name, raw := range map[string][]byte{
		"nothing": nil, "text": []byte("<svg onload=alert(1)>"), "cut": good[:len(good)/2], "one pixel": small.Bytes(),
		"a bomb": bomb(60_000, 60_000), "a ribbon": bomb(30_000, 20), "heic": []byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00"),
		"too many bytes": make([]byte, photo.MostBytes+1),
	} {
		if _, err := photo.Open(raw); err == nil || len(err.Error()) < 20 {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := photo.Open([]byte("\x00\x00\x00\x18ftypheic\x00\x00\x00\x00")); !errors.Is(err, photo.ErrPhoneOnly) {
		t.Errorf("heic: %v", err)
	}
}

func FuzzMeta(f *testing.F) {
	f.Add(withExif(jpegOf(f, 20, 20), 3, "2026:03:14 17:45:00", "+01:00"))
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x10Exif\x00\x00MM\x00*\x00\x00\x00\x08"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		if m := photo.MetaOf(raw); m.Orientation < 1 || m.Orientation > 8 {
			t.Errorf("%+v", m)
		}
	})
}

// A homography through four points takes them there, and its inverse back.
func TestThroughFourPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(at, off float64) float64 { return at + rapid.Float64Range(-off, off).Draw(t, "off") }
		from := [4]photo.Point{{X: f(0, 80), Y: f(0, 80)}, {X: f(1000, 80), Y: f(0, 80)}, {X: f(1000, 80), Y: f(700, 80)}, {X: f(0, 80), Y: f(700, 80)}}
		to := [4]photo.Point{{X: f(0, 80), Y: f(0, 80)}, {X: f(1000, 80), Y: f(0, 80)}, {X: f(1000, 80), Y: f(700, 80)}, {X: f(0, 80), Y: f(700, 80)}}
		h, ok := photo.Through(from, to)
		if !ok {
			t.Fatal("no homography")
		}
		inv, err := h.Inverse()
		if err != nil {
			t.Fatal(err)
		}
		for i := range from {
			q := h.Map(from[i])
			b := inv.Map(q)
			if math.Hypot(q.X-to[i].X, q.Y-to[i].Y) > 1e-6 || math.Hypot(b.X-from[i].X, b.Y-from[i].Y) > 1e-6 {
				t.Fatalf("point %d goes to %+v, want %+v", i, q, to[i])
			}
		}
	})
	if _, ok := photo.Through([4]photo.Point{{}, {X: 1}, {X: 2}, {X: 3}}, [4]photo.Point{{}, {X: 1}, {X: 2}, {X: 3, Y: 1}}); ok {
		t.Error("four points on a line have a homography")
	}
}

func TestPolygons(t *testing.T) {
	square := []photo.Point{{X: 1, Y: 1}, {X: 5, Y: 1}, {X: 5, Y: 4}, {X: 1, Y: 4}}
	if a := photo.Area(square); a != 12 {
		t.Errorf("area %g, want 12", a)
	}
	if !photo.Inside(square, photo.Point{X: 2, Y: 2}) || photo.Inside(square, photo.Point{X: 6, Y: 2}) {
		t.Error("inside and outside are mixed up")
	}
}

// A picture made smaller keeps its mean light.
func TestSmallerKeepsTheLight(t *testing.T) {
	p, err := photo.Open(jpegOf(t, 301, 203))
	if err != nil {
		t.Fatal(err)
	}
	mean := func(g *photo.Gray) float64 {
		s := 0.0
		for _, v := range g.Pix {
			s += float64(v)
		}
		return s / float64(len(g.Pix))
	}
	one, small := photo.ToGray(p.Image, 1), photo.ToGray(p.Image, 3.7)
	if math.Abs(mean(one)-mean(small)) > 1e-3 || math.Abs(mean(one)-mean(photo.Resize(one, 2.9))) > 2e-3 {
		t.Errorf("%.4f, %.4f, %.4f", mean(one), mean(small), mean(photo.Resize(one, 2.9)))
	}
}
