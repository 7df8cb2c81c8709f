package gate

import (
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"io"
)

// NewSecret draws the secret part of an address and the SHA-256 of it, in
// hexadecimal, which is all that is kept: nobody gets the secret back out of it.
func NewSecret(random io.Reader) (secret, hash string, err error) {
	raw := make([]byte, 32)
	if _, err := io.ReadFull(random, raw); err != nil {
		return "", "", fmt.Errorf("no random secret for the address: %w", err)
	}
	secret = base64.RawURLEncoding.EncodeToString(raw)
	return secret, SecretHash(secret), nil
}

// SecretHash is the SHA-256 of a secret, in hexadecimal.
func SecretHash(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// Opens tells whether a secret is the one behind a hash, in the same time wherever
// the first difference lies.
func Opens(secret, hash string) bool {
	return hash != "" && subtle.ConstantTimeCompare([]byte(SecretHash(secret)), []byte(hash)) == 1
}
