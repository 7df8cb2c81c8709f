package drift

// Habit is how a family of quantities behaves before a tank has told more: the
// prior figures, in the unit of the case and days.
type Habit struct {
	LevelMean, LevelSD   float64 // level at the first moment
	DemandMean, DemandSD float64 // long-run net loss a day
}
