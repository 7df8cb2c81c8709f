// Package calendar answers what is to be done on which day, over all tanks: hand
// routines with all their turns, what the rounds ask for and what they see coming,
// upkeep, the way in of animals, dates on labels, and absences. It also writes that as
// an iCalendar stream (RFC 5545), which any calendar program can subscribe to.
//
// Model: the first turn of a thing is the one the rounds tell; a hand routine goes on
// from there by its interval. What is overdue stands on today. Machines are listed
// apart: nobody has to do anything for them.
//
// Limits: a test is placed where its risk asks for it as of today, and moves as the
// water does; of a correction or a course only the next step is known to be right, so
// only that is shown. 30 days at most.
package calendar
