package web

import (
	"testing"

	"github.com/jba/templatecheck"
)

// Every page is type-checked against the struct it is filled with.
func TestScreensFitTheirStructs(t *testing.T) {
	views, err := loadScreens()
	if err != nil {
		t.Fatal(err)
	}
	entries, err := pageFiles.ReadDir("pages")
	if err != nil {
		t.Fatal(err)
	}
	if got, want := len(allScreens), len(entries)-2; got != want {
		t.Errorf("%d screens are listed, %d page files stand in pages beside layout and parts", got, want)
	}
	for _, p := range allScreens {
		t.Run(p.name(), func(t *testing.T) {
			if err := templatecheck.CheckHTML(views[p.name()], p.zero()); err != nil {
				t.Error(err)
			}
		})
	}
}
