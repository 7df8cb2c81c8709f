package book

import (
	"errors"
	"fmt"
)

// Fault is why a line cannot be taken: one sentence, and the field it is about
// (empty when it is about the whole line).
type Fault struct {
	Field  string
	Reason string
}

func (f *Fault) Error() string { return f.Reason }

func faultf(field, format string, args ...any) *Fault {
	return &Fault{Field: field, Reason: fmt.Sprintf(format, args...)}
}

// fieldOf is the field an error is about, empty when it names none.
func fieldOf(err error) string {
	var f *Fault
	if errors.As(err, &f) {
		return f.Field
	}
	return ""
}
