package watersheet

// Figure is one column of a sheet with its value.
type Figure struct {
	Name  string
	Value float64
}

// One works out a single water from figures under the names of the columns. Not
// the pair nor the temperatures of a specific gravity: those go by Options.Pair.
// What cannot be worked out is left out; beyond names the formulas continued
// past what they were published for.
func One(in []Figure, o Options) (out []Figure, beyond []string, err error) {
	var head []string
	for _, f := range in {
		head = append(head, f.Name)
	}
	s := sheet{layout: newLayout(head, o), o: o}
	var f figures
	for i := range f {
		f[i] = nan
		if at := s.at[i]; at >= 0 {
			f[i] = in[at].Value
		}
	}
	var r results
	for i := range r {
		r[i] = nan
	}
	err = s.workFrom(&r, f, "", "")
	for _, i := range s.out {
		if known(r[i]) {
			out = append(out, Figure{outputNames[i], r[i]})
		}
	}
	return out, s.beyond, err
}
