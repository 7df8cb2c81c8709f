package house

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// listed reads the modules of docs/dependencies.md: the first cell of each row,
// by the heading it stands under.
func listed(t *testing.T) map[string][]string {
	t.Helper()
	text, err := os.ReadFile("../../docs/dependencies.md")
	if err != nil {
		t.Fatal(err)
	}
	row := regexp.MustCompile("^\\| `([^` ]+)`")
	out := map[string][]string{}
	heading := ""
	for line := range strings.Lines(string(text)) {
		if h, ok := strings.CutPrefix(line, "## "); ok {
			heading = strings.TrimSpace(h)
		}
		if m := row.FindStringSubmatch(line); m != nil {
			out[heading] = append(out[heading], m[1])
		}
	}
	return out
}

func TestEveryModuleIsExplained(t *testing.T) {
	var explained []string
	for _, modules := range listed(t) {
		explained = append(explained, modules...)
	}
	required := required(t)
	for _, m := range required {
		if !slices.Contains(explained, m) {
			t.Errorf("go.mod requires %s, which docs/dependencies.md does not explain", m)
		}
	}
	for _, m := range explained {
		if !slices.Contains(required, m) {
			t.Errorf("docs/dependencies.md explains %s, which go.mod does not require", m)
		}
	}
}

// required are the modules of go.mod, direct and indirect.
func required(t *testing.T) []string {
	t.Helper()
	text, err := os.ReadFile("../../go.mod")
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	line := regexp.MustCompile(`(?m)^(?:require )?\s*([a-zA-Z0-9./_-]+\.[a-z]+/[^\s]+) v[0-9]`)
	for _, m := range line.FindAllStringSubmatch(string(text), -1) {
		out = append(out, m[1])
	}
	if len(out) == 0 {
		t.Fatal("no module found in go.mod")
	}
	return out
}

// TestTheProgramShipsOnlyWhatIsListed keeps test and build modules out of the binary.
func TestTheProgramShipsOnlyWhatIsListed(t *testing.T) {
	ships := listed(t)["In the program"]
	if len(ships) == 0 {
		t.Fatal(`docs/dependencies.md has no rows under "In the program"`)
	}
	for _, p := range goList(t, "-deps", "./cmd/driftline") {
		if p.Standard || p.Module == nil || p.Module.Path == module {
			continue
		}
		if !slices.Contains(ships, p.Module.Path) {
			t.Errorf("the program contains %s of %s, which is not listed under \"In the program\"", p.ImportPath, p.Module.Path)
		}
		if len(p.CgoFiles) > 0 {
			t.Errorf("%s needs cgo, and the program must build without it", p.ImportPath)
		}
	}
}
