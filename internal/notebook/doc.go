// Package notebook writes a trial down on one page: the question, the plan as it
// stood before the change with its time stamp, what departed from it, the figures,
// the picture and the result. The same page stands in the web pages, is printed,
// and is saved as one file that needs nothing else, with its figures inside, so
// that another keeper can judge it.
//
// Model: a page is a pure function of a report. A trial that is running shows its
// figures and no answer.
//
// Limits: figures of further treated tanks are in the answer but not in the
// picture, which shows the first.
package notebook
