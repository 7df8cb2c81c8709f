// Package web answers: what does the keeper see and type in a browser?
//
// Model: pages made on the server from what the rooms below say, one typed
// struct a page and one file a screen, rendered whole before a byte is sent.
// Every form becomes lines of the public log format and goes through the same
// parser and checks as an import, so a form can store nothing that an import
// could not. Scripts only help: live words, a key pad, keeping typed values
// through a lost connection, reading a picture by pointer.
//
// Limits: no formulas and no storage here; one passphrase for all visitors.
package web
