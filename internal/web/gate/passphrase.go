package gate

import (
	"bytes"
	"crypto/subtle"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
)

// The cost of one guess: 19 MiB and two passes, the smaller of the two settings
// the OWASP Password Storage Cheat Sheet gives for argon2id, so that a small
// computer under a tank can bear it.
const (
	memoryKiB   = 19 * 1024
	passes      = 2
	lanes       = 1
	saltBytes   = 16
	hashBytes   = 32
	shortest    = 10 // characters
	longest     = 1024
	hashFile    = "passphrase"
	maxMemory   = 256 * 1024 // KiB a stored hash may ask for
	maxPasses   = 16
	maxHashFile = 1024
)

// Hash turns a passphrase into the text kept in the book's folder: argon2id in
// the PHC string format. The salt is read from random.
func Hash(passphrase string, random io.Reader) (string, error) {
	if n := utf8.RuneCountInString(passphrase); n < shortest {
		return "", fmt.Errorf("the passphrase has %d characters: at least %d are needed", n, shortest)
	}
	if len(passphrase) > longest {
		return "", fmt.Errorf("the passphrase is longer than %d bytes", longest)
	}
	salt := make([]byte, saltBytes)
	if _, err := io.ReadFull(random, salt); err != nil {
		return "", fmt.Errorf("no random salt for the passphrase: %w", err)
	}
	sum := argon2.IDKey([]byte(passphrase), salt, passes, memoryKiB, lanes, hashBytes)
	b64 := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, memoryKiB, passes, lanes,
		b64.EncodeToString(salt), b64.EncodeToString(sum)), nil
}

type stored struct {
	memory, passes uint32
	lanes          uint8
	salt, sum      []byte
}

var errHash = errors.New("the stored passphrase cannot be read: set it anew")

func parseHash(text string) (stored, error) {
	var s stored
	parts := strings.Split(strings.TrimSpace(text), "$")
	if len(parts) != 6 || parts[1] != "argon2id" || parts[2] != fmt.Sprintf("v=%d", argon2.Version) {
		return s, errHash
	}
	if _, err := fmt.Sscanf(parts[3], "m=%d,t=%d,p=%d", &s.memory, &s.passes, &s.lanes); err != nil {
		return s, errHash
	}
	if s.memory == 0 || s.memory > maxMemory || s.passes == 0 || s.passes > maxPasses || s.lanes == 0 {
		return s, errHash
	}
	var saltErr, sumErr error
	s.salt, saltErr = base64.RawStdEncoding.DecodeString(parts[4])
	s.sum, sumErr = base64.RawStdEncoding.DecodeString(parts[5])
	if saltErr != nil || sumErr != nil || len(s.salt) < 8 || len(s.sum) < 16 || len(s.sum) > 64 {
		return s, errHash
	}
	return s, nil
}

// Matches tells whether the passphrase is the one behind the hash. The
// comparison takes the same time wherever the first difference lies.
func Matches(hash, passphrase string) bool {
	s, err := parseHash(hash)
	if err != nil || len(passphrase) > longest {
		return false
	}
	sum := argon2.IDKey([]byte(passphrase), s.salt, s.passes, s.memory, s.lanes, uint32(len(s.sum)))
	return subtle.ConstantTimeCompare(sum, s.sum) == 1
}

// ReadHash reads the passphrase hash of the book in dir; it is empty when none was set.
func ReadHash(dir string) (string, error) {
	path := filepath.Join(dir, hashFile)
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	if err != nil {
		return "", fmt.Errorf("the passphrase file %s cannot be opened: %w", path, err)
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, maxHashFile))
	if err != nil {
		return "", fmt.Errorf("the passphrase file %s cannot be read: %w", path, err)
	}
	if _, err := parseHash(string(text)); err != nil {
		return "", err
	}
	return string(bytes.TrimSpace(text)), nil
}

// WriteHash keeps the hash in the folder of the book, for its owner's eyes
// only. It is written beside and renamed, so a failure leaves the old one.
func WriteHash(dir, hash string) error {
	if _, err := parseHash(hash); err != nil {
		return err
	}
	f, err := os.CreateTemp(dir, hashFile+"-*") // created with mode 0600
	if err != nil {
		return fmt.Errorf("the passphrase cannot be stored in %s: %w", dir, err)
	}
	defer os.Remove(f.Name())
	_, err = f.WriteString(hash + "\n")
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return fmt.Errorf("the passphrase cannot be stored in %s: %w", dir, err)
	}
	return os.Rename(f.Name(), filepath.Join(dir, hashFile))
}
