// Package rehearsal makes tanks that never were, to learn how far the program
// can be trusted. It answers: when a forecast says 80 %, does it happen in 80
// of 100 tanks, and is it better than looking at the last reading?
//
// Model: a mass balance of alkalinity, calcium, magnesium, nitrate, phosphate
// and salinity, stepped in two-hour steps by the midpoint rule, under a keeper
// with kits, pumps, salt mixes, holidays and bad days of their own. What the
// keeper sees is written as lines of a book; the true levels are kept apart.
// The tanks know nothing of the engine that is judged by them.
//
// Sources: calcification and its ratios from Murillo, Jokiel & Atkinson 2014
// and the 2:1 rule of Smith & Key 1975; nitrogen and alkalinity from the
// charge balance; magnitudes of demand, kits and care are common practice, no
// source. Scores: Bracher, Ray, Gneiting & Reich 2021, weighted interval score.
//
// Limits: water is well mixed; no animal dies of it; trace elements, organic
// matter and carbon dioxide are left out; pH and temperature are drawn, not
// computed.
package rehearsal
