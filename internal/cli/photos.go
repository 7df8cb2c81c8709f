package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"driftline/photo"
	"driftline/photo/align"
	"driftline/photo/outline"
	"driftline/units"
)

type photosCmd struct {
	Align   photosAlignCmd   `cmd:"" help:"Lay photographs over a reference photograph."`
	Outline photosOutlineCmd `cmd:"" help:"Find the edge of something from a rough outline."`
}

type photosAlignCmd struct {
	Reference string   `required:"" placeholder:"FILE" help:"The photograph the others are laid over."`
	Frames    []string `arg:"" name:"photo" help:"Photographs of the same scene."`
	JSON      bool     `help:"Print the result as JSON."`
}

func (c *photosAlignCmd) Help() string {
	return `How photographs of the same scene lie over the reference, each as a homography from its pixels to those of the reference, counted from
0 at the centre of the first one, upright. Where it cannot be said for sure, it says so. No book is read or written.

Example:

    driftline photos align --reference january.jpg --json february.jpg march.jpg`
}

// alignedJSON is the public shape of photographs laid over a reference.
type alignedJSON struct {
	Frames []frameJSON `json:"frames"`
}

type frameJSON struct {
	File       string      `json:"file"`
	Aligned    bool        `json:"aligned"`
	Homography *[9]float64 `json:"homography"` // frame to reference, a guess where not aligned; null when nothing fits at all
	Confidence float64     `json:"confidence"`
	Seconds    float64     `json:"seconds"`
	Why        string      `json:"why,omitempty"` // it is not aligned
}

func (c *photosAlignCmd) Run(j *job) error {
	ref, err := openPicture(c.Reference)
	if err != nil {
		return err
	}
	r, err := align.NewReference(ref.Image)
	if err != nil {
		return refused("", "%s: %w", c.Reference, err)
	}
	out := alignedJSON{Frames: []frameJSON{}}
	for _, name := range c.Frames {
		if err := j.ctx.Err(); err != nil {
			return err
		}
		began := j.Now()
		p, err := openPicture(name)
		if err != nil {
			return err
		}
		a, err := r.Align(p.Image)
		if err != nil {
			return refused("", "%s: %w", name, err)
		}
		x := frameJSON{File: name, Aligned: a.Aligned, Confidence: a.Confidence, Seconds: j.Now().Sub(began).Seconds(), Why: a.Why}
		if a.Agree > 0 {
			h := [9]float64(a.H)
			x.Homography = &h
		}
		out.Frames = append(out.Frames, x)
	}
	if c.JSON {
		return printJSON(j.out, out)
	}
	t := table{head: []string{"photograph", "aligned", "confidence", "seconds"}, right: map[int]bool{2: true, 3: true}}
	for _, x := range out.Frames {
		word := "yes"
		if !x.Aligned {
			word = "no: " + x.Why
		}
		t.add(filepath.Base(x.File), word, units.Number(x.Confidence, 2), units.Number(x.Seconds, 1))
	}
	return t.print(j.out)
}

func openPicture(name string) (photo.Picture, error) {
	raw, err := readLimited(name, photo.MostBytes)
	if err != nil {
		return photo.Picture{}, err
	}
	p, err := photo.Open(raw)
	if err != nil {
		return p, refused("", "%s: %w", name, err)
	}
	return p, nil
}

// readLimited reads a file of no more than so many bytes.
func readLimited(name string, most int64) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, refused("", "%s cannot be opened: %w", name, plainFile(err))
	}
	defer f.Close()
	raw, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, refused("", "%s cannot be read: %w", name, plainFile(err))
	}
	if int64(len(raw)) > most {
		return nil, refused("", "%s is larger than %d MB", name, most>>20)
	}
	return raw, nil
}

type photosOutlineCmd struct {
	Image string `required:"" placeholder:"FILE" help:"The photograph."`
	Rough string `required:"" placeholder:"FILE" help:"The rough outline: a JSON list of [x, y] in pixels of the photograph."`
	JSON  bool   `help:"Print the result as JSON."`
}

func (c *photosOutlineCmd) Help() string {
	return `Moves a rough outline, of ten or twenty corners, to the edge that the photograph shows, and tells the area in pixels. Pixels are counted
from 0 at the centre of the first one. No book is read or written.

Example:

    driftline photos outline --image march.jpg --rough corners.json --json`
}

// outlineJSON is the public shape of an outline.
type outlineJSON struct {
	Polygon [][2]float64 `json:"polygon"`
	Area    float64      `json:"area_px2"`
	Sure    float64      `json:"sure"`
}

// workingSide is how wide a picture is that outlines are looked for in, pixels.
const workingSide = 2000

func (c *photosOutlineCmd) Run(j *job) error {
	raw, err := readLimited(c.Rough, 1<<20)
	if err != nil {
		return err
	}
	rough, err := polygonOf(raw)
	if err != nil {
		return refused("", "%s: %w", c.Rough, err)
	}
	p, err := openPicture(c.Image)
	if err != nil {
		return err
	}
	b := p.Image.Bounds()
	for i, q := range rough {
		if q.X < -1 || q.Y < -1 || q.X > float64(b.Dx()) || q.Y > float64(b.Dy()) {
			return refused("", "%s: point %d, [%g, %g], lies outside the picture of %d by %d pixels", c.Rough, i, q.X, q.Y, b.Dx(), b.Dy())
		}
	}
	by := photo.Smaller(b.Dx(), b.Dy(), workingSide)
	r, err := outline.Refine(photo.ToLight(p.Image, by), by, rough, outline.Options{})
	if err != nil {
		return refused("", "%s: %w", c.Rough, err)
	}
	out := outlineJSON{Area: photo.Area(r.Polygon), Sure: r.Sure}
	for _, q := range r.Polygon {
		out.Polygon = append(out.Polygon, [2]float64{q.X, q.Y})
	}
	if c.JSON {
		return printJSON(j.out, out)
	}
	_, err = fmt.Fprintf(j.out, "%.0f px² inside; drawn it was %.0f px².\n", out.Area, photo.Area(rough))
	return err
}

// polygonOf reads a list of points, plain or as "polygon" of an object.
func polygonOf(raw []byte) ([]photo.Point, error) {
	var list [][]float64
	if json.Unmarshal(raw, &list) != nil {
		var o struct {
			Polygon [][]float64 `json:"polygon"`
		}
		if err := json.Unmarshal(raw, &o); err != nil || o.Polygon == nil {
			return nil, errors.New("expected a JSON list of points, such as [[10, 12], [40, 15], [25, 60]]")
		}
		list = o.Polygon
	}
	if len(list) < 3 || len(list) > 10_000 {
		return nil, fmt.Errorf("%d points; expected 3 to 10,000", len(list))
	}
	out := make([]photo.Point, len(list))
	for i, p := range list {
		if len(p) != 2 {
			return nil, fmt.Errorf("point %d has %d figures; expected 2", i, len(p))
		}
		out[i] = photo.Point{X: p[0], Y: p[1]}
	}
	return out, nil
}
