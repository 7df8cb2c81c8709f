package gate_test

import (
	"bytes"
	"crypto/rand"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"driftline/internal/web/gate"
)

func TestPassphrase(t *testing.T) {
	hash, err := gate.Hash("three red sponges", rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(hash, "$argon2id$v=19$") {
		t.Errorf("the hash is %q", hash)
	}
	if !gate.Matches(hash, "three red sponges") || gate.Matches(hash, "three red sponge") || gate.Matches("", "") || gate.Matches("$argon2id$v=19$m=1$x$y", "x") {
		t.Error("the passphrase is not told from another")
	}
	for _, weak := range []string{"", "short", strings.Repeat("x", 2000)} {
		if _, err := gate.Hash(weak, rand.Reader); err == nil {
			t.Errorf("a passphrase of %d bytes is taken", len(weak))
		}
	}
	if _, err := gate.Hash("three red sponges", bytes.NewReader(nil)); err == nil {
		t.Error("a hash is made without a random salt")
	}
}

// The hash of "password" with the salt "somesalt" from the test file of the
// reference implementation of argon2 (P-H-C, test.c), from memory; the same
// passphrase as argon2i, from its README, is not taken whatever it says.
func TestReferenceHash(t *testing.T) {
	if !gate.Matches("$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc", "password") {
		t.Error("the reference hash does not match its passphrase")
	}
	if gate.Matches("$argon2i$v=19$m=65536,t=2,p=4$c29tZXNhbHQ$RdescudvJCsgt3ub+b4dWRWJTmaaJObG", "password") {
		t.Error("an argon2i hash is taken")
	}
}

func TestHashFile(t *testing.T) {
	dir := t.TempDir()
	if got, err := gate.ReadHash(dir); got != "" || err != nil {
		t.Errorf("an empty folder gives %q, %v", got, err)
	}
	hash, err := gate.Hash("three red sponges", rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	if err := gate.WriteHash(dir, hash); err != nil {
		t.Fatal(err)
	}
	if got, err := gate.ReadHash(dir); got != hash || err != nil {
		t.Errorf("read %q, %v", got, err)
	}
	info, err := os.Stat(filepath.Join(dir, "passphrase"))
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the file is for %v, %v", info.Mode().Perm(), err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "passphrase-*")); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
	if err := gate.WriteHash(dir, "plain text"); err == nil {
		t.Error("something that is no hash is stored")
	}
	if err := os.WriteFile(filepath.Join(dir, "passphrase"), []byte("$argon2id$v=19$m=99999999,t=9,p=1$AAAAAAAAAAA$AAAA"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := gate.ReadHash(dir); err == nil {
		t.Error("a hash that asks for a hundred gigabytes is taken")
	}
}

func TestCheckListen(t *testing.T) {
	for listen, open := range map[string]bool{"127.0.0.1:0": true, "localhost:8090": true, "[::1]:8090": true, "127.9.9.9:1": true,
		"0.0.0.0:8090": false, ":8090": false, "192.168.1.20:8090": false, "[::]:8090": false, "tank.example:8090": false} {
		if err := gate.CheckListen(listen, ""); (err == nil) != open {
			t.Errorf("%s without a passphrase: %v", listen, err)
		}
		if err := gate.CheckListen(listen, "set"); err != nil {
			t.Errorf("%s with a passphrase: %v", listen, err)
		}
	}
	if gate.CheckListen("8090", "set") == nil {
		t.Error("a port alone is taken for an address")
	}
}

func TestWaits(t *testing.T) {
	clock := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	w := gate.NewWaits(func() time.Time { return clock })
	const one, two = "10.1.1.1:50", "10.1.1.2:50"
	for range 4 {
		w.Wrong(one)
	}
	if w.Left(one) != 2*time.Second || w.Left("10.1.1.1:999") != 2*time.Second || w.Left(two) != 0 {
		t.Errorf("waits %v and %v", w.Left(one), w.Left(two))
	}
	w.Wrong(one)
	if w.Left(one) != 4*time.Second {
		t.Errorf("the wait does not double: %v", w.Left(one))
	}
	for range 40 {
		w.Wrong(one)
	}
	if w.Left(one) != 15*time.Minute {
		t.Errorf("the longest wait is %v", w.Left(one))
	}
	w.Right(one)
	if w.Left(one) != 0 {
		t.Error("the right passphrase does not clear the wait")
	}
	for range 5 {
		w.Wrong("[2001:db8::1]:9")
	}
	if w.Left("[2001:db8::ffff]:9") == 0 || w.Left("[2001:db8:0:1::1]:9") != 0 {
		t.Error("an IPv6 visitor is not told by its /64")
	}
	clock = clock.Add(time.Hour)
	if w.Left("[2001:db8::1]:9") != 0 {
		t.Error("a wait does not end")
	}
}

func TestSessionsAreForgotten(t *testing.T) {
	clock := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	s := gate.NewSessions(func() time.Time { return clock }, rand.Reader)
	first, err := s.Begin(true)
	if err != nil || !first.Secure {
		t.Fatalf("%v, %v", first, err)
	}
	r := httptest.NewRequest("GET", "/", nil)
	r.AddCookie(first)
	if !s.Holds(r) {
		t.Error("a fresh session does not hold")
	}
	for range 300 { // more than are kept: the oldest gives way
		clock = clock.Add(time.Second)
		if _, err := s.Begin(false); err != nil {
			t.Fatal(err)
		}
	}
	if s.Holds(r) {
		t.Error("the oldest of too many sessions still holds")
	}
}
