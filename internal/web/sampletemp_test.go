package web

import (
	"net/http"
	"testing"

	"driftline/internal/book"
)

// The temperature of a sample is kept with a figure that hangs on it, and only
// then: the question is out of the way beside other units.
func TestSampleTemperatureOfASalinity(t *testing.T) {
	base := with2("id.salinity", "019b7805-0000-7000-8000-00000000ee11", "sample-unit.salinity", "°F")
	for _, c := range []struct {
		name, words string
		fields      []string
	}{
		{"specific gravity", "salinity 1.0245 SG 20/20 at 68 °F", []string{"value.salinity", "1.0245", "unit.salinity", "SG 20/20", "sample.salinity", "68"}},
		{"conductivity", "salinity 51.2 mS/cm at 68 °F", []string{"value.salinity", "51.2", "unit.salinity", "mS/cm", "sample.salinity", "68"}},
		{"not asked of", "salinity 1.0245 SG 20/20", []string{"value.salinity", "1.0245", "unit.salinity", "SG 20/20", "sample.salinity", ""}},
		{"a unit that does not hang on it", "salinity 34.1 PSU", []string{"value.salinity", "34.1", "unit.salinity", "PSU", "sample.salinity", "68"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newSite(t, harbour)
			lines := s.added(func() {
				if got := s.post("/read/harbour", append(append([]string(nil), base...), c.fields...)...); got.status != http.StatusSeeOther {
					t.Fatalf("status %d: %s", got.status, wrongs(parsePage(t, got.body)))
				}
			})
			if len(lines) != 1 || describe(lines[0]) != c.words {
				t.Fatalf("stored %d lines, the first %q, want %q", len(lines), describe(lines[0]), c.words)
			}
			if page := s.page("/read/harbour"); len(page.all("#sample-salinity")) != 1 || len(page.all("#sample-alkalinity")) != 0 {
				t.Error("the question stands beside the wrong quantities")
			}
		})
	}
}

func TestSampleTemperatureThatIsNone(t *testing.T) {
	s := newSite(t, harbour)
	lines := s.added(func() {
		got := s.post("/read/harbour", with2("value.salinity", "1.0245", "unit.salinity", "SG 20/20", "sample.salinity", "warm", "sample-unit.salinity", "°C")...)
		if got.status != http.StatusUnprocessableEntity || len(soundPage(t, got.body).all("input[value=warm]")) != 1 {
			t.Errorf("status %d: %s", got.status, wrongs(parsePage(t, got.body)))
		}
	})
	if len(lines) != 0 {
		t.Errorf("%d lines were stored, want none", len(lines))
	}
}

// A correction keeps the sample's temperature, and can change it.
func TestSampleTemperatureIsCorrected(t *testing.T) {
	const id = "019b7805-0000-7000-8000-00000000aa01"
	s := newSite(t, harbour+`{"kind":"reading","at":"2026-03-01T09:00:00Z","tank":"harbour","quantity":"salinity","value":1.0250,"unit":"SG 25/25","sample_temperature":22,"temperature_unit":"°C","id":"`+id+`"}`+"\n")
	if n := len(s.page("/log/" + id).all("input[name=sample_temperature][value=22]")); n != 1 {
		t.Fatalf("the line's form holds the sample's temperature %d times", n)
	}
	lines := s.added(func() {
		s.post("/log/"+id+"/correct", "id", "019b7805-0000-7000-8000-00000000aa02", "quantity", "salinity", "value", "1.0250", "unit", "SG 25/25",
			"sample_temperature", "24", "temperature_unit", "°C", "at.date", "2026-03-01", "at.time", "09:00")
	})
	if len(lines) != 1 || lines[0].Body.(*book.Reading).SampleTemperature != "24" {
		t.Fatalf("the correction stored %+v", lines)
	}
}
