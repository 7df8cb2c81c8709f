package notebook_test

import (
	"html"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/internal/notebook"
	"driftline/internal/rehearsal"
	"driftline/internal/standing"
	"driftline/internal/trial"
	"driftline/internal/trialsheet"
)

var now = time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC)

func reports(t *testing.T) map[string]trial.Report {
	t.Helper()
	lines := rehearsal.Demo(now)
	f := book.Replay(lines, now)
	desk := standing.NewDesk()
	out := map[string]trial.Report{}
	for _, tr := range trial.All(f, now) {
		out[tr.Plan.Name] = trial.Work(desk, f, tr.WithHistory(lines), now)
	}
	return out
}

var figures = regexp.MustCompile(`(?s)<pre class="figures"[^>]*>(.*?)</pre>`)

// What is saved is enough to judge the trial: the figures in the file, read as a
// table and asked anew, give the file's answer.
func TestASavedTrialCanBeJudged(t *testing.T) {
	for name, r := range reports(t) {
		page, err := notebook.Save(r, nil, time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		tables := figures.FindAllStringSubmatch(string(page), -1)
		if len(tables) != len(r.Findings) {
			t.Fatalf("%s: %d tables for %d outcomes", name, len(tables), len(r.Findings))
		}
		for i, f := range r.Findings {
			table, err := trialsheet.Read(strings.NewReader(html.UnescapeString(tables[i][1])))
			if err != nil {
				t.Fatalf("%s, %s: %v", name, f.Label, err)
			}
			if len(table.Treated) != len(f.Ask.Treated) || len(table.Comparison) != len(f.Ask.Comparison) {
				t.Fatalf("%s, %s: %d and %d figures, want %d and %d", name, f.Label, len(table.Treated), len(table.Comparison), len(f.Ask.Treated), len(f.Ask.Comparison))
			}
			ask := f.Ask
			ask.Treated, ask.Comparison = table.Treated, table.Comparison
			got, err := effect.Analyse(ask)
			if (err != nil) != (f.Missing != "") {
				t.Fatalf("%s, %s: %v, want %q", name, f.Label, err, f.Missing)
			}
			if math.Abs(got.Effect-f.Result.Effect) > 1e-6 || math.Abs(got.P-f.Result.P) > 1e-6 {
				t.Errorf("%s, %s: %v (p %v) from the file, %v (p %v) in it", name, f.Label, got.Effect, got.P, f.Result.Effect, f.Result.P)
			}
		}
	}
}

var fetching = regexp.MustCompile(`<(script|link|img|iframe|object|embed|base)\b[^>]*>|\b(href|src|action)="[^#"][^"]*"`)

// The file needs nothing from elsewhere and runs nothing.
func TestASavedTrialStandsAlone(t *testing.T) {
	for name, r := range reports(t) {
		page, err := notebook.Save(r, nil, time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		for _, tag := range fetching.FindAllString(string(page), -1) {
			t.Errorf("%s: %s in the file", name, tag)
		}
		if strings.Contains(string(page), "url(") || strings.Contains(string(page), "@import") {
			t.Errorf("%s: the style sheet fetches something", name)
		}
		if len(page) > 400_000 {
			t.Errorf("%s: %d bytes", name, len(page))
		}
	}
}

func TestWhatStandsOnThePage(t *testing.T) {
	all := reports(t)
	text := func(name string) string {
		body, err := notebook.Body(all[name], nil, time.UTC)
		if err != nil {
			t.Fatal(err)
		}
		return string(body)
	}
	for name, want := range map[string][]string{
		"more flow behind the arch":     {"Helped.", "flow pump from 70 to 90 %", "Prep room", "As it was written on", "hoped to fall by 0.5 points", "what it came to", "ran parallel"},
		"the same mysis in small meals": {"Can&#39;t tell yet.", "Nothing was left as it was", "mg/L NO3"},
		"plankton after dark":           {"shade net", "can&#39;t be told apart"},
		"prefilter rinsed twice a week": {"no verdict before its end"},
	} {
		page := text(name)
		for _, w := range want {
			if !strings.Contains(strings.ToLower(page), strings.ToLower(w)) {
				t.Errorf("%s: %q is missing", name, w)
			}
		}
	}
	running := text("prefilter rinsed twice a week")
	for _, never := range []string{"Helped", "Hurt", "95 % interval", "what it came to", `class="ribbon"`} {
		if strings.Contains(running, never) {
			t.Errorf("a running trial shows %q", never)
		}
	}
}

// What a keeper typed is text on the page, whatever it looks like.
func TestTypedMarkupIsText(t *testing.T) {
	r := reports(t)["more flow behind the arch"]
	plan := *r.Trial.Plan
	plan.Name, plan.Question, plan.Change = "<script>alert(1)</script>", `"><img src=x onerror=alert(2)>`, "</style><b>"
	plan.Comparison = []string{"<i>"}
	r.Trial.Plan, r.Trial.Versions = &plan, nil
	page, err := notebook.Save(r, nil, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{"<script>", "<img", "</style><b>", "<i>"} {
		if strings.Contains(string(page), bad) {
			t.Errorf("%s stands in the page as markup", strconv.Quote(bad))
		}
	}
}
