package rehearsal

import (
	"encoding/binary"
	"encoding/hex"
	"math/rand/v2"
	"slices"
	"strconv"
	"time"

	"driftline/internal/book"
)

// lineID is a UUID of version 7 (RFC 9562, section 5.7) with its random bits from r,
// so that the same rehearsal writes the same book.
func lineID(at time.Time, r *rand.Rand) string {
	var b [16]byte
	binary.BigEndian.PutUint64(b[:8], uint64(at.UnixMilli())<<16|uint64(r.Uint32()&0xffff))
	binary.BigEndian.PutUint64(b[8:], r.Uint64())
	b[6] = b[6]&0x0f | 0x70
	b[8] = b[8]&0x3f | 0x80
	h := hex.EncodeToString(b[:])
	return h[:8] + "-" + h[8:12] + "-" + h[12:16] + "-" + h[16:20] + "-" + h[20:]
}

func floatOf(n book.Number) float64 {
	v, _ := strconv.ParseFloat(string(n), 64)
	return v
}

// inOrder sorts lines by time; lines of one moment stay as they were written.
func inOrder(lines []book.Line) []book.Line {
	slices.SortStableFunc(lines, func(a, b book.Line) int { return a.At.Compare(b.At) })
	return lines
}
