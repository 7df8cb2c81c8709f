package browsertest

import (
	"os"
	"strings"
	"testing"
)

// findings asks axe-core for what hinders people, and keeps what is serious.
// Axe knows the Web Content Accessibility Guidelines 2.2; its own impact word
// says how much a finding hinders.
const findings = `axe.run(document, {resultTypes: ["violations"]}).then(r => r.violations
	.filter(v => v.impact === "serious" || v.impact === "critical")
	.map(v => v.impact + " " + v.id + ": " + v.help + "\n    " + v.nodes.slice(0, 4).map(n =>
		n.target.join(" ") + "\n    " + n.html.slice(0, 200) + "\n    " + n.failureSummary.replaceAll("\n", "\n    ")).join("\n    ")))`

// axe reads axe-core, or skips the test where it is not to be had.
func axe(t *testing.T) string {
	t.Helper()
	file := os.Getenv("DRIFTLINE_AXE")
	if file == "" {
		need(t, "DRIFTLINE_AXE names no axe.min.js")
	}
	text, err := os.ReadFile(file)
	if err != nil {
		need(t, "axe-core cannot be read: "+err.Error())
	}
	return string(text)
}

// audit fails the test for each serious finding on the page that is open.
func (b *tab) audit(axe, where string) {
	b.Helper()
	js[int](b, axe+"\n;0")
	for _, f := range js[[]string](b, findings) {
		b.Errorf("%s: %s", where, f)
	}
}

// fits fails the test when the page is wider than the screen.
func (b *tab) fits(s screen, where string) {
	b.Helper()
	wide := js[[]string](b, `(() => {
		const width = document.documentElement.clientWidth;
		if (document.documentElement.scrollWidth <= width) return [];
		return [...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > width + 1)
			.slice(0, 5).map(e => e.tagName.toLowerCase() + "." + e.className + " reaches " + Math.round(e.getBoundingClientRect().right));
	})()`)
	if len(wide) > 0 {
		b.Errorf("%s: wider than %d px: %s", where, s.width, strings.Join(wide, ", "))
	}
}
