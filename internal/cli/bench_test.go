package cli_test

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"
)

// The big book: six tanks over ten years.
const (
	bigTanks    = 6
	bigYears    = 10
	bigReadings = 40_000
	bigInputs   = 30_000
)

// bigBook writes a book of that size as JSON Lines, up to the given moment.
func bigBook(w io.Writer, until time.Time) {
	r := rand.New(rand.NewPCG(7, 11))
	from := until.AddDate(-bigYears, 0, 0)
	stamp := func(t time.Time) string { return t.UTC().Format(time.RFC3339) }
	for k := range bigTanks {
		fmt.Fprintf(w, `{"kind":"tank","at":"%s","name":"Row %d","system":"mixed","net_volume":%d,"unit":"L","time_zone":"Europe/Lisbon"}`+"\n", stamp(from), k+1, 200+100*k)
	}
	fmt.Fprintf(w, `{"kind":"mix","at":"%s","name":"reef salt","composition":[{"quantity":"alkalinity","value":8,"unit":"dKH"},{"quantity":"calcium","value":430,"unit":"mg/L"},{"quantity":"magnesium","value":1320,"unit":"mg/L"}]}`+"\n", stamp(from))
	quantities := []struct {
		name, unit string
		level, sd  float64
	}{{"alkalinity", "dKH", 8, 0.2}, {"calcium", "mg/L", 430, 8}, {"magnesium", "mg/L", 1320, 20}, {"nitrate", "mg/L", 6, 0.8}, {"phosphate", "mg/L", 0.06, 0.01}}
	hours := until.Sub(from).Hours()
	for i := range bigReadings {
		at := from.Add(time.Duration(float64(i) / bigReadings * hours * float64(time.Hour)))
		q := quantities[i/bigTanks%len(quantities)]
		fmt.Fprintf(w, `{"kind":"reading","at":"%s","tank":"Row %d","quantity":"%s","value":%.3f,"unit":"%s"}`+"\n",
			stamp(at), i%bigTanks+1, q.name, max(0.001, q.level+q.sd*r.NormFloat64()), q.unit)
	}
	for i := range bigInputs {
		at := from.Add(time.Duration((float64(i) + 0.5) / bigInputs * hours * float64(time.Hour)))
		if i/bigTanks%10 == 0 {
			fmt.Fprintf(w, `{"kind":"water change","at":"%s","tank":"Row %d","volume":30,"unit":"L","mix":"reef salt"}`+"\n", stamp(at), i%bigTanks+1)
			continue
		}
		fmt.Fprintf(w, `{"kind":"dose","at":"%s","tank":"Row %d","substance":"sodium hydrogen carbonate","amount":%.1f,"unit":"g"}`+"\n",
			stamp(at), i%bigTanks+1, 4+2*r.Float64())
	}
}

// BenchmarkServeBigBook builds the program, serves the big book and reports how
// long it takes until the address is printed, until any page is there and until
// the first page is there, now, again and after one more reading; the memory it
// then holds, and the size of that page with what it loads.
func BenchmarkServeBigBook(b *testing.B) {
	if runtime.GOOS != "linux" {
		b.Skip("resident memory is read from /proc")
	}
	dir := b.TempDir()
	program := filepath.Join(dir, "driftline")
	if out, err := exec.Command("go", "build", "-o", program, "driftline/cmd/driftline").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	var lines bytes.Buffer
	bigBook(&lines, time.Now().Add(-time.Hour))
	load := exec.Command(program, "import", "--book", filepath.Join(dir, "book"), "-")
	load.Stdin = &lines
	begin := time.Now()
	if out, err := load.CombinedOutput(); err != nil {
		b.Fatalf("%v\n%.2000s", err, out)
	}
	b.Logf("import of %d lines: %v", bigReadings+bigInputs+bigTanks+1, time.Since(begin))
	b.ResetTimer()
	for b.Loop() {
		serveOnce(b, program, filepath.Join(dir, "book"))
	}
}

func serveOnce(b *testing.B, program, dir string) {
	cmd := exec.Command(program, "serve", "--book", dir, "--listen", "127.0.0.1:0")
	out, err := cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	begin := time.Now()
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	defer func() { _ = cmd.Process.Signal(os.Interrupt); _ = cmd.Wait() }()
	address, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(time.Since(begin).Milliseconds()), "ms-to-address")
	address = strings.TrimSpace(address)
	var size int
	var page string
	clock := func(path, what string) {
		begin := time.Now()
		size, page = wire(b, address+path)
		b.ReportMetric(float64(time.Since(begin).Microseconds())/1000, what)
	}
	clock("log", "ms-to-any-page")
	clock("", "ms-first-page")
	reading := exec.Command(program, "log", "--book", dir, "row 1 alk 8.1 dKH")
	if out, err := reading.CombinedOutput(); err != nil {
		b.Fatalf("%v\n%.2000s", err, out)
	}
	clock("", "ms-page-after-a-reading")
	clock("", "ms-page-again")
	for _, m := range regexp.MustCompile(`(?:src|href)="(/assets/[^"]+)"`).FindAllStringSubmatch(page, -1) {
		n, _ := wire(b, strings.TrimSuffix(address, "/")+m[1])
		size += n
	}
	b.ReportMetric(float64(size)/1000, "KB-first-page")
	b.ReportMetric(memoryMB(b, cmd.Process.Pid, "VmRSS"), "MB-resident")
	b.ReportMetric(memoryMB(b, cmd.Process.Pid, "VmHWM"), "MB-peak")
}

// wire gets an address as a browser does, and gives the bytes sent and the text.
func wire(b *testing.B, address string) (size int, text string) {
	request, err := http.NewRequest(http.MethodGet, address, nil)
	if err != nil {
		b.Fatal(err)
	}
	request.Header.Set("Accept-Encoding", "gzip")
	answer, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		b.Fatal(err)
	}
	defer answer.Body.Close()
	sent, err := io.ReadAll(answer.Body)
	if err != nil || answer.StatusCode != http.StatusOK {
		b.Fatalf("%s: %s %v", address, answer.Status, err)
	}
	plain := io.Reader(bytes.NewReader(sent))
	if answer.Header.Get("Content-Encoding") == "gzip" {
		if plain, err = gzip.NewReader(plain); err != nil {
			b.Fatal(err)
		}
	}
	whole, err := io.ReadAll(plain)
	if err != nil {
		b.Fatal(err)
	}
	return len(sent), string(whole)
}

// memoryMB reads a figure of /proc: VmRSS is resident now, VmHWM its peak.
func memoryMB(b *testing.B, pid int, what string) float64 {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		b.Fatal(err)
	}
	m := regexp.MustCompile(what + `:\s+(\d+) kB`).FindSubmatch(status)
	if m == nil {
		b.Fatalf("/proc tells no %s", what)
	}
	kb, _ := strconv.Atoi(string(m[1]))
	return float64(kb) / 1000
}
