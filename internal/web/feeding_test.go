package web

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// fedHarbour is a harbour with nitrate and phosphate readings, a feeder and meals by
// hand until so many days before now.
func fedHarbour(days int) string {
	var b strings.Builder
	start := time.Date(2025, 12, 1, 8, 0, 0, 0, time.UTC)
	fmt.Fprintf(&b, `{"kind":"routine","at":%q,"tank":"harbour","name":"feeder","action":"feeding","food":"dry pellets","amount":0.25,"unit":"g","every_days":0.25,"from":%q,"automatic":true}`+"\n", start.Format(time.RFC3339), start.Format(time.RFC3339))
	for d := range days {
		at := start.AddDate(0, 0, d)
		if d%4 == 0 {
			fmt.Fprintf(&b, `{"kind":"reading","at":%q,"tank":"harbour","quantity":"nitrate","value":%d,"unit":"mg/L NO3"}`+"\n", at.Format(time.RFC3339), 6+d%3)
			fmt.Fprintf(&b, `{"kind":"reading","at":%q,"tank":"harbour","quantity":"phosphate","value":0.05,"unit":"mg/L PO4"}`+"\n", at.Format(time.RFC3339))
		}
		fmt.Fprintf(&b, `{"kind":"feeding","at":%q,"tank":"harbour","food":"frozen mysis","amount":2,"unit":"g","by":"Ana"}`+"\n", at.Add(9*time.Hour).Format(time.RFC3339))
	}
	return b.String()
}

func TestAMealInTwoTaps(t *testing.T) {
	s := newSite(t, harbour+fedHarbour(80))
	tank := s.get("/tank/harbour")
	if !strings.Contains(tank.body, "/feeding/harbour") {
		t.Fatal("the tank's page does not lead to its feeding")
	}
	before := s.page("/feeding/harbour")
	var meal map[string]string
	for _, form := range before.all("form") {
		if form.attrs["action"] == "/write/harbour/feeding" {
			meal = map[string]string{}
			for _, in := range form.all("input") {
				meal[in.attrs["name"]] = in.attrs["value"]
			}
			break
		}
	}
	if meal["food"] != "frozen mysis" || meal["amount"] != "2" || meal["unit"] != "g" {
		t.Fatalf("the usual meal is offered as %v", meal)
	}
	var sent []string
	for k, v := range meal {
		sent = append(sent, k, v)
	}
	if r := s.post("/write/harbour/feeding", sent...); r.status != 303 || !strings.HasPrefix(r.header.Get("Location"), "/feeding/harbour") {
		t.Fatalf("%d to %s", r.status, r.header.Get("Location"))
	}
	// Sent twice it is one meal, and whoever comes second sees that it was done.
	s.post("/write/harbour/feeding", sent...)
	after := s.page("/feeding/harbour").text()
	if !strings.Contains(after, "Fed by hand once today") || !strings.Contains(after, "nitrogen") {
		t.Errorf("after a meal: %s", after)
	}
}

// Whether the fish are growing is one tap, and said again.
func TestGrowingStock(t *testing.T) {
	s := newSite(t, harbour+fedHarbour(80))
	if r := s.post("/feeding/harbour/stock", "growing", "perhaps"); r.status == 303 {
		t.Errorf("perhaps is taken: %d", r.status)
	}
	for _, tap := range []struct{ says, growing string }{{"grown ones", "yes"}, {"growing ones", "no"}, {"grown ones", "yes"}} {
		if text := s.page("/feeding/harbour").text(); !strings.Contains(text, "are taken for "+tap.says) {
			t.Errorf("expected %q", tap.says)
		}
		if r := s.post("/feeding/harbour/stock", "growing", tap.growing); r.status != 303 {
			t.Fatalf("%s: %d", tap.growing, r.status)
		}
	}
}

// A plan of feeding is a panel beside going on for each of the two nutrients; what
// cannot be followed is refused in a sentence.
func TestFeedingPlans(t *testing.T) {
	s := newSite(t, harbour+fedHarbour(80))
	for query, panels := range map[string]int{"": 0, "times=1,5": 4, "grams=1&food=nori": 4, "fish=5&each=4": 4, "harvest=100&share=10": 6} {
		n := 0
		for _, svg := range s.page("/feeding/harbour?" + query).all("svg") {
			if strings.Contains(svg.attrs["class"], "panel") {
				n++
			}
		}
		if n != panels {
			t.Errorf("%q: %d panels, want %d", query, n, panels)
		}
	}
	for _, bad := range []string{"times=-1", "grams=2&food=moonstone", "fish=5", "times=1&harvest=1&share=1&fish=1&each=1"} {
		text := s.page("/feeding/harbour?" + bad).text()
		if !strings.Contains(text, "cannot be followed") && !strings.Contains(text, "nobody has said") && !strings.Contains(text, "too many to compare") {
			t.Errorf("%q is not refused", bad)
		}
	}
	part := s.get("/feeding/harbour?part=findings&times=2")
	if strings.Contains(part.body, "<html") || !strings.Contains(part.body, "Food 2 times") {
		t.Errorf("the part alone: %s", words200(part.body))
	}
}

func TestAFoodByItsLabel(t *testing.T) {
	s := newSite(t, harbour)
	label := []string{"name", "house mash", "moisture", "82", "portion", "cube", "portion_grams", "3.2", "protein"}
	when := []string{"at.date", "2026-03-14", "at.time", "08:00"}
	var r reply
	lines := s.added(func() { r = s.post("/settings/declare/food", append(append(label, "9.5"), when...)...) })
	if r.status != 303 || len(lines) != 1 || describe(lines[0]) != "food house mash" {
		t.Errorf("%d, %v", r.status, lines)
	}
	if r := s.post("/settings/declare/food", append(append(label, "60"), when...)...); r.status == 303 || !strings.Contains(r.body, "more than 100") {
		t.Errorf("60 %% protein in 82 %% water: %d", r.status)
	}
}
