// Package booktest is the suite that every store of a book must pass, with
// sample lines of every kind and a source of random ones. A new store adds a
// function that opens an empty one:
//
//	func TestStore(t *testing.T) { booktest.Run(t, openEmpty) }
package booktest
