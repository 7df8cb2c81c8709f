package cli

import (
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// tank finds the tank that is meant.
func tank(f *book.Facts, name string) (*book.TankFacts, error) {
	if t, ok := f.Tank(name); ok {
		return t, nil
	}
	if len(f.Tanks) == 0 {
		return nil, usage(`declare one with driftline init --tank NAME --volume "400 L", in the settings page, or by import`,
			"no tank is declared in this book by then")
	}
	return nil, usage("the book has "+tankNames(f), "no tank is called %q", name)
}

// onlyTank finds the tank that is meant; without a name, the only one of the book.
func onlyTank(f *book.Facts, name string) (*book.TankFacts, error) {
	if name == "" && len(f.Tanks) == 1 {
		return &f.Tanks[0], nil
	}
	if name == "" && len(f.Tanks) > 1 {
		return nil, usage("add --tank NAME; the book has "+tankNames(f), "the book has more than one tank")
	}
	return tank(f, name)
}

// tankAt is the tank that is meant, in the facts of the book as of a moment.
func (b bookFlag) tankAt(j *job, name, asOf string) (*book.Facts, time.Time, *book.TankFacts, error) {
	dir, err := b.dir(j)
	if err != nil {
		return nil, time.Time{}, nil, err
	}
	facts, at, err := j.factsAt(dir, name, "--as-of", asOf)
	if err != nil {
		return nil, at, nil, err
	}
	t, err := onlyTank(facts, name)
	return facts, at, t, err
}

func tankNames(f *book.Facts) string {
	names := make([]string, len(f.Tanks))
	for i, t := range f.Tanks {
		names[i] = t.Tank.Name
	}
	return strings.Join(names, ", ")
}

// quantity finds the quantity that is meant.
func quantity(name string) (units.Quantity, error) {
	q, err := units.ParseQuantity(name)
	if err != nil {
		return "", usage("", "--quantity: %w", err)
	}
	return q, nil
}
