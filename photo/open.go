package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	_ "image/jpeg" // the kinds of picture that are known
	_ "image/png"

	_ "golang.org/x/image/webp" // WebP as well
)

// Limits of a picture that is taken in.
const (
	MostBytes  = 40 << 20
	MostPixels = 50_000_000
	MostSide   = 20_000
	LeastSide  = 16
)

// Picture is one that was taken in: upright, with what its metadata say.
type Picture struct {
	Image image.Image
	Kind  string // "jpeg", "png" or "webp"
	Meta  Meta
}

// ErrUnknown says that bytes are no picture of a known kind.
var ErrUnknown = errors.New("this is not a picture of a kind that is known here; expected JPEG, PNG or WebP")

// ErrPhoneOnly says that a picture is of a kind that only phones write.
var ErrPhoneOnly = errors.New("this is a HEIC picture, which cannot be read here; send it as JPEG (a phone does so when the page asks for it, or its camera can be set to the most compatible kind)")

// phoneOnly tells a HEIC or HEIF file by its brand (ISO/IEC 23008-12).
func phoneOnly(raw []byte) bool {
	if len(raw) < 12 || string(raw[4:8]) != "ftyp" {
		return false
	}
	switch string(raw[8:12]) {
	case "heic", "heix", "hevc", "hevx", "heim", "heis", "mif1", "msf1", "avif":
		return true
	}
	return false
}

// Check looks at the head of a picture without decoding it: its kind and its size in
// pixels, as stored.
func Check(raw []byte) (kind string, w, h int, err error) {
	if len(raw) > MostBytes {
		return "", 0, 0, fmt.Errorf("the picture has %d MB; expected %d MB at most", len(raw)>>20, MostBytes>>20)
	}
	c, kind, err := image.DecodeConfig(bytes.NewReader(raw))
	if err != nil && phoneOnly(raw) {
		return "", 0, 0, ErrPhoneOnly
	}
	if err != nil {
		return "", 0, 0, ErrUnknown
	}
	switch {
	case min(c.Width, c.Height) < LeastSide:
		return "", 0, 0, fmt.Errorf("the picture has %d by %d pixels; expected %d or more on a side", c.Width, c.Height, LeastSide)
	case max(c.Width, c.Height) > MostSide || c.Width*c.Height > MostPixels:
		return "", 0, 0, fmt.Errorf("the picture has %d by %d pixels; expected %d megapixels and %d on a side at most", c.Width, c.Height, MostPixels/1_000_000, MostSide)
	}
	return kind, c.Width, c.Height, nil
}

// Open takes a picture in: checked before it is decoded, and turned upright.
func Open(raw []byte) (Picture, error) {
	kind, _, _, err := Check(raw)
	if err != nil {
		return Picture{}, err
	}
	img, _, err := image.Decode(bytes.NewReader(raw))
	if err != nil {
		return Picture{}, errors.New("the picture is damaged or cut off; take it from where it came from once more")
	}
	p := Picture{Image: img, Kind: kind, Meta: MetaOf(raw)}
	p.Image = upright(p.Image, p.Meta.Orientation)
	return p, nil
}

// upright turns a picture by its Exif orientation (Exif 2.32, tag 0x0112).
func upright(img image.Image, orientation int) image.Image {
	if orientation < 2 || orientation > 8 {
		return img
	}
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	if orientation >= 5 {
		w, h = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			sx, sy := x, y
			switch orientation {
			case 2:
				sx = w - 1 - x
			case 3:
				sx, sy = w-1-x, h-1-y
			case 4:
				sy = h - 1 - y
			case 5:
				sx, sy = y, x
			case 6:
				sx, sy = y, w-1-x
			case 7:
				sx, sy = h-1-y, w-1-x
			case 8:
				sx, sy = h-1-y, x
			}
			out.Set(x, y, img.At(b.Min.X+sx, b.Min.Y+sy))
		}
	}
	return out
}
