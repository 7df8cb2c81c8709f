package chart

import (
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// checkDrawing reads a drawing back: well-formed, nothing but classes to style
// it, unique ids that exist, numbers that are numbers, all within the viewBox.
func checkDrawing(t interface{ Errorf(string, ...any) }, drawing string) {
	c := &checker{t: t, ids: map[string]bool{}}
	d := xml.NewDecoder(strings.NewReader(drawing))
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Errorf("not well-formed: %v", err)
			return
		}
		if e, ok := token.(xml.StartElement); ok {
			c.element(e)
		}
	}
	for _, id := range c.wanted {
		if !c.ids[id] {
			t.Errorf("aria-labelledby names %q, which is not there", id)
		}
	}
	if regexp.MustCompile(`NaN|Inf|e\+|e-\d`).MatchString(regexp.MustCompile(`<(title|desc|text)[^<]*|data-axis="[^"]*"`).ReplaceAllString(drawing, "")) {
		t.Errorf("a figure in the drawing is no plain number")
	}
}

type checker struct {
	t             interface{ Errorf(string, ...any) }
	width, height float64
	ids           map[string]bool
	wanted        []string
}

func (c *checker) element(e xml.StartElement) {
	a := map[string]string{}
	for _, at := range e.Attr {
		a[at.Name.Local] = at.Value
	}
	for _, banned := range []string{"style", "fill", "stroke", "onload", "onclick"} {
		if _, ok := a[banned]; ok {
			c.t.Errorf("<%s> has the attribute %s", e.Name.Local, banned)
		}
	}
	if id := a["id"]; id != "" {
		if c.ids[id] {
			c.t.Errorf("id %q stands twice", id)
		}
		c.ids[id] = true
	}
	c.wanted = append(c.wanted, strings.Fields(a["aria-labelledby"])...)
	switch e.Name.Local {
	case "svg":
		fmt.Sscanf(a["viewBox"], "0 0 %g %g", &c.width, &c.height)
		if a["role"] != "img" {
			c.t.Errorf("role is %q, want img", a["role"])
		}
	case "path":
		c.path(a["d"])
	case "rect":
		x, y, w, h := value(a["x"]), value(a["y"]), value(a["width"]), value(a["height"])
		c.inside(x, y)
		c.inside(x+w, y+h)
	case "text":
		c.inside(value(a["x"]), value(a["y"]))
	}
}

func value(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return -1e9
	}
	return v
}

func (c *checker) inside(x, y float64) {
	const eps = 1e-6
	if !(x >= -eps && y >= -eps && x <= c.width+eps && y <= c.height+eps) {
		c.t.Errorf("point %g %g lies outside the viewBox of %g by %g", x, y, c.width, c.height)
	}
}

var pathPart = regexp.MustCompile(`([MmlhvaZz])|(-?(?:\d+\.?\d*|\.\d+))`)

// path walks path data of the commands that the pen writes.
func (c *checker) path(d string) {
	if strings.Trim(pathPart.ReplaceAllString(d, ""), " ") != "" {
		c.t.Errorf("path data %q has a part the pen does not write", d)
	}
	var command string
	var args []float64
	var x, y, startX, startY float64
	need := map[string]int{"M": 2, "m": 2, "l": 2, "h": 1, "v": 1, "a": 7}
	for _, m := range pathPart.FindAllStringSubmatch(d, -1) {
		if m[1] != "" {
			command, args = m[1], nil
			if command == "z" {
				x, y = startX, startY
			}
			continue
		}
		if args = append(args, value(m[2])); len(args) < need[command] {
			continue
		}
		switch command {
		case "M":
			x, y, startX, startY = args[0], args[1], args[0], args[1]
		case "m":
			x, y = x+args[0], y+args[1]
			startX, startY = x, y
		case "l":
			x, y = x+args[0], y+args[1]
		case "h":
			x += args[0]
		case "v":
			y += args[0]
		case "a":
			x, y = x+args[5], y+args[6]
		}
		args = nil
		c.inside(x, y)
	}
}

func TestExtremesStayWithinTheDrawing(t *testing.T) {
	pictures := extremePictures()
	pictures["usual"], pictures["few"] = magnesium.picture(1), few()
	for name, p := range pictures {
		t.Run(name, func(t *testing.T) {
			checkDrawing(t, string(Small(p)))
			checkDrawing(t, string(Large(p, Phone, "p")))
			checkDrawing(t, string(Large(p, Wide, "w")))
		})
	}
	checkDrawing(t, string(sampleSteps().Draw()))
	checkDrawing(t, string(Steps{}.Draw()))
}
