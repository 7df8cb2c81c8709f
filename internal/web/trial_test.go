package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
)

// scored is a hundred days of film in the harbour, every third day.
func filmScores() string {
	var b strings.Builder
	for i := range 33 {
		at := time.Date(2025, 12, 12, 9, 0, 0, 0, time.UTC).AddDate(0, 0, 3*i)
		fmt.Fprintf(&b, `{"kind":"score","at":%q,"tank":"harbour","sign":"film","value":%d,"id":"019b7805-0000-7000-8000-0000000002%02d"}`+"\n", at.Format(time.RFC3339), 1+(i*i/3)%3, i)
	}
	b.WriteString(`{"kind":"score","at":"2026-03-10T09:00:00Z","tank":"harbour","sign":"polyp extension","value":3}` + "\n")
	return b.String()
}

const newTrialQuery = newTrialPath + "?tank=harbour&name=more+flow&question=Less+film%3F&change=pump+to+80+%25&from=2026-03-21&watch1=score%3Afilm&hoped1=fall&matters1=0,5&every1=3"

func TestATrialFromPlanToEnd(t *testing.T) {
	s := newSite(t, harbour+harbourReadings()+filmScores())
	page := s.page(newTrialQuery)
	for _, want := range []string{"of 100 such trials", "four of five such trials", "hoped to fall by 0.5 points", "No other tank is left as it is", "polyp extension"} {
		if !strings.Contains(page.text(), want) {
			t.Errorf("the plan lacks %q: %s", want, page.text())
		}
	}
	if part := s.get(newTrialQuery + "&part=findings"); strings.Contains(part.body, "<html") || !strings.Contains(part.body, "Write the trial down") {
		t.Errorf("the part alone is %s", words200(part.body))
	}
	accept := tapOf(t, page, newTrialPath)
	lines := s.added(func() { s.post(newTrialPath, accept...) })
	if again := s.added(func() { s.post(newTrialPath, accept...) }); len(lines) != 1 || len(again) != 0 {
		t.Fatalf("%d lines, then %d", len(lines), len(again))
	}
	b := lines[0].Body.(*book.Trial)
	if b.Change != "pump to 80 %" || b.SettleDays != "7" || len(b.StopWhen) != 1 || b.Outcomes[0].Matters != "0.5" || b.Ends.Format(time.DateOnly) != "2026-05-16" {
		t.Errorf("%+v", b)
	}
	path := trialPath(lines[0].ID)
	if text := s.page("/").text(); !strings.Contains(text, "Score film, harbour") || !strings.Contains(text, "trial more flow") {
		t.Errorf("the rounds: %s", text)
	}
	if text := s.page(path).text(); !strings.Contains(text, "It has not begun") || !strings.Contains(text, "Left as they are") && strings.Contains(text, "Helped") {
		t.Errorf("before it begins: %s", text)
	}
	if text := s.page(trialsPath).text(); !strings.Contains(text, "planned") || !strings.Contains(text, "More flow") {
		t.Errorf("the list: %s", text)
	}
	if text := s.page(linePath(lines[0].ID)).text(); !strings.Contains(text, "Watched: Film, scored 0 to 4, hoped to fall by 0.5 points or more") {
		t.Errorf("its line: %s", text)
	}
	saved := s.get(path + "/notebook.html")
	if saved.status != http.StatusOK || !strings.Contains(saved.header.Get("Content-Disposition"), "trial-more-flow.html") || !strings.Contains(saved.body, "time,value,group") {
		t.Errorf("the file: %d, %s", saved.status, saved.header.Get("Content-Disposition"))
	}
	ended := s.added(func() { s.post(path+"/end", append(tapOf(t, s.page(path), path+"/end"), "why", "the pump broke")...) })
	if len(ended) != 1 || ended[0].Body.(*book.PlanEnd).Why != "the pump broke" {
		t.Fatalf("%+v", ended)
	}
	if text := s.page(path).text(); !strings.Contains(text, "the pump broke") || strings.Contains(text, "End the trial now") {
		t.Errorf("ended: %s", text)
	}
}

// A rule that fires is told on the trial's page, and it can go on.
func TestAStoppedTrial(t *testing.T) {
	s := newSite(t, harbour+filmScores()+`{"kind":"trial","id":"019b7805-0000-7000-8000-000000000301","at":"2026-03-01T08:00:00Z","tank":"harbour","name":"more flow","change":"pump to 80 %","on":[{"from":"2026-03-05T00:00:00Z"}],"ends":"2026-05-05T00:00:00Z","outcomes":[{"what":"score","of":"film","hoped":"fall","matters":0.5,"every_days":3}],"stop_when":[{"sign":"polyp extension","is":"at most","value":1,"times":2}]}
{"kind":"score","at":"2026-03-18T09:00:00Z","tank":"harbour","sign":"polyp extension","value":1}
{"kind":"score","at":"2026-03-19T09:00:00Z","tank":"harbour","sign":"polyp extension","value":0}
`)
	path := trialPath("019b7805-0000-7000-8000-000000000301")
	page := s.page(path)
	if !strings.Contains(page.text(), "the change comes off. It is pump to 80 %") {
		t.Errorf("stopped: %s", page.text())
	}
	if text := s.page("/").text(); !strings.Contains(text, "Stop: polyp extension") {
		t.Errorf("the rounds: %s", text)
	}
	if text := s.page(path + "?peek=true").text(); !strings.Contains(text, "Peeked at, no verdict") || !strings.Contains(text, "at all looks together") {
		t.Errorf("peeked: %s", text)
	}
	s.post(path+"/resume", tapOf(t, page, path+"/resume")...)
	if text := s.page(path).text(); strings.Contains(text, "the change comes off") || !strings.Contains(text, "It is running") {
		t.Errorf("gone on: %s", text)
	}
}

func TestTheLotFallsWhenTheTrialIsWritten(t *testing.T) {
	s := newSite(t, harbour+filmScores())
	page := s.page(newTrialQuery + "&draw=30")
	if !strings.Contains(page.text(), "The start is drawn from 30 days") {
		t.Errorf("%s", page.text())
	}
	lines := s.added(func() { s.post(newTrialPath, tapOf(t, page, newTrialPath)...) })
	if len(lines) != 1 {
		t.Fatalf("%d lines", len(lines))
	}
	b := lines[0].Body.(*book.Trial)
	day := b.On[0].From.Sub(*b.DrawnFrom).Hours() / 24
	if b.DrawnUntil.Sub(*b.DrawnFrom).Hours()/24 < 28.9 || day < 0 || day > 29.1 {
		t.Errorf("drawn %v days after %v, until %v", day, b.DrawnFrom, b.DrawnUntil)
	}
}

// One sentence for each fault, in its place, and nothing written.
func TestFaultsOfATrial(t *testing.T) {
	s := newSite(t, harbour+filmScores())
	with := func(change ...string) string {
		q, _ := url.ParseQuery(strings.TrimPrefix(newTrialQuery, newTrialPath+"?"))
		for i := 0; i < len(change); i += 2 {
			q.Set(change[i], change[i+1])
		}
		return newTrialPath + "?" + q.Encode()
	}
	for want, address := range map[string]string{
		"weeks measured are “many”":       with("weeks", "many"),
		"expected a number from 1 to 104": with("weeks", "1000"),
		"matters, “-1”, is not a number":  with("matters1", "-1"),
		"is not a ratio above 1":          with("watch1", "interval:glass", "matters1", "0.5"),
		"days between looks, “0”":         with("every1", "0"),
		"The day the change comes":        with("from", "someday"),
		"film ?":                          with("rules", "film ?"),
		"Choose what is to be watched":    with("watch1", ""),
		"Nothing can be said":             with("watch1", "reading:nitrate"),
	} {
		page := s.page(address)
		if text := page.text(); !strings.Contains(text, want) {
			t.Errorf("%s: %q is missing in %s", address, want, text)
		}
	}
	fields := []string{"tank", "harbour", "change", "x", "from", "2026-03-21", "watch1", "score:film"}
	added := s.added(func() {
		if r := s.post(newTrialPath, fields...); r.status != http.StatusUnprocessableEntity || !strings.Contains(r.body, "has no name") {
			t.Errorf("no name: %d", r.status)
		}
		if r := s.post(newTrialPath, append(fields, "name", strings.Repeat("x", 5000))...); r.status != http.StatusUnprocessableEntity {
			t.Errorf("a name of 5,000 letters: %d", r.status)
		}
	})
	if len(added) != 0 {
		t.Errorf("%d lines written", len(added))
	}
	for _, address := range []string{"/trial/none", "/trial/none/notebook.html"} {
		if r := s.get(address); r.status != http.StatusNotFound {
			t.Errorf("%s: %d", address, r.status)
		}
	}
}
