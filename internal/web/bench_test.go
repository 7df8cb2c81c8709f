package web

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"
)

// bigBook is six tanks over ten years: 40,000 readings and 30,000 inputs.
func bigBook() string {
	var b strings.Builder
	r := rand.New(rand.NewPCG(3, 5))
	from := now.AddDate(-10, 0, 0)
	at := func(i, n int) string {
		return from.Add(time.Duration(float64(i) / float64(n) * float64(now.Sub(from)))).Format(time.RFC3339)
	}
	for k := range 6 {
		fmt.Fprintf(&b, `{"kind":"tank","at":%q,"name":"row %d","system":"mixed","net_volume":%d,"unit":"L","time_zone":"Europe/Lisbon"}`+"\n", at(0, 1), k+1, 200+100*k)
	}
	kinds := []struct {
		name, unit string
		level, sd  float64
	}{{"alkalinity", "dKH", 8, 0.2}, {"calcium", "mg/L", 430, 8}, {"magnesium", "mg/L", 1320, 20}, {"nitrate", "mg/L NO3", 6, 0.8}, {"phosphate", "mg/L PO4", 0.06, 0.01}}
	for i := range 40_000 {
		q := kinds[i/6%len(kinds)]
		fmt.Fprintf(&b, `{"kind":"reading","at":%q,"tank":"row %d","quantity":%q,"value":%.3f,"unit":%q}`+"\n",
			at(i, 40_000), i%6+1, q.name, max(0.001, q.level+q.sd*r.NormFloat64()), q.unit)
	}
	for i := range 30_000 {
		fmt.Fprintf(&b, `{"kind":"dose","at":%q,"tank":"row %d","substance":"sodium hydrogen carbonate","amount":%.1f,"unit":"g"}`+"\n", at(i, 30_000), i%6+1, 4+2*r.Float64())
	}
	return b.String()
}

// BenchmarkPages measures pages of the big book when nothing has changed, and
// what they weigh packed. An operation is one page.
func BenchmarkPages(b *testing.B) {
	var site *site
	for _, path := range []string{"/", "/tank/row%201", "/tank/row%201/alkalinity", "/read/row%201", "/log", "/log?text=dose+bicarbonate"} {
		b.Run(path, func(b *testing.B) {
			if site == nil {
				site = newBenchSite(b)
			}
			size := fetch(b, site.server, path)
			b.ResetTimer()
			for b.Loop() {
				fetch(b, site.server, path)
			}
			b.ReportMetric(float64(size)/1000, "KB-packed")
		})
	}
}

func newBenchSite(b *testing.B) *site {
	b.Helper()
	var made *site
	t := &testing.T{}
	made = newSite(t, bigBook())
	return made
}

func fetch(b *testing.B, h http.Handler, path string) int {
	b.Helper()
	w := httptest.NewRecorder()
	h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "http://localhost"+path, nil))
	if w.Code != http.StatusOK {
		b.Fatalf("%s answers %d", path, w.Code)
	}
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	_, _ = z.Write(w.Body.Bytes())
	_ = z.Close()
	return packed.Len()
}
