// Package gate answers one question of every request: may it come in?
//
// Model: a book on the machine's own address needs no passphrase; beyond it
// one is required. The passphrase is kept only as an argon2id hash (RFC 9106)
// in a file of the book's folder that its owner alone may read. A login earns a
// random session token in a cookie; the server keeps the token's SHA-256 in
// memory, so a restart asks again. Wrong passphrases make an address wait,
// twice as long each time.
//
// Limits: one passphrase for everyone, no accounts; encryption on the wire is
// the work of a proxy in front, which the Secure cookie flag then follows.
package gate
