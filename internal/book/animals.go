package book

import "driftline/units"

// Animal says something of an animal, a pair, a school or a colony: first that it is
// there, then what became of it. Which fields count goes by What.
type Animal struct {
	Name       string `json:"name"`              // of this animal or school, the keeper's own
	What       string `json:"what,omitempty"`    // of AnimalEvents; "" is that it is there
	Species    string `json:"species,omitempty"` // in the keeper's words
	Group      string `json:"group,omitempty"`   // of AnimalGroups
	Count      Number `json:"count,omitempty"`   // how many there are, or how many it happened to
	Size       Number `json:"size,omitempty"`    // length of one
	SizeUnit   string `json:"size_unit,omitempty"`
	Mass       Number `json:"mass,omitempty"` // of one
	MassUnit   string `json:"mass_unit,omitempty"`
	Origin     string `json:"origin,omitempty"` // where it came from
	Price      Number `json:"price,omitempty"`  // of all of them
	Currency   string `json:"currency,omitempty"`
	Parent     string `json:"parent,omitempty"` // what it was split or bred from
	To         string `json:"to,omitempty"`     // tank it moves to, or who it goes to
	Stage      string `json:"stage,omitempty"`  // of AnimalStages
	Cause      string `json:"cause,omitempty"`  // of a loss, as far as known
	Treatment  string `json:"treatment,omitempty"`
	OrderedBy  string `json:"ordered_by,omitempty"` // the veterinarian or the label
	Feeding    Number `json:"feeding,omitempty"`    // scores from 0 to 4
	Breathing  Number `json:"breathing,omitempty"`
	Skin       Number `json:"skin,omitempty"`
	Aggression Number `json:"aggression,omitempty"`
	Open       Number `json:"open,omitempty"`
}

// AnimalEvents are what can be said of an animal besides that it is there.
var AnimalEvents = []string{"observed", "counted", "stage", "outbreak", "treated", "moved", "split", "given away", "died", "missing"}

// AnimalGroups are the kinds of animal that are kept apart in what is worked out.
var AnimalGroups = []string{"fish", "coral", "anemone", "shrimp", "crab", "snail", "urchin", "clam", "other"}

// AnimalStages are the stages of the way in.
var AnimalStages = []string{"planned", "arrival", "quarantine", "meeting", "settled"}

func (*Animal) kind() Kind { return KindAnimal }
func (b *Animal) fields(c codec) {
	c.text("name", &b.Name)
	c.text("what", &b.What)
	c.text("species", &b.Species)
	c.text("group", &b.Group)
	c.number("count", &b.Count)
	c.number("size", &b.Size)
	c.text("size_unit", &b.SizeUnit)
	c.number("mass", &b.Mass)
	c.text("mass_unit", &b.MassUnit)
	c.text("origin", &b.Origin)
	c.number("price", &b.Price)
	c.text("currency", &b.Currency)
	c.text("parent", &b.Parent)
	c.text("to", &b.To)
	c.text("stage", &b.Stage)
	c.text("cause", &b.Cause)
	c.text("treatment", &b.Treatment)
	c.text("ordered_by", &b.OrderedBy)
	c.number("feeding", &b.Feeding)
	c.number("breathing", &b.Breathing)
	c.number("skin", &b.Skin)
	c.number("aggression", &b.Aggression)
	c.number("open", &b.Open)
}

// animal checks a line that names its animal; without a name it is kept as it comes.
func (v *validator) animal(b *Animal) {
	if b.Name == "" {
		return
	}
	v.named("name", b.Name)
	for _, f := range []struct {
		field, value string
		of           []string
	}{{"what", b.What, AnimalEvents}, {"group", b.Group, AnimalGroups}, {"stage", b.Stage, AnimalStages}} {
		v.oneOf(f.field, f.value, f.of...)
	}
	for _, n := range []struct{ field, value string }{{"species", b.Species}, {"origin", b.Origin}, {"parent", b.Parent}, {"to", b.To},
		{"cause", b.Cause}, {"treatment", b.Treatment}, {"ordered_by", b.OrderedBy}, {"currency", b.Currency}} {
		v.name(n.field, n.value)
	}
	v.notNegative("count", b.Count)
	v.notNegative("price", b.Price)
	v.positive("size", b.Size)
	v.positive("mass", b.Mass)
	if b.Size != "" || b.SizeUnit != "" {
		v.needed("size", b.Size)
		v.measure("size_unit", b.SizeUnit, units.ParseLengthUnit)
	}
	if b.Mass != "" || b.MassUnit != "" {
		v.needed("mass", b.Mass)
		v.measure("mass_unit", b.MassUnit, units.ParseMassUnit)
	}
	for _, s := range []struct {
		field string
		n     Number
	}{{"feeding", b.Feeding}, {"breathing", b.Breathing}, {"skin", b.Skin}, {"aggression", b.Aggression}, {"open", b.Open}} {
		v.between(s.field, s.n, 0, 4, "0 to 4")
	}
	v.animalNeeds(b)
}

// measure is unitOf for a field of another name.
func (v *validator) measure(field, unit string, parse func(string) (string, error)) {
	if _, err := parse(unit); err != nil {
		v.fail(field, "%s: %v", field, err)
	}
}

// animalNeeds checks what an event cannot do without.
func (v *validator) animalNeeds(b *Animal) {
	switch Key(b.What) {
	case "stage":
		v.required("stage", b.Stage)
	case "moved":
		v.required("to", b.To)
	case "counted":
		v.needed("count", b.Count)
	case "treated":
		v.required("treatment", b.Treatment)
		v.required("ordered_by", b.OrderedBy)
	}
}
