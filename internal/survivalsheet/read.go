package survivalsheet

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"driftline/internal/sheet"
	"driftline/stats"
)

// Group is the animals of one group.
type Group struct {
	Name  string // empty where the table has no groups
	Lives []stats.Lifetime
}

var form = sheet.Form{Needed: []string{"time", "event"}, May: []string{"group"}, MostRows: 200_000}

// mostGroups is the largest number of groups that are compared.
const mostGroups = 20

// Read reads a table; its groups in order of their names. Errors name the line.
func Read(in io.Reader) ([]Group, error) {
	rows, err := sheet.Open(in, form)
	if err != nil {
		return nil, err
	}
	var out []Group
	for {
		row, err := rows.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		l, err := lifeOf(row)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", row.Line, err)
		}
		name := row.Cell("group")
		i := slices.IndexFunc(out, func(g Group) bool { return g.Name == name })
		if i < 0 {
			if len(out) == mostGroups {
				return nil, fmt.Errorf("line %d: group %q is one too many; expected at most %d groups", row.Line, name, mostGroups)
			}
			i, out = len(out), append(out, Group{Name: name})
		}
		out[i].Lives = append(out[i].Lives, l)
	}
	if len(out) == 0 {
		return nil, errors.New("the table has no animal; expected lines such as 30,1,quarantined")
	}
	slices.SortFunc(out, func(a, b Group) int { return strings.Compare(a.Name, b.Name) })
	return out, nil
}

func lifeOf(row sheet.Row) (stats.Lifetime, error) {
	var l stats.Lifetime
	var err error
	if l.Time, err = row.Number("time"); err != nil {
		return l, err
	}
	if l.Time < 0 || l.Time > 1e6 {
		return l, fmt.Errorf("time %q: expected 0 or more", row.Cell("time"))
	}
	switch text := strings.ToLower(row.Cell("event")); text {
	case "1", "yes", "true":
		l.Event = true
	case "0", "no", "false":
	default:
		return l, fmt.Errorf("event %q: expected 1 for died or 0 for still alive", row.Cell("event"))
	}
	return l, nil
}
