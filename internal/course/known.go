package course

import "strings"

// knownCourse is a course of the trade.
type knownCourse struct {
	name, action, substance, chore string
	perLitre                       float64 // mL of the usual strength a dose for a litre of net volume
	mostPerLitre                   float64 // ceiling of a dose, in mg of the active substance a litre
	everyHours, days               float64
	signs, watch, warnings         []string
	stop                           string
	stopWhen                       string // in the short form of package stoprule
	halfDays                       float64
}

// Peroxide and LightsOut name the courses of the trade.
const (
	Peroxide  = "peroxide"
	LightsOut = "lights out"
)

// usualPeroxide is the strength the trade's dose is told for, in percent.
const usualPeroxide = 3.0

// courses are common practice without a source: 2.6 mL of 3 % peroxide in 100 L,
// twice a day, for 7 to 14 days, half of it on the first two days, stopping when
// shrimps twitch, polyps close or animals breathe fast; three days without light. The ceiling of 2 mg/L a dose is from memory, a judgement from
// published tests: post-larval prawns bore 5 mg/L for 96 h (Kentucky State
// University poster, 2006, abstract), and filamentous cyanobacteria fell to 0.4
// to 2 mg/L (Yang et al. 2018, Environ. Pollut.; Matthijs et al. 2012, Water Res.
// 46, abstracts).
var courses = map[string]knownCourse{
	Peroxide: {
		name: "Peroxide against cyanobacteria", action: "dose", substance: "hydrogen peroxide 3 %",
		perLitre: 0.026, mostPerLitre: 2.0, everyHours: 12, days: 10,
		signs: []string{"cyanobacteria", "polyp extension"},
		watch: []string{"Shrimps, feather worms, soft corals and wanted algae for two hours after each dose",
			"The skimmer: it may overflow"},
		warnings: []string{"Take carbon out and switch ozone and ultraviolet off while it lasts.",
			"Pour it slowly into strong flow, never onto animals.",
			"Ornamental shrimps, feather worms, anemones, some soft corals and wanted algae are reported to bear it badly.",
			"It clears what shows and leaves the cause: settle flow and feeding too, and stop early when it is clean."},
		stop:     "Shrimps twitch or lie on their sides, or any animal breathes fast, sheds, or stays closed for a day.",
		stopWhen: "cyanobacteria <= 0 twice running; polyp extension <= 0 twice running",
		halfDays: 2,
	},
	LightsOut: {
		name: "Lights out", action: "chore", chore: "lights kept off", everyHours: 24, days: 3,
		signs:    []string{"cyanobacteria", "polyp extension"},
		watch:    []string{"Corals, and whether there is air enough at night: let a pump or an air stone move the surface"},
		warnings: []string{"It leaves the cause in place; light comes back over some days."},
		stop:     "Corals shed or animals breathe fast.",
	},
}

// healing are substances given against illnesses of animals: a veterinarian's.
var healing = []string{"copper", "formalin", "formaldehyde", "chloroquine", "malachite", "methylene", "praziquantel", "levamisole",
	"metronidazole", "fenbendazole", "ivermectin", "milbemycin", "lufenuron", "potassium permanganate", "nitrofur", "furan", "antibiotic",
	"erythromycin", "doxycycline", "kanamycin", "oxytetracycline", "neomycin", "trichlorfon", "quinine", "iodoform",
	"amoxicillin", "ciprofloxacin", "enrofloxacin", "sulfa", "azithromycin"}

func heals(name string) bool {
	name = strings.ToLower(name)
	for _, h := range healing {
		if strings.Contains(name, h) {
			return true
		}
	}
	return false
}
