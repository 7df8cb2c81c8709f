// Package prose answers how a phrase becomes part of a sentence: with a capital
// where it begins one, without where it follows on.
//
// It knows the names of the trade that keep their own case (pH), and nothing
// else: words are chosen where they are said.
package prose
