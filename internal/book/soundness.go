package book

import "fmt"

// findingsListed bounds what CheckLines lists.
const findingsListed = 200

// CheckLines says what is wrong with the lines of a book as a whole: impossible
// ones, doubled ids, corrections of lines that are not there, tanks that nobody
// declared.
func CheckLines(lines []Line) []string {
	var found []string
	ids := make(map[string]bool, len(lines))
	tanks := make(map[string]bool)
	v := new(validator)
	for i := range lines {
		l := &lines[i]
		if ids[l.ID] {
			found = append(found, fmt.Sprintf("line %s: the id is there twice", l.ID))
		}
		ids[l.ID] = true
		if b, ok := l.Body.(*Tank); ok {
			tanks[Key(b.Name)] = true
		}
		if err := v.line(l); err != nil {
			found = append(found, fmt.Sprintf("line %s: %v", l.ID, err))
		}
	}
	for i := range lines {
		l := &lines[i]
		if l.Replaces != "" && !ids[l.Replaces] {
			found = append(found, fmt.Sprintf("line %s: replaces %s, which is not in the book", l.ID, clip(l.Replaces)))
		}
		if l.Kind != KindTank && l.Tank != "" && !tanks[Key(l.Tank)] {
			found = append(found, fmt.Sprintf("line %s: tank %q is not declared", l.ID, clip(l.Tank)))
		}
	}
	if more := len(found) - findingsListed; more > 0 {
		found = append(found[:findingsListed], fmt.Sprintf("and %d more of the kind", more))
	}
	return found
}
