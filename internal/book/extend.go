package book

import "slices"

// Supposing gives the facts as they would be had these lines been told as well,
// for a look at what a plan would do. ok is false for lines other than of what
// happened in a tank.
func (f *Facts) Supposing(lines ...Line) (out *Facts, ok bool) { return f.with(lines) }

// with gives the facts with more lines, none later than as-of, without a replay
// of the log. It is for lines that tell what happened in a tank, which most new
// lines do; for any other, such as a declaration or a correction, ok is false.
// Tanks that no line touches keep their edition.
func (f *Facts) with(lines []Line) (out *Facts, ok bool) {
	next := *f
	next.Tanks = slices.Clone(f.Tanks)
	touched := map[*TankFacts]bool{}
	for i := range lines {
		l := &lines[i]
		t, known := next.Tank(l.Tank)
		if !known || !l.happened() || l.Replaces != "" || f.replaced[l.ID] {
			return nil, false
		}
		if !touched[t] { // what was handed out before stays as it is
			touched[t] = true
			t.Edition = new(Edition)
			t.Events = slices.Clip(t.Events)
		}
		at, _ := slices.BinarySearchFunc(t.Events, l, func(e Line, l *Line) int {
			if e.At.After(l.At) {
				return 1
			}
			return -1
		})
		t.Events = slices.Insert(t.Events, at, *l)
	}
	return &next, true
}

// happened says whether a line is an event of a tank.
func (l *Line) happened() bool {
	switch l.Kind {
	case KindTank, KindInstrument, KindSubstance, KindMix, KindFood, KindPreference, KindStock, KindAbsence, KindVoid, KindBand, KindRoutine, KindEquipment:
		return false
	}
	return l.Tank != ""
}
