package sqlite_test

import (
	"bytes"
	"context"
	"fmt"
	"runtime"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/book/sqlite"
)

// keptLog is a log of six tanks over ten years, as JSON Lines with n lines:
// four readings in seven, the rest doses and water changes.
func keptLog(n int) []byte {
	var b bytes.Buffer
	start := time.Date(2016, 1, 1, 8, 0, 0, 0, time.FixedZone("", 3600))
	for i := range 6 {
		fmt.Fprintf(&b, `{"kind":"tank","at":%q,"name":"Tank %d","system":"mixed","net_volume":%d,"unit":"L","time_zone":"Europe/Madrid"}`+"\n",
			start.Format(time.RFC3339), i, 200+50*i)
	}
	quantities := []string{`"alkalinity","value":%.2f,"unit":"dKH","instrument":"drop kit"`, `"nitrate","value":%.1f,"unit":"mg/L NO3","instrument":"colour card"`,
		`"calcium","value":4%.1f,"unit":"mg/L","instrument":"calcium kit"`, `"phosphate","value":0.0%.0f,"unit":"mg/L PO4","instrument":"photometer"`}
	for i := 6; i < n; i++ {
		at := start.Add(time.Duration(i) * 45 * time.Minute).Format(time.RFC3339)
		switch i % 7 {
		case 4, 5:
			fmt.Fprintf(&b, `{"kind":"dose","at":%q,"tank":"Tank %d","substance":"sodium carbonate","amount":%.1f,"unit":"g","by":"Ana"}`+"\n", at, i%6, float64(i%90)/10)
		case 6:
			fmt.Fprintf(&b, `{"kind":"water change","at":%q,"tank":"Tank %d","volume":%d,"unit":"L","mix":"bench mix","note":"monthly"}`+"\n", at, i%6, 20+i%20)
		default:
			fmt.Fprintf(&b, `{"kind":"reading","at":%q,"tank":"Tank %d","quantity":`+quantities[i%7]+"}\n", at, i%6, 5+float64(i%400)/100)
		}
	}
	return b.Bytes()
}

var benchNow = time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)

func importAll(b *testing.B, log []byte, s book.Store) {
	b.Helper()
	report, err := book.ImportJSONL(context.Background(), bytes.NewReader(log), s, book.ImportOptions{Now: benchNow})
	if err != nil || len(report.Refused) > 0 {
		b.Fatalf("%+v, %v", report.Refused[:min(3, len(report.Refused))], err)
	}
}

// BenchmarkImport100k is an import of 100,000 lines into a new book.
func BenchmarkImport100k(b *testing.B) {
	log := keptLog(100_000)
	for b.Loop() {
		s := created(b)
		importAll(b, log, s)
		s.Close()
	}
}

// BenchmarkImport100kMemory is the same without a disk: reading and judging lines.
func BenchmarkImport100kMemory(b *testing.B) {
	log := keptLog(100_000)
	for b.Loop() {
		importAll(b, log, book.NewMemory())
	}
}

// BenchmarkReimport100k is the import of a file that is in the book already.
func BenchmarkReimport100k(b *testing.B) {
	log := keptLog(100_000)
	s := created(b)
	importAll(b, log, s)
	for b.Loop() {
		importAll(b, log, s)
	}
}

func book75k(b *testing.B) (dir string) {
	dir = b.TempDir()
	s, err := sqlite.Create(dir)
	if err != nil {
		b.Fatal(err)
	}
	importAll(b, keptLog(75_000), s)
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
	return dir
}

// BenchmarkOpenJournal75k opens a book of 75,000 lines and reads it into memory.
func BenchmarkOpenJournal75k(b *testing.B) {
	dir := book75k(b)
	for b.Loop() {
		s, err := sqlite.Open(dir, sqlite.Options{})
		if err != nil {
			b.Fatal(err)
		}
		j, err := book.OpenJournal(context.Background(), s)
		if err != nil {
			b.Fatal(err)
		}
		if n := len(j.Lines()); n != 75_000 {
			b.Fatal(n)
		}
		s.Close()
	}
}

// BenchmarkReplay75k replays 75,000 lines that are in memory.
func BenchmarkReplay75k(b *testing.B) {
	s := book.NewMemory()
	importAll(b, keptLog(75_000), s)
	lines, err := s.Lines(context.Background())
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		book.Replay(lines, benchNow)
	}
}

// BenchmarkResident75k reports the memory that a journal of 75,000 lines with
// its facts holds on to.
func BenchmarkResident75k(b *testing.B) {
	dir := book75k(b)
	s, err := sqlite.Open(dir, sqlite.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	for b.Loop() {
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		j, err := book.OpenJournal(context.Background(), s)
		if err != nil {
			b.Fatal(err)
		}
		f := j.Facts(benchNow)
		runtime.GC()
		runtime.ReadMemStats(&after)
		b.ReportMetric(float64(after.HeapAlloc-before.HeapAlloc)/1e6, "MB-held")
		runtime.KeepAlive(j)
		runtime.KeepAlive(f)
	}
}

// BenchmarkFactsUnchanged asks for the facts of now, again and again.
func BenchmarkFactsUnchanged(b *testing.B) {
	dir := book75k(b)
	s, err := sqlite.Open(dir, sqlite.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	j, err := book.OpenJournal(context.Background(), s)
	if err != nil {
		b.Fatal(err)
	}
	now := benchNow
	for b.Loop() {
		now = now.Add(time.Second)
		j.Facts(now)
	}
}
