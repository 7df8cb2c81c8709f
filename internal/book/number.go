package book

import (
	"fmt"
	"math"
	"strconv"
)

// numberLength bounds the digits of a typed number; a double has about 17.
const numberLength = 64

// Float is the number's value; false when it is absent or not a finite number.
func (n Number) Float() (float64, bool) {
	if n == "" || len(n) > numberLength {
		return 0, false
	}
	v, err := strconv.ParseFloat(string(n), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, false
	}
	return v, true
}

// NumberOf writes a computed value with the given decimals, for lines made here.
func NumberOf(v float64, decimals int) Number {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return Number(strconv.FormatFloat(v, 'f', decimals, 64))
}

// valid says whether the number is a JSON number literal.
func (n Number) valid() bool {
	if n == "" || n[0] != '-' && (n[0] < '0' || n[0] > '9') {
		return false
	}
	s := scanner{buf: []byte(n)}
	return s.number() == nil && s.pos == len(n)
}

// MarshalJSON writes the number as it was typed, null when absent.
func (n Number) MarshalJSON() ([]byte, error) {
	if n == "" {
		return []byte("null"), nil
	}
	if !n.valid() {
		return nil, fmt.Errorf("%q is not a number", string(n))
	}
	return []byte(n), nil
}

// UnmarshalJSON takes a JSON number as it is typed.
func (n *Number) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		*n = ""
		return nil
	}
	if !Number(b).valid() {
		return fmt.Errorf("%s is not a number", clip(string(b)))
	}
	*n = Number(b)
	return nil
}
