package web

import (
	"net/http"
	"slices"

	"driftline/internal/web/assets"
)

const importPath = "/settings/book/import"

// handler answers a request or says why it could not.
type handler func(w http.ResponseWriter, r *http.Request) error

// route is an address and what answers there.
type route struct {
	pattern string
	answer  handler
}

// routes is the table of contents of the pages.
func (s *Server) routes() http.Handler {
	mux := http.NewServeMux()
	for _, row := range slices.Concat(s.bookRoutes(), s.planRoutes(), s.linkRoutes()) {
		mux.HandleFunc(row.pattern, s.answer(row.answer))
	}
	mux.Handle("GET "+assets.Prefix, s.assets)
	mux.HandleFunc("/", s.answer(func(http.ResponseWriter, *http.Request) error { return missing("There is no such page.") }))
	return mux
}

// bookRoutes are what there is to see and to write down.
func (s *Server) bookRoutes() []route {
	return []route{
		{"GET /{$}", s.rounds},
		{"GET /begin", s.begin},
		{"POST /begin/tank", s.beginTank},
		{"POST /begin/kit", s.beginKit},
		{"POST /begin/reading", s.beginReading},

		{"GET /tank/{tank}", s.tank},
		{"GET /tank/{tank}/" + phPage, s.phAndAir},
		{"GET /tank/{tank}/{quantity}", s.quantity},
		{"GET /tank/{tank}/{quantity}/drawing", s.drawing},

		{"GET /water", s.water},
		{"GET /water/{tank}", s.waterOfTank},
		{"GET /follows/{tank}/{key}", s.follows},
		{"GET /follows/{tank}/{key}/drawing", s.followsDrawing},

		{"GET /read", s.readChoose},
		{"GET /read/{tank}", s.read},
		{"POST /read/{tank}", s.readSave},
		{"GET /write", s.writeChoose},
		{"GET /write/{tank}", s.writeTank},
		{"GET /write/{tank}/{what}", s.write},
		{"POST /write/{tank}/{what}", s.writeSave},

		{"GET /log", s.log},
		{"GET /log/{id}", s.line},
		{"POST /log/{id}/correct", s.lineCorrect},
		{"POST /log/{id}/retract", s.lineRetract},
		{"GET /photo/{name}", s.photo},

		{"GET /settings", s.settings},
		{"GET /settings/declare/{kind}", s.declare},
		{"POST /settings/declare/{kind}", s.declareSave},
		{"GET /settings/bands/{tank}", s.bands},
		{"POST /settings/bands/{tank}", s.bandsSave},
		{"GET /settings/shown", s.shown},
		{"POST /settings/shown", s.shownSave},
		{"GET /settings/book", s.transfer},
		{"POST " + importPath, s.importFile},
		{"GET /settings/book/driftline.jsonl", s.exportJSONL},
		{"GET /settings/book/driftline.csv", s.exportCSV},
		{"GET /about", s.about},

		{"GET /enter", s.enter},
		{"POST /enter", s.enterCheck},
		{"POST /leave", s.leave},
		{"POST /light", s.light},
	}
}

// linkRoutes are the addresses that are a secret themselves.
func (s *Server) linkRoutes() []route {
	return []route{
		{"GET " + feedPrefix + "{secret}/driftline.ics", s.feed},
		{"GET " + mindPrefix + "{secret}", s.mind},
		{"POST " + mindPrefix + "{secret}/done", s.mindDo},
		{"POST " + mindPrefix + "{secret}/reading", s.mindReading},
		{"POST " + mindPrefix + "{secret}/picture", s.mindPicture},
		{"GET " + mindPrefix + "{secret}/picture/{name}", s.mindNormal},
	}
}

// planRoutes are what can be planned and tried.
func (s *Server) planRoutes() []route {
	return []route{
		{"GET /mix", s.mixing},
		{"GET /correct/{tank}/{quantity}", s.correct},
		{"POST /correct/{tank}/{quantity}", s.correctAccept},
		{"POST /correct/{tank}/{quantity}/end/{line}", s.correctEnd},
		{"POST /correct/{tank}/{quantity}/resume/{line}", s.correctResume},
		{"GET /course/{tank}", s.course},
		{"POST /course/{tank}", s.courseAccept},
		{"GET /course/{tank}/{line}", s.courseLine},
		{"POST /course/{tank}/{line}/end", s.courseEnd},
		{"POST /course/{tank}/{line}/resume", s.courseResume},

		{"GET /whatif/{tank}", s.whatif},
		{"GET /feeding/{tank}", s.feeding},
		{"POST /feeding/{tank}/stock", s.stockSave},
		{"GET " + animalsPath, s.animals},
		{"POST " + animalsPath + "/rule", s.ruleSave},
		{"GET " + animalsPath + "/{name}", s.animal},
		{"GET " + upkeepPath, s.upkeep},
		{"GET " + awayPath, s.away},
		{"POST " + awayPath, s.awayKeep},
		{"GET " + awayPath + "/{line}", s.absence},
		{"POST " + awayPath + "/{line}/link", s.absenceLink},
		{"POST " + awayPath + "/{line}/revoke", s.absenceRevoke},
		{"GET " + calendarPath, s.calendar},
		{"POST " + calendarPath + "/link", s.calendarLink},

		{"GET " + trialsPath, s.trials},
		{"GET " + newTrialPath, s.newTrial},
		{"POST " + newTrialPath, s.newTrialAccept},
		{"GET /trial/{line}", s.trial},
		{"GET /trial/{line}/notebook.html", s.trialSave},
		{"POST /trial/{line}/end", s.trialEnd},
		{"POST /trial/{line}/resume", s.trialResume},

		{"GET " + shelfPath, s.shelf},
		{"POST " + shelfPath, s.shelfSave},
	}
}
