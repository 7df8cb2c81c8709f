package units_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

type row map[string]string

func (r row) num(t *testing.T, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %s: %v", column, err)
	}
	return v
}

func table(t *testing.T, file string) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	for _, l := range lines[1:] {
		r := row{}
		for i, name := range lines[0] {
			r[name] = l[i]
		}
		rows = append(rows, r)
	}
	return rows
}

// alike tells whether got is want within a relative tolerance.
func alike(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Max(math.Abs(want), 1e-3)
}
