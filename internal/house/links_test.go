package house

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var link = regexp.MustCompile(`\]\(([^)#\s]+)(#[^)\s]*)?\)`)

func TestLinksBetweenPagesLeadSomewhere(t *testing.T) {
	pages, err := filepath.Glob("../../docs/*.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range append(pages, "../../README.md") {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range link.FindAllStringSubmatch(string(text), -1) {
			if strings.Contains(m[1], "://") {
				continue
			}
			if _, err := os.Stat(filepath.Join(filepath.Dir(page), m[1])); err != nil {
				t.Errorf("%s links to %s, which is not there", filepath.Base(page), m[1])
			}
		}
	}
}
