package book

import (
	"encoding/json"
	"math"

	"driftline/units"
)

// The bodies of what is measured in photographs. Places are pixels of the picture,
// upright, from 0 at the centre of the first one, as lists of lists.
type (
	// Outline is the edge of a colony in a photograph.
	Outline struct {
		Colony string          `json:"colony"`
		Photo  string          `json:"photo"`  // file of the picture
		Points json.RawMessage `json:"points"` // [[x, y], …]
		Helped bool            `json:"helped,omitempty"`
		Count  Number          `json:"count,omitempty"` // of heads, branches or animals
	}
	// Scale is a known length in the picture plane of a viewpoint.
	Scale struct {
		Viewpoint string          `json:"viewpoint"`
		Photo     string          `json:"photo"`
		Points    json.RawMessage `json:"points"` // [[x, y], [x, y]]
		Length    Number          `json:"length"`
		Unit      string          `json:"unit"`
	}
	// Marks lay a photograph over its reference by hand.
	Marks struct {
		Photo     string          `json:"photo"`
		Reference string          `json:"reference"`
		Points    json.RawMessage `json:"points"` // [[x, y, x in the reference, y there], …]
	}
)

func (*Outline) kind() Kind { return KindOutline }
func (b *Outline) fields(c codec) {
	c.text("colony", &b.Colony)
	c.text("photo", &b.Photo)
	c.raw("points", &b.Points)
	c.flag("helped", &b.Helped)
	c.number("count", &b.Count)
}

func (*Scale) kind() Kind { return KindScale }
func (b *Scale) fields(c codec) {
	c.text("viewpoint", &b.Viewpoint)
	c.text("photo", &b.Photo)
	c.raw("points", &b.Points)
	c.number("length", &b.Length)
	c.text("unit", &b.Unit)
}

func (*Marks) kind() Kind { return KindMarks }
func (b *Marks) fields(c codec) {
	c.text("photo", &b.Photo)
	c.text("reference", &b.Reference)
	c.raw("points", &b.Points)
}

// mostPoints of an outline, and how far a place may lie from the picture's corner.
const (
	mostPoints = 2000
	farthest   = 1e5
)

// Places reads points, so many figures each.
func Places(raw json.RawMessage, each int) ([][]float64, bool) {
	var out [][]float64
	if json.Unmarshal(raw, &out) != nil {
		return nil, false
	}
	for _, p := range out {
		if len(p) != each {
			return nil, false
		}
		for _, v := range p {
			if math.Abs(v) > farthest {
				return nil, false
			}
		}
	}
	return out, true
}

func (v *validator) places(raw json.RawMessage, each, least int, such string) {
	if p, ok := Places(raw, each); !ok || len(p) < least || len(p) > mostPoints {
		v.fail("points", "points are not %d to %d places of %d figures; expected such as %s", least, mostPoints, each, such)
	}
}

func (v *validator) measured(body Body) {
	switch b := body.(type) {
	case *Outline:
		v.named("colony", b.Colony)
		v.named("photo", b.Photo)
		v.places(b.Points, 2, 3, "[[10, 12], [40, 15], [25, 60]]")
		v.notNegative("count", b.Count)
	case *Scale:
		v.named("viewpoint", b.Viewpoint)
		v.named("photo", b.Photo)
		v.places(b.Points, 2, 2, "[[10, 12], [310, 15]]")
		v.needed("length", b.Length)
		v.positive("length", b.Length)
		v.measure("unit", b.Unit, units.ParseLengthUnit)
	case *Marks:
		v.named("photo", b.Photo)
		v.named("reference", b.Reference)
		v.places(b.Points, 4, 4, "four of [x, y, x in the reference, y there]")
	}
}
