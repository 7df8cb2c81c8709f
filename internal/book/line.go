package book

import (
	"encoding/json"
	"time"
)

// Kind says what a line of the log states.
type Kind string

// The kinds of the public log format.
const (
	KindTank        Kind = "tank"
	KindBand        Kind = "band"
	KindInstrument  Kind = "instrument"
	KindSubstance   Kind = "substance"
	KindMix         Kind = "mix"
	KindFood        Kind = "food"
	KindRoutine     Kind = "routine"
	KindEquipment   Kind = "equipment"
	KindReading     Kind = "reading"
	KindDose        Kind = "dose"
	KindWaterChange Kind = "water change"
	KindTopOff      Kind = "top-off"
	KindFeeding     Kind = "feeding"
	KindHarvest     Kind = "harvest"
	KindScore       Kind = "score"
	KindChore       Kind = "chore"
	KindSetting     Kind = "setting"
	KindPhoto       Kind = "photo"
	KindTrial       Kind = "trial"
	KindAnimal      Kind = "animal"
	KindAbsence     Kind = "absence"
	KindOutline     Kind = "outline"
	KindScale       Kind = "scale"
	KindMarks       Kind = "marks"
	KindNote        Kind = "note"
	KindVoid        Kind = "void"
	KindPreference  Kind = "preference"
	KindCorrection  Kind = "correction"
	KindCourse      Kind = "course"
	KindPlanEnd     Kind = "plan end"
	KindPlanResume  Kind = "plan resume"
	KindStock       Kind = "stock"
)

// Line is one fact of the log, as it was told. Lines are never changed: a
// correction is a new line whose Replaces names the old one, and a void line
// retracts it.
type Line struct {
	ID       string // UUID; version 7 for lines made here, derived from the content when an import lacks it
	Kind     Kind
	At       time.Time // keeps the offset it was written with
	Tank     string    // as typed; matched by Key
	By       string
	Note     string
	Replaces string
	Body     Body // nil for note and void lines
	// Extra holds the fields this version does not know, kept as they came, and
	// the spelling of known ones that would else leave differently: an explicit
	// null, false or "", a date without a time.
	Extra map[string]json.RawMessage
}

// Body is what a kind of line says beyond the common fields: a pointer to one
// of the structs below. The fields themselves are listed in fields.go.
type Body interface {
	kind() Kind
	fields(codec)
}

// Number is a decimal number as it was typed ("8.20" stays "8.20"). The empty
// string means the field was absent.
type Number string

// Contained is one constituent of a substance or of a mix.
type Contained struct {
	Quantity string `json:"quantity"`
	Value    Number `json:"value"`
	Unit     string `json:"unit"`
}

type (
	// Tank declares a tank or declares it anew.
	Tank struct {
		Name       string `json:"name"`
		System     string `json:"system,omitempty"`
		NetVolume  Number `json:"net_volume"`
		Unit       string `json:"unit"`
		Length     Number `json:"length,omitempty"`
		Width      Number `json:"width,omitempty"`
		Height     Number `json:"height,omitempty"`
		LengthUnit string `json:"length_unit,omitempty"`
		Latitude   Number `json:"latitude,omitempty"`
		Longitude  Number `json:"longitude,omitempty"`
		TimeZone   string `json:"time_zone,omitempty"`
	}
	// Band is where the keeper wants a quantity. Low, Aim and High may each be absent.
	Band struct {
		Quantity string `json:"quantity"`
		Unit     string `json:"unit"`
		Low      Number `json:"low,omitempty"`
		Aim      Number `json:"aim,omitempty"`
		High     Number `json:"high,omitempty"`
	}
	// Instrument is a kit, a probe or a laboratory, with its errors in Unit.
	Instrument struct {
		Name       string `json:"name"`
		Quantity   string `json:"quantity"`
		Method     string `json:"method,omitempty"`
		Unit       string `json:"unit,omitempty"`
		Resolution Number `json:"resolution,omitempty"`
		SD         Number `json:"sd,omitempty"`
		RelativeSD Number `json:"relative_sd,omitempty"`
		BiasSD     Number `json:"bias_sd,omitempty"`
		LowerLimit Number `json:"lower_limit,omitempty"`
		// Expires is the date on the box of a kit or a calibration fluid.
		Expires *time.Time `json:"expires,omitempty"`
	}
	// Substance is something dosed: a formula with its purity, or what the label says it contains.
	Substance struct {
		Name     string      `json:"name"`
		Formula  string      `json:"formula,omitempty"`
		Purity   Number      `json:"purity,omitempty"`
		Contains []Contained `json:"contains,omitempty"`
		Form     string      `json:"form,omitempty"`
		// GramsPerLitre makes it a solution of so many grams of the formula made up to a litre.
		GramsPerLitre Number `json:"grams_per_litre,omitempty"`
	}
	// Mix is a batch of new salt water.
	Mix struct {
		Name        string      `json:"name"`
		Volume      Number      `json:"volume,omitempty"`
		Unit        string      `json:"unit,omitempty"`
		Composition []Contained `json:"composition,omitempty"`
		Salt        string      `json:"salt,omitempty"`
	}
	// Food is what a food holds, by its label, in per cent of it as it is fed, and what a
	// portion of it weighs.
	Food struct {
		Name         string `json:"name"`
		Moisture     Number `json:"moisture,omitempty"`
		Protein      Number `json:"protein,omitempty"`
		Nitrogen     Number `json:"nitrogen,omitempty"` // else a 6.25th of the protein
		Phosphorus   Number `json:"phosphorus,omitempty"`
		Portion      string `json:"portion,omitempty"` // "cube", "spoon", "pinch"
		PortionGrams Number `json:"portion_grams,omitempty"`
	}
	// Routine is something done every so many days, by hand or by a machine.
	Routine struct {
		Name        string      `json:"name"`
		Action      string      `json:"action"`
		Substance   string      `json:"substance,omitempty"`
		Amount      Number      `json:"amount,omitempty"`
		Volume      Number      `json:"volume,omitempty"`
		Unit        string      `json:"unit,omitempty"`
		Mix         string      `json:"mix,omitempty"`
		Composition []Contained `json:"composition,omitempty"`
		Quantity    string      `json:"quantity,omitempty"`
		Instrument  string      `json:"instrument,omitempty"`
		Food        string      `json:"food,omitempty"`
		Chore       string      `json:"chore,omitempty"`
		EveryDays   Number      `json:"every_days"`
		From        *time.Time  `json:"from,omitempty"`
		Until       *time.Time  `json:"until,omitempty"`
		Automatic   bool        `json:"automatic,omitempty"`
	}
	// Equipment is a device with whatever properties the keeper notes.
	Equipment struct {
		Name       string                     `json:"name"`
		Type       string                     `json:"type,omitempty"`
		Properties map[string]json.RawMessage `json:"properties,omitempty"`
	}
	// Preference is a keeper's setting that belongs in the log: the unit shown for a quantity, the tolerance for unseen excursions.
	Preference struct {
		Name  string `json:"name"`
		Value string `json:"value"`
	}
	// Reading is one test result.
	Reading struct {
		Quantity          string `json:"quantity"`
		Value             Number `json:"value"`
		Unit              string `json:"unit"`
		Instrument        string `json:"instrument,omitempty"`
		Below             bool   `json:"below,omitempty"`
		SampleTemperature Number `json:"sample_temperature,omitempty"`
		TemperatureUnit   string `json:"temperature_unit,omitempty"`
	}
	// Dose is an amount of a substance added to the tank.
	Dose struct {
		Substance string `json:"substance"`
		Amount    Number `json:"amount"`
		Unit      string `json:"unit"`
		Plan      string `json:"plan,omitempty"` // id of the correction or course it is a step of
	}
	// WaterChange replaces a volume with new water of a mix or of a stated composition.
	WaterChange struct {
		Volume      Number      `json:"volume"`
		Unit        string      `json:"unit"`
		Mix         string      `json:"mix,omitempty"`
		Composition []Contained `json:"composition,omitempty"`
	}
	// TopOff replaces evaporated water; a substance may be dissolved in it.
	TopOff struct {
		Volume        Number `json:"volume"`
		Unit          string `json:"unit"`
		Substance     string `json:"substance,omitempty"`
		Concentration Number `json:"concentration,omitempty"` // g or mL of the substance per litre
	}
	// Feeding is a meal.
	Feeding struct {
		Food   string `json:"food"`
		Amount Number `json:"amount,omitempty"`
		Unit   string `json:"unit,omitempty"`
	}
	// Harvest is plant matter taken out.
	Harvest struct {
		What    string `json:"what"`
		WetMass Number `json:"wet_mass,omitempty"`
		Unit    string `json:"unit,omitempty"`
	}
	// Score is a sign of the tank judged by eye, 0 to 4.
	Score struct {
		Sign  string `json:"sign"`
		Value Number `json:"value"`
	}
	// Chore is work done on the tank.
	Chore struct {
		Name string `json:"name"`
		Plan string `json:"plan,omitempty"` // id of the course it is a step of
		// Replaced is how much of a medium was renewed, in per cent of it.
		Replaced Number `json:"replaced,omitempty"`
		// Lost is by how much what the thing gave had fallen since it was last done, in per cent.
		Lost Number `json:"lost,omitempty"`
	}
	// Setting is a change to a device. Value is a JSON number or string.
	Setting struct {
		Equipment string          `json:"equipment"`
		Property  string          `json:"property"`
		Value     json.RawMessage `json:"value"`
		Unit      string          `json:"unit,omitempty"`
	}
	// Photo names a stored picture by its content hash and type, such as "sha256-….jpg".
	Photo struct {
		Viewpoint string `json:"viewpoint,omitempty"`
		File      string `json:"file"`
	}
)
