package cli

import (
	"fmt"
	"os"

	"driftline/internal/rehearsal"
)

type demoCmd struct {
	Book   string `placeholder:"DIR" help:"Keep the made-up book in this folder. Without it, a temporary folder that is removed at the end."`
	Listen string `placeholder:"HOST:PORT" default:"127.0.0.1:0" help:"Address to listen on; port 0 picks a free one."`
	Now    string `placeholder:"MOMENT" help:"The moment at which the story ends. Without it, now."`
	Quiet  bool   `name:"write-only" help:"Write the book to --book DIR and stop, without serving it."`
}

func (c *demoCmd) Help() string {
	return `About fourteen months in the life of four tanks that never were, made by the rehearsal's simulator, with a lapse in
testing, a new kit, a tiring pump and a misread. The first line on standard output is the address to open. Ctrl-C ends it.

Examples:

    driftline demo
    driftline demo --book made-up --write-only
    driftline rounds --book made-up`
}

func (c *demoCmd) Run(j *job) error {
	if c.Quiet && c.Book == "" {
		return usage("add --book DIR", "--write-only needs a folder to write to")
	}
	dir, remove, err := c.folder()
	if err != nil {
		return err
	}
	defer remove()
	s, created, err := j.openOrCreate(dir)
	if err != nil {
		return err
	}
	defer s.Close()
	if created {
		now, err := j.moment("--now", c.Now, j.Now().Location())
		if err != nil {
			return err
		}
		if _, err := s.Append(j.ctx, rehearsal.Demo(now)); err != nil {
			return bookFault(dir, err)
		}
	}
	if c.Quiet {
		return c.tell(j, created)
	}
	return j.serve(site{dir: dir, store: s, listen: c.Listen, remark: "A rehearsed book: its tanks, its keeper and its readings are made up."})
}

func (c *demoCmd) tell(j *job, created bool) error {
	if !created {
		return badBook("name a folder that holds no book", "there is a book in %s already", c.Book)
	}
	fmt.Fprintf(j.out, "A made-up book of four tanks now stands in %s.\n", c.Book)
	return nil
}

// folder is where the book goes, and what removes it again.
func (c *demoCmd) folder() (dir string, remove func(), err error) {
	if c.Book != "" {
		return c.Book, func() {}, nil
	}
	dir, err = os.MkdirTemp("", "driftline-demo-")
	if err != nil {
		return "", nil, fmt.Errorf("no temporary folder for the demo: %w", err)
	}
	return dir, func() { _ = os.RemoveAll(dir) }, nil // nothing is lost if it stays
}
