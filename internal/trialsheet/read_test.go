package trialsheet_test

import (
	"math"
	"strings"
	"testing"

	"driftline/internal/trialsheet"
)

func TestRead(t *testing.T) {
	for name, text := range map[string]string{
		"commas":     "time,value,group\n2026-03-01,8.2,treated\n2026-03-01,8.4,comparison\n",
		"semicolons": "time;value;group\n2026-03-01;8,2;treated\n2026-03-01;8,4;Control\n",
		"tabs, mark": "\ufefftime\tvalue\tgroup\r\n2026-03-01T00:00:00Z\t8.2\ttreated\r\n2026-03-01\t8.4\tcomparison\r\n",
	} {
		got, err := trialsheet.Read(strings.NewReader(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(got.Treated) != 1 || len(got.Comparison) != 1 || got.Treated[0].Value != 8.2 || got.Comparison[0].Value != 8.4 || !got.Treated[0].At.Equal(got.Comparison[0].At) {
			t.Errorf("%s: %+v", name, got)
		}
	}
}

func TestReadRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                                       "empty",
		"value,group\n1,treated\n":               "column time",
		"time,value,tank\n":                      `column "tank"`,
		"time,value\n":                           "no figure",
		"time,value\n2026-03-01,wet\n":           "line 2: value",
		"time,value\n01/03/2026,1\n":             "line 2: time",
		"time,value\n1,2\n2026-03-01,3\n":        "line 3: time",
		"time,value\n1,2\n2,NaN\n":               "line 3: value",
		"time,value,group\n1,2,other\n":          "line 2: group",
		"time,value,open\n1,2,perhaps\n":         "line 2: open",
		"time,value\n1,2,3\n":                    "wrong number of fields",
		"time,value,known\n1,2,\"three\"\n":      "line 2: known",
		"time,value\n\"1\n2,3\n":                 "line",
		"time,value,group\n1,2,comparison\n":     "treated",
		"time,value\n999999999,1\n":              "line 2: time",
		"time,value\n1,1e300\n":                  "line 2: value",
		"time,value\n2026-03-01,1\n\n2026-3-2,1": "time",
	} {
		_, err := trialsheet.Read(strings.NewReader(text))
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want something about %q", text, err, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add("time,value,group\n2026-03-01,8.2,treated\n2026-03-02,8.4,comparison\n")
	f.Add("time;value;open;known\n1;8,2;yes;0,1\n-3.5;1;no;\n")
	f.Add("\ufefftime\tvalue\n\"2026-03-01 08:30\"\t1e3\n")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := trialsheet.Read(strings.NewReader(text))
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n") && !strings.Contains(text, "\n") {
				t.Errorf("an error of more than one line: %q", err)
			}
			return
		}
		for _, p := range append(got.Treated, got.Comparison...) {
			if math.IsNaN(p.Value) || math.IsInf(p.Value, 0) || p.At.IsZero() {
				t.Errorf("took %+v", p)
			}
		}
	})
}
