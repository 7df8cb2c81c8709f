package book

import (
	"encoding/json"
	"time"
)

// codec is what walks over the fields of a line: a decoder, an encoder. The
// order of the calls below is the order in which fields are written.
type codec interface {
	text(name string, p *string)
	number(name string, p *Number)
	flag(name string, p *bool)
	moment(name string, p **time.Time)
	parts(name string, p *[]Contained)
	steps(name string, p *[]Step)
	stopRules(name string, p *[]StopRule)
	phases(name string, p *[]Phase)
	outcomes(name string, p *[]Outcome)
	texts(name string, p *[]string)
	raw(name string, p *json.RawMessage)
	bag(name string, p *map[string]json.RawMessage)
}

// newBody makes the empty body of a kind; nil for kinds without one (note and void).
func newBody(k Kind) (body Body, known bool) {
	switch k {
	case KindTank:
		return new(Tank), true
	case KindBand:
		return new(Band), true
	case KindInstrument:
		return new(Instrument), true
	case KindSubstance:
		return new(Substance), true
	case KindMix:
		return new(Mix), true
	case KindFood:
		return new(Food), true
	case KindRoutine:
		return new(Routine), true
	case KindEquipment:
		return new(Equipment), true
	case KindPreference:
		return new(Preference), true
	case KindStock:
		return new(Stock), true
	case KindNote, KindVoid:
		return nil, true
	}
	return newEvent(k)
}

func newEvent(k Kind) (body Body, known bool) {
	switch k {
	case KindReading:
		return new(Reading), true
	case KindDose:
		return new(Dose), true
	case KindWaterChange:
		return new(WaterChange), true
	case KindTopOff:
		return new(TopOff), true
	case KindFeeding:
		return new(Feeding), true
	case KindHarvest:
		return new(Harvest), true
	case KindScore:
		return new(Score), true
	case KindChore:
		return new(Chore), true
	case KindSetting:
		return new(Setting), true
	case KindPhoto:
		return new(Photo), true
	case KindTrial:
		return new(Trial), true
	case KindCorrection:
		return new(Correction), true
	case KindCourse:
		return new(Course), true
	case KindPlanEnd:
		return new(PlanEnd), true
	case KindPlanResume:
		return new(PlanResume), true
	case KindAnimal:
		return new(Animal), true
	case KindAbsence:
		return new(Absence), true
	case KindOutline:
		return new(Outline), true
	case KindScale:
		return new(Scale), true
	case KindMarks:
		return new(Marks), true
	}
	return nil, false
}

// Kinds lists every kind of line.
func Kinds() []Kind {
	return []Kind{
		KindTank, KindBand, KindInstrument, KindSubstance, KindMix, KindFood, KindRoutine, KindEquipment,
		KindReading, KindDose, KindWaterChange, KindTopOff, KindFeeding, KindHarvest, KindScore,
		KindChore, KindSetting, KindPhoto, KindTrial, KindAnimal, KindNote, KindVoid, KindPreference,
		KindCorrection, KindCourse, KindPlanEnd, KindPlanResume, KindStock, KindAbsence,
		KindOutline, KindScale, KindMarks,
	}
}

// needsTank says whether lines of the kind must name a tank.
func (k Kind) needsTank() bool {
	switch k {
	case KindTank, KindInstrument, KindSubstance, KindMix, KindFood, KindNote, KindVoid, KindPreference, KindStock, KindAbsence:
		return false
	}
	return true
}

func (*Tank) kind() Kind { return KindTank }
func (b *Tank) fields(c codec) {
	c.text("name", &b.Name)
	c.text("system", &b.System)
	c.number("net_volume", &b.NetVolume)
	c.text("unit", &b.Unit)
	c.number("length", &b.Length)
	c.number("width", &b.Width)
	c.number("height", &b.Height)
	c.text("length_unit", &b.LengthUnit)
	c.number("latitude", &b.Latitude)
	c.number("longitude", &b.Longitude)
	c.text("time_zone", &b.TimeZone)
}

func (*Band) kind() Kind { return KindBand }
func (b *Band) fields(c codec) {
	c.text("quantity", &b.Quantity)
	c.text("unit", &b.Unit)
	c.number("low", &b.Low)
	c.number("aim", &b.Aim)
	c.number("high", &b.High)
}

func (*Instrument) kind() Kind { return KindInstrument }
func (b *Instrument) fields(c codec) {
	c.text("name", &b.Name)
	c.text("quantity", &b.Quantity)
	c.text("method", &b.Method)
	c.text("unit", &b.Unit)
	c.number("resolution", &b.Resolution)
	c.number("sd", &b.SD)
	c.number("relative_sd", &b.RelativeSD)
	c.number("bias_sd", &b.BiasSD)
	c.number("lower_limit", &b.LowerLimit)
	c.moment("expires", &b.Expires)
}

func (*Substance) kind() Kind { return KindSubstance }
func (b *Substance) fields(c codec) {
	c.text("name", &b.Name)
	c.text("formula", &b.Formula)
	c.number("purity", &b.Purity)
	c.parts("contains", &b.Contains)
	c.text("form", &b.Form)
	c.number("grams_per_litre", &b.GramsPerLitre)
}

func (*Mix) kind() Kind { return KindMix }
func (b *Mix) fields(c codec) {
	c.text("name", &b.Name)
	c.number("volume", &b.Volume)
	c.text("unit", &b.Unit)
	c.parts("composition", &b.Composition)
	c.text("salt", &b.Salt)
}

func (*Food) kind() Kind { return KindFood }
func (b *Food) fields(c codec) {
	c.text("name", &b.Name)
	c.number("moisture", &b.Moisture)
	c.number("protein", &b.Protein)
	c.number("nitrogen", &b.Nitrogen)
	c.number("phosphorus", &b.Phosphorus)
	c.text("portion", &b.Portion)
	c.number("portion_grams", &b.PortionGrams)
}

func (*Routine) kind() Kind { return KindRoutine }
func (b *Routine) fields(c codec) {
	c.text("name", &b.Name)
	c.text("action", &b.Action)
	c.text("substance", &b.Substance)
	c.number("amount", &b.Amount)
	c.number("volume", &b.Volume)
	c.text("unit", &b.Unit)
	c.text("mix", &b.Mix)
	c.parts("composition", &b.Composition)
	c.text("quantity", &b.Quantity)
	c.text("instrument", &b.Instrument)
	c.text("food", &b.Food)
	c.text("chore", &b.Chore)
	c.number("every_days", &b.EveryDays)
	c.moment("from", &b.From)
	c.moment("until", &b.Until)
	c.flag("automatic", &b.Automatic)
}

func (*Equipment) kind() Kind { return KindEquipment }
func (b *Equipment) fields(c codec) {
	c.text("name", &b.Name)
	c.text("type", &b.Type)
	c.bag("properties", &b.Properties)
}

func (*Preference) kind() Kind { return KindPreference }
func (b *Preference) fields(c codec) {
	c.text("name", &b.Name)
	c.text("value", &b.Value)
}
