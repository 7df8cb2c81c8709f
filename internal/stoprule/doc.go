// Package stoprule answers whether what was logged of a tank says that a plan
// must stop: a sign scored, or a quantity read, at or beyond a value so many
// times running.
//
// Model: a rule looks at the scores or readings of its one sign or quantity from
// a moment on, in order of time. It has fired as soon as so many of them running
// held, and stays fired until the keeper says to go on, which moves that moment.
// A reading under its kit's limit is known only to be below the limit.
//
// Readings are taken as they were typed: a likely misread fires too, since to
// stop and test again costs little. Rules are not sought out or judged here, nor
// is anything about statistics: whoever plans a course or a trial brings its own.
package stoprule
