package house

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

const module = "driftline"

// floors lists every package from the ground up. A package may import packages
// of the floors below it, and of its own floor those that stand before it. A name
// ending in /... stands for the package and all below it.
var floors = []struct {
	name  string
	rooms []string
}{
	{"science", []string{"seawater", "units", "sun", "stoichiometry", "statespace", "stats", "photo/..."}},
	{"facts", []string{"internal/prose", "internal/book", "internal/book/booktest", "internal/book/sqlite/..."}},
	{"the tank", []string{"internal/drift/...", "internal/substance", "internal/stoprule", "internal/food", "internal/standing/...", "internal/waterbench", "internal/pace", "internal/course", "internal/correction", "internal/makeup", "internal/supply", "internal/whatif", "internal/effect", "internal/trial", "internal/growth", "internal/animals", "internal/feeding", "internal/upkeep", "internal/away", "internal/rehearsal/..."}},
	{"advice", []string{"internal/sheet", "internal/watersheet", "internal/trialsheet", "internal/survivalsheet", "internal/rounds", "internal/calendar", "internal/report"}},
	{"faces", []string{"internal/chart", "internal/web/gate", "internal/web/assets", "internal/notebook", "internal/web/...", "internal/cli/quickline", "internal/cli", "cmd/driftline"}},
	{"checks", []string{"internal/house", "internal/browsertest/..."}},
}

// place is where a package stands: floor, then room on that floor.
type place struct{ floor, room int }

func placeOf(path string) (place, bool) {
	best, found, length := place{}, false, -1
	for f, floor := range floors {
		for r, room := range floor.rooms {
			name, below := strings.CutSuffix(room, "/...")
			fits := path == name || below && strings.HasPrefix(path, name+"/")
			if fits && len(name) > length {
				best, found, length = place{f, r}, true, len(name)
			}
		}
	}
	return best, found
}

// pkg is what go list tells of a package.
type pkg struct {
	ImportPath string
	Name       string
	Doc        string
	Dir        string
	Imports    []string
	GoFiles    []string
	CgoFiles   []string
	Standard   bool
	Module     *struct{ Path string }
}

// goList runs go list and decodes its stream of JSON objects.
func goList(t *testing.T, args ...string) []pkg {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list", "-json=ImportPath,Name,Doc,Dir,Imports,GoFiles,CgoFiles,Standard,Module"}, args...)...)
	cmd.Dir = "../.."
	var errs strings.Builder
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list %s: %v\n%s", strings.Join(args, " "), err, errs.String())
	}
	var list []pkg
	dec := json.NewDecoder(strings.NewReader(string(out)))
	for {
		var p pkg
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return list
		} else if err != nil {
			t.Fatalf("go list printed what is not JSON: %v", err)
		}
		list = append(list, p)
	}
}

// within is a package's path inside the module.
func within(importPath string) (string, bool) {
	return strings.CutPrefix(importPath, module+"/")
}

func TestImportsPointDown(t *testing.T) {
	for _, p := range goList(t, "./...") {
		path, _ := within(p.ImportPath)
		own, ok := placeOf(path)
		if !ok {
			t.Errorf("package %s stands on no floor: give it one in this test", path)
			continue
		}
		for _, imported := range p.Imports {
			target, ours := within(imported)
			if !ours {
				continue
			}
			if to, ok := placeOf(target); !ok || !mayImport(own, to) {
				t.Errorf("%s (%s) imports %s (%s): imports point down the floors only",
					path, floors[own.floor].name, target, floors[to.floor].name)
			}
		}
	}
}

func mayImport(from, to place) bool {
	return to.floor < from.floor || to.floor == from.floor && to.room <= from.room
}

func TestStorageAndScreensStayOutOfTheEngine(t *testing.T) {
	banned := []string{"database/sql", "net/http", "html/template", "os", "modernc.org/sqlite"}
	for _, p := range goList(t, "./internal/drift/...", "./internal/standing/...", "./internal/rounds/...", "./units/...", "./stoichiometry/...", "./seawater/...", "./statespace/...") {
		for _, imported := range p.Imports {
			if slices.Contains(banned, imported) {
				t.Errorf("%s imports %s: numbers and facts go in, numbers and sentences come out", p.ImportPath, imported)
			}
		}
	}
}

func TestEveryPackageSaysWhatItIsFor(t *testing.T) {
	for _, p := range goList(t, "./...") {
		if strings.TrimSpace(p.Doc) == "" {
			t.Errorf("package %s has no doc comment", p.ImportPath)
		}
		if slices.Contains([]string{"util", "utils", "common", "helpers", "models", "types", "tools"}, p.Name) {
			t.Errorf("package %s: a package is named after what it knows", p.ImportPath)
		}
		if p.Name != "main" && !slices.Contains(p.GoFiles, "doc.go") {
			t.Errorf("package %s has no doc.go", p.ImportPath)
		}
	}
}
