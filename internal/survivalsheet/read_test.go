package survivalsheet_test

import (
	"reflect"
	"strings"
	"testing"

	"driftline/internal/survivalsheet"
	"driftline/stats"
)

func TestRead(t *testing.T) {
	for name, text := range map[string]string{
		"plain":       "time,event,group\n30,1,shelf\n400,0,quarantined\n12.5,1,shelf\n",
		"semicolons":  "\ufeffGroup;Time;Event\r\nshelf;30;yes\r\nquarantined;400;no\r\nshelf;12,5;1\r\n",
		"tabs, blank": "time\tevent\tgroup\n30\t1\tshelf\n\n400\tFALSE\tquarantined\n12.5\ttrue\tshelf\n",
	} {
		got, err := survivalsheet.Read(strings.NewReader(text))
		want := []survivalsheet.Group{{"quarantined", []stats.Lifetime{{Time: 400}}}, {"shelf", []stats.Lifetime{{Time: 30, Event: true}, {Time: 12.5, Event: true}}}}
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, %v", name, got, err)
		}
	}
	if got, err := survivalsheet.Read(strings.NewReader("event,time\n1,3\n0,4\n")); err != nil || len(got) != 1 || got[0].Name != "" || len(got[0].Lives) != 2 {
		t.Errorf("without groups: %+v, %v", got, err)
	}
	for want, text := range map[string]string{
		"the table is empty":             "",
		"lacks the column event":         "time,group\n1,a\n",
		`the column "died" is not known`: "time,died\n1,1\n",
		"no animal":                      "time,event\n",
		`line 3: event "2"`:              "time,event\n1,1\n2,2\n",
		`line 2: time "-1"`:              "time,event\n-1,1\n",
		`line 2: time "soon"`:            "time,event\nsoon,1\n",
		`line 2: time "NaN"`:             "time,event\nNaN,1\n",
		"line 2":                         "time,event\n1,1,a,b\n",
	} {
		if _, err := survivalsheet.Read(strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q in it", text, err, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{"time,event,group\n30,1,a\n", "time;event\n1,5;0\n", "", "time,event\n\"1,1\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		groups, err := survivalsheet.Read(strings.NewReader(text))
		if err != nil {
			return
		}
		for _, g := range groups {
			if _, err := stats.KaplanMeier(g.Lives); err != nil {
				t.Errorf("%q passes, yet %v", text, err)
			}
		}
	})
}
