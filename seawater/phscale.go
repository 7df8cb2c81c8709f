package seawater

import "fmt"

// PHScale names what a pH counts as hydrogen.
type PHScale int

// The pH scales. NBS is that of an electrode set in buffers of low ionic
// strength; its relation to the others depends on the electrode, here after
// Takahashi et al. 1982, and is good to about 0.02.
const (
	TotalScale    PHScale = iota // free hydrogen and bisulfate
	SeawaterScale                // these and hydrogen fluoride
	FreeScale                    // free hydrogen only
	NBSScale                     // activity in NBS (NIST) buffers
)

// String is the name ParsePHScale takes, with NBS in capitals as in a sentence.
func (s PHScale) String() string {
	if s == NBSScale {
		return "NBS"
	}
	return nameOf("scale", int(s), scaleNames[:])
}

// ConvertPH turns a pH in this water from one scale into another: Dickson, Sabine
// and Christian 2007, chapter 5, with the bisulfate and fluoride of the Basis, and
// Takahashi et al. 1982 for NBS. Exact between total, seawater and free but for
// those constants (0.004 between fluorides); NBS is good to about 0.02 at best. An
// unknown scale or a pH outside 0 to 14 is an error.
func (w *Water) ConvertPH(pH float64, from, to PHScale) (float64, error) {
	if err := within("pH", pH, minPH, maxPH, ""); err != nil {
		return 0, err
	}
	a, err := w.abovePHTotal(from)
	if err != nil {
		return 0, err
	}
	b, err := w.abovePHTotal(to)
	if err != nil {
		return 0, err
	}
	return pH - a + b, nil
}

// abovePHTotal is what to add to pH on the total scale.
func (w *Water) abovePHTotal(s PHScale) (float64, error) {
	switch s {
	case TotalScale:
		return 0, nil
	case SeawaterScale:
		return w.toSeawater, nil
	case FreeScale:
		return w.toFree, nil
	case NBSScale:
		return w.toNBS, nil
	}
	return 0, fmt.Errorf("pH scale %d is not known, expected total, seawater, free or NBS", int(s))
}
