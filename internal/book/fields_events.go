package book

func (*Reading) kind() Kind { return KindReading }
func (b *Reading) fields(c codec) {
	c.text("quantity", &b.Quantity)
	c.number("value", &b.Value)
	c.text("unit", &b.Unit)
	c.text("instrument", &b.Instrument)
	c.flag("below", &b.Below)
	c.number("sample_temperature", &b.SampleTemperature)
	c.text("temperature_unit", &b.TemperatureUnit)
}

func (*Dose) kind() Kind { return KindDose }
func (b *Dose) fields(c codec) {
	c.text("substance", &b.Substance)
	c.number("amount", &b.Amount)
	c.text("unit", &b.Unit)
	c.text("plan", &b.Plan)
}

func (*WaterChange) kind() Kind { return KindWaterChange }
func (b *WaterChange) fields(c codec) {
	c.number("volume", &b.Volume)
	c.text("unit", &b.Unit)
	c.text("mix", &b.Mix)
	c.parts("composition", &b.Composition)
}

func (*TopOff) kind() Kind { return KindTopOff }
func (b *TopOff) fields(c codec) {
	c.number("volume", &b.Volume)
	c.text("unit", &b.Unit)
	c.text("substance", &b.Substance)
	c.number("concentration", &b.Concentration)
}

func (*Feeding) kind() Kind { return KindFeeding }
func (b *Feeding) fields(c codec) {
	c.text("food", &b.Food)
	c.number("amount", &b.Amount)
	c.text("unit", &b.Unit)
}

func (*Harvest) kind() Kind { return KindHarvest }
func (b *Harvest) fields(c codec) {
	c.text("what", &b.What)
	c.number("wet_mass", &b.WetMass)
	c.text("unit", &b.Unit)
}

func (*Score) kind() Kind { return KindScore }
func (b *Score) fields(c codec) {
	c.text("sign", &b.Sign)
	c.number("value", &b.Value)
}

func (*Chore) kind() Kind { return KindChore }
func (b *Chore) fields(c codec) {
	c.text("name", &b.Name)
	c.text("plan", &b.Plan)
	c.number("replaced", &b.Replaced)
	c.number("lost", &b.Lost)
}

func (*Setting) kind() Kind { return KindSetting }
func (b *Setting) fields(c codec) {
	c.text("equipment", &b.Equipment)
	c.text("property", &b.Property)
	c.raw("value", &b.Value)
	c.text("unit", &b.Unit)
}

func (*Photo) kind() Kind { return KindPhoto }
func (b *Photo) fields(c codec) {
	c.text("viewpoint", &b.Viewpoint)
	c.text("file", &b.File)
}
