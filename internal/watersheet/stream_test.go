package watersheet_test

import (
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"

	"driftline/internal/watersheet"
	"driftline/seawater"
)

func TestBadLinesAreToldAndTheRestGoesOn(t *testing.T) {
	const text = "id,SP,t_degC,given,TA_umol_per_kg,pH_total,DIC_umol_per_kg,note\n" +
		"a,35,25,,2300,8.1,,\"kept, as it is\"\n" +
		"b,35,25,,2300,19,,\n" +
		"c,35,warm,,2300,8.1,,\n" +
		"d,35,25,TA+DIC,2300,8.1,,\n" +
		"e,35,25,TA+salt,2300,8.1,,\n" +
		"f,99,25,,2300,8.1,,\n" +
		"g,35,25\n" +
		"h,35,25,,,,,\n" +
		"i,35,,,2300,8.1,,\n" +
		"j,35,25,,2300,,2000,\n"
	rows, tally := sheetOf(t, text, watersheet.Options{})
	if tally.Lines != 10 || tally.Refused != 6 {
		t.Errorf("%+v, want 10 lines and 6 refused", tally)
	}
	for id, words := range map[string]string{"b": "pH", "c": `t_degC "warm" is not a number`, "d": "lacks one", "e": "expected two of", "f": "out of range", "g": "3 cells, expected 8"} {
		for _, row := range rows {
			if row["id"] == id && !strings.Contains(row["error"], words) {
				t.Errorf("line %s: error %q, want %q in it", id, row["error"], words)
			}
		}
	}
	if rows[0]["note"] != "kept, as it is" || rows[0]["error"] != "" || rows[0]["pH_total_out"] != "8.1" {
		t.Errorf("first line came out as %v", rows[0])
	}
	if rows[7]["error"] != "" || rows[7]["omega_aragonite"] != "" || rows[7]["rho_exact_kg_per_m3"] == "" {
		t.Errorf("a line without carbonates came out as %v", rows[7])
	}
	if rows[9]["DIC_umol_per_kg_out"] != "2000" || rows[9]["omega_aragonite"] == "" {
		t.Errorf("a line from dissolved carbon came out as %v", rows[9])
	}
}

func TestBeyondTheConstantsOnlyOnRequest(t *testing.T) {
	const text = "SP,t_degC,TA_umol_per_kg,pH_total\n10,25,1000,8\n"
	rows, _ := sheetOf(t, text, watersheet.Options{})
	if !strings.Contains(rows[0]["error"], "19 to 43") { // Lueker et al. 2000, title page: salinity 19 to 43
		t.Errorf("error %q", rows[0]["error"])
	}
	rows, _ = sheetOf(t, text, watersheet.Options{Basis: seawater.Basis{Extrapolate: true}})
	if rows[0]["error"] != "" || !strings.Contains(rows[0]["beyond"], seawater.Lueker2000.String()) || rows[0]["DIC_umol_per_kg"] == "" {
		t.Errorf("on request the line is %v", rows[0])
	}
	rows, _ = sheetOf(t, text, watersheet.Options{Basis: seawater.Basis{Carbon: seawater.Waters2014}})
	if rows[0]["error"] != "" || rows[0]["beyond"] != "" { // Waters et al. 2014: salinity 1 to 50
		t.Errorf("with constants made for it the line is %v", rows[0])
	}
}

// PSS-78 and Garcia and Gordon 1992 were published up to a salinity of 42.
func TestPhysicsBeyondItsRangeOnlyOnRequest(t *testing.T) {
	const text = "SP,t_degC\n45,25\n"
	rows, _ := sheetOf(t, text, watersheet.Options{})
	if r := rows[0]; r["C_mS_per_cm"] != "" || r["O2_mg_per_L"] != "" || r["rho_exact_kg_per_m3"] == "" || !strings.Contains(r["beyond"], "PSS-78 left out") || r["error"] != "" {
		t.Errorf("%v", r)
	}
	rows, _ = sheetOf(t, text, watersheet.Options{Basis: seawater.Basis{Extrapolate: true}})
	if r := rows[0]; r["C_mS_per_cm"] == "" || r["O2_mg_per_L"] == "" || !strings.Contains(r["beyond"], "PSS-78") || strings.Contains(r["beyond"], "left out") {
		t.Errorf("on request %v", r)
	}
	if rows, _ = sheetOf(t, "C_mS_per_cm,t_degC\n70,25\n", watersheet.Options{}); !strings.Contains(rows[0]["error"], "42") {
		t.Errorf("%v", rows[0])
	}
}

func TestTablesWithoutUse(t *testing.T) {
	for _, text := range []string{"", "a,b\n1,2\n", "t_degC,TA_umol_per_kg\n25,2300\n"} {
		if _, err := watersheet.Stream(t.Context(), strings.NewReader(text), io.Discard, watersheet.Options{}); err == nil {
			t.Errorf("%q: no error", text)
		}
	}
}

func FuzzStream(f *testing.F) {
	f.Add("SP,t_degC,TA_dKH,pH_nbs\n35,25,8,8.2\n")
	f.Add("SG,temperature_pair\n1.026,25C/25C\n")
	f.Add("SP,SP,error,beyond,pH\n\"35,25\n,,\n")
	f.Add("C_mS_per_cm,t68_degC,p_dbar,tan_mg_per_L,pH,calcium_mg_per_L,DIC_umol_per_kg\n50,25,0,1e300,8,-1,1e-300\n")
	f.Fuzz(func(t *testing.T, text string) {
		var out strings.Builder
		if _, err := watersheet.Stream(t.Context(), strings.NewReader(text), &out, watersheet.Options{Basis: seawater.Basis{Extrapolate: true}}); err != nil {
			return
		}
		if head, body, _ := strings.Cut(out.String(), "\n"); !strings.Contains(head, "NaN") && !strings.Contains(text, "NaN") && strings.Contains(body, "NaN") {
			t.Errorf("a figure that is not a number was written:\n%s", out.String())
		}
	})
}

// repeated is a header and the same lines over and over.
type repeated struct {
	head, body string
	lines      int
	rest       string
}

func (r *repeated) Read(p []byte) (int, error) {
	for r.rest == "" {
		switch {
		case r.head != "":
			r.rest, r.head = r.head, ""
		case r.lines > 0:
			r.rest = fmt.Sprintf(r.body, r.lines%500)
			r.lines--
		default:
			return 0, io.EOF
		}
	}
	n := copy(p, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}

func table(lines int) io.Reader {
	return &repeated{head: "SP,t_degC,TA_umol_per_kg,pH_total\n", body: "35,25.%03d,2300,8.1\n", lines: lines}
}

// A table of any length is held one line at a time.
func TestLongTablesTakeNoMoreMemory(t *testing.T) {
	held := func(lines int) uint64 {
		if _, err := watersheet.Stream(t.Context(), table(lines), io.Discard, watersheet.Options{}); err != nil {
			t.Fatal(err)
		}
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapInuse
	}
	short, long := held(100), held(30000)
	if long > short+1<<20 {
		t.Errorf("%d bytes in use after 30,000 lines, %d after 100", long, short)
	}
}

func BenchmarkStream(b *testing.B) {
	b.ReportAllocs()
	lines := 0
	for b.Loop() {
		tally, err := watersheet.Stream(b.Context(), table(10000), io.Discard, watersheet.Options{})
		if err != nil || tally.Refused > 0 {
			b.Fatal(err, tally)
		}
		lines += tally.Lines
	}
	b.ReportMetric(float64(lines)/b.Elapsed().Seconds(), "lines/s")
}

// With one measure alone no carbonic constant is used: pH scales, the share of
// ammonia and the units of alkalinity are told where those constants end.
func TestOneMeasureNeedsNoCarbonicConstants(t *testing.T) {
	rows, tally := sheetOf(t, "SP,t_degC,pH_total,TA_dKH\n10,25,8,\n10,25,,8\n10,25,8,8\n", watersheet.Options{})
	if tally.Refused != 1 || rows[0]["fraction_CW95_pH_total"] == "" || rows[0]["pH_nbs"] == "" || rows[1]["TA_meq_per_L"] == "" || rows[2]["error"] == "" {
		t.Errorf("%+v: %v", tally, rows)
	}
}
