package rehearsal

import (
	"bytes"
	"context"
	"strings"
	"testing"
)

// TestEngineKeepsItsPromises is a small rehearsal; driftline rehearsal runs a
// large one. The limits are those of Report.Unmet, with three standard errors
// for so few tanks. A tank's three horizons count as one.
func TestEngineKeepsItsPromises(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	r, err := Score(context.Background(), Options{Tanks: 16, Moments: 3, Seed: 501}, Engine(), nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range r.Failed {
		t.Error(f)
	}
	for _, unmet := range r.Unmet(3) {
		t.Error(unmet)
	}
	if t.Failed() {
		var b bytes.Buffer
		if err := r.Write(&b); err == nil {
			t.Log(b.String())
		}
	}
}

func TestRunPrintsTheTable(t *testing.T) {
	var b bytes.Buffer
	if _, err := Run(context.Background(), Options{Tanks: 2, Moments: 1, Seed: 7}, &b); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"in 80 %", "alkalinity", "phosphate", "Score over baseline"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the table lacks %q:\n%s", want, b.String())
		}
	}
}

func TestRunStopsWhenTold(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Run(ctx, Options{Tanks: 500}, &bytes.Buffer{}); err == nil {
		t.Error("it ran on")
	}
}
