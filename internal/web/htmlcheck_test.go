package web

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
)

// A small reader of our own pages: enough HTML to ask what a page holds and
// whether it is sound for a keyboard and a screen reader.

type node struct {
	tag   string
	attrs map[string]string
	inner []*node
	words string // of a text node
}

// parsePage reads a page; a page that is not well formed fails the test.
func parsePage(t *testing.T, body string) *node {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(strings.Replace(body, "<!doctype html>", "", 1)))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	root := &node{tag: "page"}
	open := []*node{root}
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("the page is not well formed: %v", err)
		}
		top := open[len(open)-1]
		switch x := tok.(type) {
		case xml.StartElement:
			n := &node{tag: strings.ToLower(x.Name.Local), attrs: map[string]string{}}
			for _, a := range x.Attr {
				n.attrs[strings.ToLower(a.Name.Local)] = a.Value
			}
			top.inner = append(top.inner, n)
			open = append(open, n)
		case xml.EndElement:
			if len(open) > 1 {
				open = open[:len(open)-1]
			}
		case xml.CharData:
			top.inner = append(top.inner, &node{words: string(x)})
		}
	}
	if len(open) != 1 {
		t.Fatalf("the page ends inside <%s>", open[len(open)-1].tag)
	}
	return root
}

// all are the nodes a simple selector names: tag, .class, #id, [attr] or
// [attr=value], joined without spaces.
func (n *node) all(selector string) []*node {
	var found []*node
	for _, c := range n.inner {
		if c.tag != "" && c.is(selector) {
			found = append(found, c)
		}
		found = append(found, c.all(selector)...)
	}
	return found
}

func (n *node) is(selector string) bool {
	for selector != "" {
		end := strings.IndexAny(selector[1:], ".#[") + 1
		if end == 0 {
			end = len(selector)
		}
		part := selector[:end]
		selector = selector[end:]
		switch part[0] {
		case '.':
			if !strings.Contains(" "+n.attrs["class"]+" ", " "+part[1:]+" ") {
				return false
			}
		case '#':
			if n.attrs["id"] != part[1:] {
				return false
			}
		case '[':
			name, value, valued := strings.Cut(strings.Trim(part, "[]"), "=")
			if got, ok := n.attrs[name]; !ok || valued && got != value {
				return false
			}
		default:
			if n.tag != part {
				return false
			}
		}
	}
	return true
}

// text is what the node says, white space folded.
func (n *node) text() string { return strings.Join(strings.Fields(n.rawText()), " ") }

func (n *node) rawText() string {
	s := n.words
	for _, c := range n.inner {
		s += " " + c.rawText()
	}
	return s
}

// soundPage checks what every page owes its visitors.
func soundPage(t *testing.T, body string) *node {
	t.Helper()
	page := parsePage(t, body)
	for selector, want := range map[string]int{"html[lang]": 1, "head": 1, "main#main": 1, "h1": 1, "a.skip": 1, "header.mast": 1, "footer": 1} {
		if got := len(page.all(selector)); got != want {
			t.Errorf("the page has %d of %s, want %d", got, selector, want)
		}
	}
	for _, head := range page.all("head") {
		if titles := head.all("title"); len(titles) != 1 || titles[0].text() == "" {
			t.Error("the page has no title")
		}
	}
	ids := map[string]bool{}
	checkNodes(t, page, ids)
	for _, l := range page.all("label") {
		if f := l.attrs["for"]; f != "" && !ids[f] {
			t.Errorf("label %q is for %q, which is not on the page", l.text(), f)
		}
	}
	for _, n := range page.all("[aria-describedby]") {
		for _, id := range strings.Fields(n.attrs["aria-describedby"]) {
			if !ids[id] {
				t.Errorf("aria-describedby names %q, which is not on the page", id)
			}
		}
	}
	labelled(t, page)
	return page
}

// checkNodes looks for doubled ids, inline styles and scripts, and links that say nothing.
func checkNodes(t *testing.T, n *node, ids map[string]bool) {
	t.Helper()
	for _, c := range n.inner {
		if c.tag == "" {
			continue
		}
		if id := c.attrs["id"]; id != "" {
			if ids[id] {
				t.Errorf("the id %q stands twice on the page", id)
			}
			ids[id] = true
		}
		for name := range c.attrs {
			if name == "style" || strings.HasPrefix(name, "on") {
				t.Errorf("<%s> carries an inline %s", c.tag, name)
			}
		}
		if c.tag == "style" || c.tag == "script" && c.attrs["src"] == "" && c.attrs["type"] != "application/json" {
			t.Errorf("the page carries an inline <%s>", c.tag)
		}
		if (c.tag == "a" || c.tag == "button") && c.text() == "" && c.attrs["aria-label"] == "" {
			t.Errorf("a <%s> to %q says nothing", c.tag, c.attrs["href"])
		}
		if c.tag == "img" && c.attrs["alt"] == "" {
			t.Error("an <img> has no alt text")
		}
		checkNodes(t, c, ids)
	}
}

// labelled checks that everything to fill in has a name.
func labelled(t *testing.T, page *node) {
	t.Helper()
	named := map[*node]bool{}
	for _, l := range page.all("label") {
		for _, tag := range []string{"input", "select", "textarea"} {
			for _, n := range l.all(tag) {
				named[n] = true
			}
			if f := l.attrs["for"]; f != "" {
				for _, n := range page.all(tag + "[id=" + f + "]") {
					named[n] = true
				}
			}
		}
	}
	for _, tag := range []string{"input", "select", "textarea"} {
		for _, n := range page.all(tag) {
			if n.attrs["type"] != "hidden" && n.attrs["aria-label"] == "" && !named[n] {
				t.Errorf("<%s name=%q> has no label", tag, n.attrs["name"])
			}
		}
	}
}
