package upkeep

// need is what a kind of thing wants done: common practice, no source.
type need struct {
	things           []string // words of its name or type
	verbs            []string // words of the chore that does it
	do               string
	every, low, high float64 // days
	caution          string
	parts            bool // of a medium that is never renewed all at once
}

const unplug = "Unplug it first; dry hands, a drip loop in every cable, a protected outlet."

var ofEquipment = []need{
	{[]string{"circulation pump", "flow pump", "stream pump", "wavemaker"}, []string{"descal", "clean"}, "descale", 120, 60, 180, unplug + " Outside the tank, in citric acid or vinegar, rinsed well.", false},
	{[]string{"return pump"}, []string{"descal", "clean"}, "descale", 180, 90, 365, unplug, false},
	{[]string{"skimmer"}, []string{"cup", "emptied"}, "empty the cup", 4, 2, 7, "", false},
	{[]string{"skimmer"}, []string{"body", "air intake", "descal"}, "clean body and air intake", 60, 30, 90, unplug, false},
	{[]string{"heater"}, []string{"wip", "clean"}, "wipe", 30, 14, 60, unplug + " Let it cool before it leaves the water.", false},
	{[]string{"heater"}, []string{"renew", "replac"}, "renew", 1000, 730, 1460, unplug + " Two small ones fail more kindly than one large.", false},
	{[]string{"dosing pump", "doser"}, []string{"calibrat", "measured out"}, "measure what it gives", 60, 30, 90, "", false},
	{[]string{"lamp", "light"}, []string{"cover", "wip", "clean"}, "clean cover and fans", 30, 14, 60, unplug + " Let it cool.", false},
	{[]string{"lamp", "light"}, []string{"meter", "measur"}, "check with a light meter", 180, 90, 365, "", false},
	{[]string{"carbon"}, []string{"renew", "chang", "replac"}, "renew the carbon", 21, 7, 30, "", false},
	{[]string{"phosphate media", "reactor"}, []string{"renew", "chang", "fresh media"}, "renew the media", 35, 21, 60, "Start with a quarter of the rated amount: phosphate that sinks fast harms corals.", false},
	{[]string{"refugium"}, []string{"mud", "media"}, "replace a third to a half of the mud", 180, 120, 365, "Never all at once; wait months before the next part.", true},
	{[]string{"refugium"}, []string{"thin", "harvest"}, "thin the macroalgae, a third to a half", 14, 7, 28, "", false},
	{[]string{"top-off", "top off"}, []string{"sensor", "clean", "test"}, "clean the sensor, try the fail-safe", 30, 14, 30, unplug, false},
	{[]string{"osmosis"}, []string{"prefilter", "sediment"}, "renew the prefilters", 180, 90, 270, "", false},
	{[]string{"osmosis"}, []string{"membrane"}, "renew the membrane", 820, 550, 1100, "", false},
	{[]string{"overflow", "drain"}, []string{"clean"}, "clean", 90, 30, 180, "", false},
}

// ofInstruments goes by the method; kits count from the day they were declared.
var ofInstruments = []need{
	{[]string{"electrode"}, []string{"calibrat"}, "calibrate with two buffers", 30, 14, 45, "", false},
	{[]string{"electrode"}, []string{"renew", "replac"}, "renew", 500, 365, 730, "", false},
	{[]string{"conductivity probe"}, []string{"calibrat"}, "calibrate", 30, 14, 60, "", false},
	{[]string{"refractometer"}, []string{"calibrat"}, "calibrate with a standard of 35 PSU", 14, 7, 30, "", false},
	{[]string{"drop titration", "colour card", "photometer"}, []string{"renew", "new box", "opened"}, "renew the reagents", 270, 180, 365, "Reagents carry a date; the label holds.", false},
}
