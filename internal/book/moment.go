package book

import (
	"strings"
	"sync"
	"time"
)

// zeroOffset is "+00:00", kept apart from "Z" so that a time leaves as it came.
var zeroOffset = time.FixedZone("", 0)

var fixedZones sync.Map // offset in seconds → *time.Location

// parseMoment reads an RFC 3339 time with its offset, which the result keeps.
func parseMoment(s string) (time.Time, bool) {
	t, err := time.Parse(time.RFC3339Nano, s)
	if err != nil {
		t, err = time.Parse(time.RFC3339Nano, strings.ToUpper(s))
	}
	// The standard parser also takes a decimal comma, which RFC 3339 does not know.
	if err != nil || strings.ContainsRune(s, ',') {
		return time.Time{}, false
	}
	return t.In(zoneOf(t, s)), true
}

// zoneOf shares one location among all times of an offset: a book holds many.
func zoneOf(t time.Time, s string) *time.Location {
	_, offset := t.Zone()
	if offset == 0 {
		if strings.HasSuffix(s, "00:00") {
			return zeroOffset
		}
		return time.UTC
	}
	if z, ok := fixedZones.Load(offset); ok {
		return z.(*time.Location)
	}
	z, _ := fixedZones.LoadOrStore(offset, time.FixedZone("", offset))
	return z.(*time.Location)
}

// appendMoment writes a time with its offset. A zone whose offset has odd
// seconds (local mean time) cannot be written in RFC 3339 and goes out in UTC.
func appendMoment(dst []byte, t time.Time) []byte {
	_, offset := t.Zone()
	if offset%60 != 0 {
		t = t.UTC()
	}
	if t.Location() == zeroOffset {
		dst = t.AppendFormat(dst, "2006-01-02T15:04:05.999999999")
		return append(dst, "+00:00"...)
	}
	return t.AppendFormat(dst, time.RFC3339Nano)
}

// parseDay reads "2026-03-01" as the start of that day in UTC.
func parseDay(s string) (time.Time, bool) {
	t, err := time.Parse(time.DateOnly, s)
	return t, err == nil
}

// sameMoment compares times the way they are written: instant and offset.
func sameMoment(a, b time.Time) bool {
	_, oa := a.Zone()
	_, ob := b.Zone()
	return a.Equal(b) && oa == ob
}
