package book

import "time"

// ImportOptions says how an import goes about it.
type ImportOptions struct {
	Strict bool      // one refused line refuses them all
	Now    time.Time // lines may lie a day after it; zero: the machine's clock
}

// Report is what came of an import.
type Report struct {
	Added    int
	Skipped  int // in the book already, or twice in the file
	Refused  []Refusal
	Unlisted int // refused beyond those listed
	Later    int // taken lines that lie more than a day ahead of the clock
}

// Refusal is why a line of a file was not taken.
type Refusal struct {
	Line   int    // counted from 1
	Field  string // empty when it is about the whole line
	Reason string // one sentence
}

// refusalsListed bounds the list, for a file that is no log at all.
const refusalsListed = 10_000
