package booktest

import (
	"fmt"
	"time"

	"driftline/internal/book"
)

// samples are lines of every kind (new ones go to the end, for the databases in
// testdata hold the first of them) with every field of the log format. The tank
// is invented.
var samples = []string{
	`{"kind":"tank","at":"2025-01-01T09:00:00+01:00","name":"Harbour","system":"small-polyp stony","net_volume":410.50,"unit":"L","length":120,"width":60,"height":60,"length_unit":"cm","latitude":43.30,"longitude":-8.4,"time_zone":"Europe/Madrid","by":"Ana","note":"moved in"}`,
	`{"kind":"band","at":"2025-01-01T09:01:00+01:00","tank":"Harbour","quantity":"alkalinity","unit":"dKH","low":7.0,"aim":8,"high":9.5}`,
	`{"kind":"instrument","at":"2025-01-01T09:02:00+01:00","name":"drop kit","quantity":"alkalinity","method":"drop titration","unit":"dKH","resolution":0.3,"sd":0.2,"relative_sd":0.01,"bias_sd":0.25,"lower_limit":0.5}`,
	`{"kind":"substance","at":"2025-01-01T09:03:00+01:00","name":"soda","formula":"Na2CO3","purity":0.99,"form":"solid"}`,
	`{"kind":"substance","at":"2025-01-01T09:03:30+01:00","name":"magnesium liquor","contains":[{"quantity":"magnesium","value":47.80,"unit":"mg/mL"}],"form":"solution"}`,
	`{"kind":"mix","at":"2025-01-01T09:04:00+01:00","tank":"Harbour","name":"spring batch","volume":60,"unit":"L","composition":[{"quantity":"alkalinity","value":7.8,"unit":"dKH"},{"quantity":"calcium","value":425,"unit":"mg/L"}],"salt":"bench salt"}`,
	`{"kind":"routine","at":"2025-01-01T09:05:00+01:00","tank":"Harbour","name":"soda pump","action":"dose","substance":"soda","amount":4.5,"unit":"g","every_days":0.5,"from":"2025-01-02T00:00:00+01:00","until":"2026-01-02T00:00:00+01:00","automatic":true}`,
	`{"kind":"routine","at":"2025-01-01T09:05:30+01:00","tank":"Harbour","name":"Saturday change","action":"water change","volume":40,"unit":"L","mix":"spring batch","every_days":7,"from":"2025-01-04"}`,
	`{"kind":"equipment","at":"2025-01-01T09:06:00+01:00","tank":"Harbour","name":"return pump","type":"pump","properties":{"flow":{"value":3000,"unit":"L/h"},"spare":true}}`,
	`{"kind":"preference","at":"2025-01-01T09:07:00+01:00","name":"unit alkalinity","value":"meq/L"}`,
	`{"kind":"reading","at":"2025-01-05T19:30:00.250+01:00","tank":"harbour","quantity":"alkalinity","value":8.20,"unit":"dKH","instrument":"drop kit","sample_temperature":25.1,"temperature_unit":"°C","by":"Ana","note":"after \"feeding\"\nlights off"}`,
	`{"kind":"reading","at":"2025-01-05T19:31:00+01:00","tank":"Harbour","quantity":"phosphate","value":0.02,"unit":"mg/L PO4","below":true}`,
	`{"kind":"dose","at":"2025-01-05T20:00:00+01:00","tank":"Harbour","substance":"soda","amount":4.5,"unit":"g"}`,
	`{"kind":"water change","at":"2025-01-06T10:00:00+01:00","tank":"Harbour","volume":40,"unit":"L","mix":"spring batch","composition":[{"quantity":"alkalinity","value":7.9,"unit":"dKH"}]}`,
	`{"kind":"top-off","at":"2025-01-06T11:00:00+01:00","tank":"Harbour","volume":6,"unit":"L","substance":"soda","concentration":1.2}`,
	`{"kind":"feeding","at":"2025-01-06T12:00:00+01:00","tank":"Harbour","food":"mysids","amount":2,"unit":"cubes"}`,
	`{"kind":"harvest","at":"2025-01-06T13:00:00+01:00","tank":"Harbour","what":"green algae","wet_mass":120,"unit":"g"}`,
	`{"kind":"score","at":"2025-01-06T14:00:00+01:00","tank":"Harbour","sign":"film algae","value":2}`,
	`{"kind":"chore","at":"2025-01-06T15:00:00+01:00","tank":"Harbour","name":"glass cleaned"}`,
	`{"kind":"setting","at":"2025-01-06T16:00:00+01:00","tank":"Harbour","equipment":"return pump","property":"speed","value":70.0,"unit":"%"}`,
	`{"kind":"photo","at":"2025-01-06T17:00:00+01:00","tank":"Harbour","viewpoint":"front","file":"sha256-0000000000000000000000000000000000000000000000000000000000000000.jpg"}`,
	`{"kind":"trial","at":"2025-01-06T18:00:00+01:00","tank":"Harbour","hypothesis":"less light","arms":[{"name":"a","days":14.0}]}`,
	`{"kind":"animal","at":"2025-01-06T19:00:00+01:00","tank":"Harbour","name":"old goby","count":1}`,
	`{"kind":"note","at":"2025-01-06T20:00:00+01:00","note":"power cut, two hours"}`,
	`{"kind":"reading","at":"2025-01-05T19:30:00.250+01:00","tank":"harbour","quantity":"alkalinity","value":8.40,"unit":"dKH","instrument":"drop kit","replaces":"sample-10"}`,
	`{"kind":"void","at":"2025-01-06T21:00:00Z","replaces":"sample-11"}`,
	`{"kind":"note","at":"2025-01-06T22:00:00+00:00","tank":"Harbour","note":"unknown fields stay","below":false,"mood":{"b":1e3,"a":[null,"\u00b5"]},"by":null}`,
	`{"kind":"correction","at":"2025-01-06T20:10:00+01:00","tank":"Harbour","quantity":"magnesium","from":1281.5,"sd":21.0,"aim":1400,"unit":"mg/L","substance":"magnesium salts","most_a_day":50,"steps":[{"at":"2025-01-07T08:00:00+01:00","amount":120,"unit":"g","expected":1320,"sd":22},{"at":"2025-01-07T19:00:00+01:00","expected":1319,"sd":22},{"at":"2025-01-08T08:00:00+01:00","substance":"magnesium chloride","amount":40.5,"unit":"g"}]}`,
	`{"kind":"course","at":"2025-01-06T20:20:00+01:00","tank":"Harbour","name":"mat course","substance":"peroxide 3 %","amount":5.5,"unit":"mL","most":14,"every_hours":12,"from":"2025-01-07T08:00:00+01:00","days":10,"signs":["cyanobacteria"],"watch":["shrimps"],"stop":"shrimps lie on their sides","stop_when":[{"sign":"polyp extension","is":"at most","value":0,"times":2},{"quantity":"nitrate","is":"above","value":20.0,"unit":"mg/L NO3"}],"half_days":2}`,
	`{"kind":"course","at":"2025-01-06T20:21:00+01:00","tank":"Harbour","name":"dark days","action":"chore","chore":"lights kept off","every_hours":24,"days":3}`,
	`{"kind":"plan end","at":"2025-01-06T20:30:00+01:00","tank":"Harbour","plan":"sample-24","why":"clean after three days"}`,
	`{"kind":"dose","at":"2025-01-07T08:05:00+01:00","tank":"Harbour","substance":"magnesium salts","amount":120,"unit":"g","plan":"sample-23"}`,
	`{"kind":"stock","at":"2025-01-06T20:40:00+01:00","substance":"magnesium chloride","amount":1.5,"unit":"kg","added":true,"price":9.90,"currency":"EUR"}`,
	`{"kind":"plan resume","at":"2025-01-06T20:50:00+01:00","tank":"Harbour","plan":"sample-24","why":"they were only shy"}`,
	`{"kind":"trial","at":"2025-01-06T18:10:00+01:00","tank":"Harbour","name":"more flow","question":"Does more flow keep the glass clean?","change":"stream pump from 40 to 70 %","on":[{"from":"2025-02-01T08:00:00+01:00","until":"2025-03-01T08:00:00+01:00"},{"from":"2025-03-29T08:00:00+01:00"}],"ends":"2025-04-26T08:00:00+02:00","also_in":["Quay"],"comparison":["Harbour nursery"],"ramp_days":2,"settle_days":7.0,"outcomes":[{"what":"score","of":"film algae","hoped":"fall","matters":0.5,"every_days":3},{"what":"reading","of":"nitrate","unit":"mg/L NO3","hoped":"fall"}],"stop_when":[{"sign":"polyp extension","is":"at most","value":1,"times":2}],"drawn_from":"2025-01-25T08:00:00+01:00","drawn_until":"2025-02-14T08:00:00+01:00"}`,
	`{"kind":"food","at":"2025-01-06T18:20:00+01:00","name":"House mash","moisture":82,"protein":9.50,"phosphorus":0.2,"portion":"cube","portion_grams":3.2}`,
	`{"kind":"animal","at":"2025-01-06T18:30:00+01:00","tank":"Harbour","name":"slate chromis","what":"treated","species":"chromis","group":"fish","count":5,"size":4.0,"size_unit":"cm","mass":3.50,"mass_unit":"g","origin":"a friend's tank","price":60,"currency":"EUR","parent":"older school","to":"Quarantine","stage":"quarantine","cause":"not known","treatment":"as labelled","ordered_by":"the veterinarian","feeding":3,"breathing":1,"skin":0,"aggression":0,"open":4}`,
	`{"kind":"chore","at":"2025-01-07T09:00:00+01:00","tank":"Harbour","name":"refugium mud renewed","replaced":33,"lost":20.0}`,
	`{"kind":"absence","at":"2025-01-07T09:05:00+01:00","from":"2025-01-10T12:00:00+01:00","until":"2025-01-24T12:00:00+01:00","every_days":2,"minder":"Ilse","call":"Ilse 12345\nJo 54321","link":"5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f5f"}`,
	`{"kind":"instrument","at":"2025-01-07T09:10:00+01:00","name":"New drops","quantity":"calcium","method":"drop titration","expires":"2026-09-30T00:00:00Z"}`,
	`{"kind":"stock","at":"2025-01-07T09:12:00+01:00","substance":"Magnesium salt","amount":500,"unit":"g","expires":"2027-01-31T00:00:00Z"}`,
	`{"kind":"outline","at":"2025-01-07T10:00:00+01:00","tank":"Harbour","colony":"rose leather","photo":"sha256-0000000000000000000000000000000000000000000000000000000000000000.jpg","points":[[10,12],[40.50,15],[25,60]],"helped":true,"count":3}`,
	`{"kind":"scale","at":"2025-01-07T10:05:00+01:00","tank":"Harbour","viewpoint":"front","photo":"sha256-0000000000000000000000000000000000000000000000000000000000000000.jpg","points":[[10,12],[310,15]],"length":20.0,"unit":"cm"}`,
	`{"kind":"marks","at":"2025-01-07T10:10:00+01:00","tank":"Harbour","photo":"sha256-0000000000000000000000000000000000000000000000000000000000000000.jpg","reference":"sha256-0000000000000000000000000000000000000000000000000000000000000001.jpg","points":[[1,2,3,4],[9,2,11,4],[9,8,11,10],[1,8,3,10]]}`,
}

// SampleTexts are lines of every kind with every field, as AppendJSON writes them.
func SampleTexts() []string {
	texts := make([]string, len(samples))
	for i, s := range samples {
		texts[i] = withID(s, i)
	}
	return texts
}

// withID puts the id where AppendJSON does, before unknown fields.
func withID(s string, i int) string {
	l, err := book.ParseLine([]byte(s))
	if err != nil {
		return s
	}
	l.ID = fmt.Sprintf("sample-%d", i)
	text, err := book.AppendJSON(nil, l)
	if err != nil {
		return s
	}
	return string(text)
}

// Samples are the lines of SampleTexts.
func Samples() ([]book.Line, error) {
	var lines []book.Line
	for _, s := range SampleTexts() {
		l, err := book.ParseLine([]byte(s))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s, err)
		}
		lines = append(lines, l)
	}
	return lines, nil
}

// Now is a moment after all sample lines.
var Now = time.Date(2025, 2, 1, 12, 0, 0, 0, time.UTC)
