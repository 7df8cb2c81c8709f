package sqlite_test

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"os"
	"strconv"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/book/sqlite"
)

// The test program also plays the other processes: started with this variable
// set, it writes to the book named there.
const roleVariable = "DRIFTLINE_TEST_WRITER"

func TestMain(m *testing.M) {
	if dir := os.Getenv(roleVariable); dir != "" {
		os.Exit(write(dir))
	}
	flag.Set("rapid.checks", "30") // every one makes a database; the command line may ask for more
	os.Exit(m.Run())
}

// write appends lines one by one, and every tenth time a batch, until it has
// done its share or is killed. It prints an id only when its line is stored.
func write(dir string) int {
	out := bufio.NewWriter(os.Stdout)
	defer out.Flush()
	say := func(text string) {
		fmt.Fprintln(out, text)
		out.Flush()
	}
	s, err := sqlite.Open(dir, sqlite.Options{Wait: 20 * time.Second})
	if err != nil {
		say("error " + err.Error())
		return 1
	}
	share, _ := strconv.Atoi(os.Getenv(roleVariable + "_SHARE"))
	say("open")
	for i := 0; share == 0 || i < share; i++ {
		batch := []book.Line{written(i)}
		if i%10 == 9 {
			for range 200 {
				batch = append(batch, written(i))
			}
		}
		if _, err := s.Append(context.Background(), batch); err != nil {
			say("error " + err.Error())
			return 1
		}
		for _, l := range batch {
			fmt.Fprintln(out, l.ID)
		}
		out.Flush()
	}
	if err := s.Close(); err != nil {
		say("error " + err.Error())
		return 1
	}
	return 0
}

func written(i int) book.Line {
	at := time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC).Add(time.Duration(i) * time.Minute)
	return book.Line{ID: book.NewID(at), Kind: book.KindReading, At: at, Tank: "North", Note: "a note of some length, so that a line is more than a few bytes",
		Body: &book.Reading{Quantity: "alkalinity", Value: book.NumberOf(7+float64(i%20)/10, 1), Unit: "dKH"}}
}
