// Package browsertest lets a real browser use the pages as a keeper would.
//
// Question: do first use, the rounds, entering and correcting a reading, the
// charts and a lost connection work in a browser, at phone and desktop size, by
// finger, pointer and keyboard, and can everyone use them?
//
// Model: each test serves a book of its own and drives Debian's Chromium over
// the DevTools protocol. A message in the browser's console fails the test.
// Accessibility is judged by axe-core: no serious or critical finding.
//
// Limits: one browser. Without a browser or axe-core the tests are skipped with
// a word, unless DRIFTLINE_REQUIRE_BROWSER is set. DRIFTLINE_CHROMIUM and
// DRIFTLINE_AXE name the browser and the file axe.min.js.
package browsertest
