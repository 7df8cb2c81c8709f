package house

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// The limits of the house: half of all functions are short, nine in ten fit on a
// screen, and no file grows past what can be read in one sitting.
const (
	longestFile     = 500
	longestFunction = 80
	medianFunction  = 15
	p90Function     = 45
)

func TestFilesAndFunctionsStaySmall(t *testing.T) {
	var lengths []int
	for _, p := range goList(t, "./...") {
		for _, name := range p.GoFiles {
			lengths = append(lengths, measure(t, filepath.Join(p.Dir, name))...)
		}
	}
	if len(lengths) == 0 {
		t.Fatal("no function found")
	}
	slices.Sort(lengths)
	median, p90 := lengths[len(lengths)/2], lengths[len(lengths)*9/10]
	t.Logf("%d functions: median %d lines, nine in ten within %d, longest %d", len(lengths), median, p90, lengths[len(lengths)-1])
	if median > medianFunction || p90 > p90Function {
		t.Errorf("functions have a median of %d lines (limit %d) and a 90th percentile of %d (limit %d)", median, medianFunction, p90, p90Function)
	}
}

// measure returns the lengths of the functions of a file and checks its size.
func measure(t *testing.T, file string) []int {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(text, []byte("\n")); n > longestFile {
		t.Errorf("%s has %d lines, more than %d", file, n, longestFile)
	}
	set := token.NewFileSet()
	parsed, err := parser.ParseFile(set, file, text, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	var lengths []int
	for _, d := range parsed.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok {
			continue
		}
		n := set.Position(f.End()).Line - set.Position(f.Pos()).Line + 1
		if n > longestFunction {
			t.Errorf("%s: function %s has %d lines, more than %d", file, f.Name.Name, n, longestFunction)
		}
		lengths = append(lengths, n)
	}
	return lengths
}
