package book

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"time"
)

// NewID makes a UUID of version 7 (RFC 9562 section 5.7): the time in
// milliseconds, then chance.
func NewID(now time.Time) string {
	var u [16]byte
	rand.Read(u[6:]) // never fails: the runtime stops the program rather than give poor chance
	binary.BigEndian.PutUint16(u[0:], uint16(now.UnixMilli()>>32))
	binary.BigEndian.PutUint32(u[2:], uint32(now.UnixMilli()))
	return uuidText(u, 7)
}

// ContentID derives the id of a line that came without one from what it says:
// a UUID of version 8 (RFC 9562 section 5.8) holding the first bits of the
// SHA-256 of the line's JSON as AppendJSON writes it, id left out. Two lines
// that say exactly the same are therefore the same line. A line that cannot be
// written has no id.
func ContentID(l Line) string {
	text, err := appendLine(nil, l, false)
	if err != nil {
		return ""
	}
	return contentID(text)
}

func contentID(text []byte) string {
	sum := sha256.Sum256(text)
	return uuidText([16]byte(sum[:16]), 8)
}

func uuidText(u [16]byte, version byte) string {
	u[6] = u[6]&0x0f | version<<4
	u[8] = u[8]&0x3f | 0x80
	var out [36]byte
	hex.Encode(out[0:8], u[0:4])
	hex.Encode(out[9:13], u[4:6])
	hex.Encode(out[14:18], u[6:8])
	hex.Encode(out[19:23], u[8:10])
	hex.Encode(out[24:36], u[10:16])
	out[8], out[13], out[18], out[23] = '-', '-', '-', '-'
	return string(out[:])
}

// IDTime is when the program made an id, which an id of version 7 tells. It is not
// known of ids from elsewhere.
func IDTime(id string) (time.Time, bool) {
	if len(id) != 36 || id[14] != '7' {
		return time.Time{}, false
	}
	u, err := hex.DecodeString(id[0:8] + id[9:13])
	if err != nil {
		return time.Time{}, false
	}
	ms := uint64(binary.BigEndian.Uint32(u))<<16 | uint64(binary.BigEndian.Uint16(u[4:]))
	return time.UnixMilli(int64(ms)).UTC(), true
}
