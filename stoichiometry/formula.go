package stoichiometry

// Formula is a chemical formula counted out. The zero value is empty.
type Formula struct {
	text  string
	atoms []atom
}

// atom is one symbol of the formula as it stands there.
type atom struct {
	symbol string
	own    float64 // the number right behind the symbol
	count  float64 // with the numbers of all brackets and of the hydrate around it
	group  int     // symbols of one bracket or part share a group
	water  bool    // belongs to hydrate water
}

// String is the formula with a middle dot before hydrate water and no spaces.
func (f Formula) String() string { return f.text }

// MolarMass is in g/mol.
func (f Formula) MolarMass() float64 {
	sum := 0.0
	for _, a := range f.atoms {
		sum += a.count * weights[a.symbol]
	}
	return sum
}

// Count is how many atoms of an element one formula unit holds.
func (f Formula) Count(symbol string) float64 {
	n := 0.0
	for _, a := range f.atoms {
		if a.symbol == symbol {
			n += a.count
		}
	}
	return n
}

// MassFraction is the part of the mass that is the element.
func (f Formula) MassFraction(symbol string) float64 {
	if len(f.atoms) == 0 {
		return 0
	}
	return f.Count(symbol) * weights[symbol] / f.MolarMass()
}

// waterFraction is the part of the mass that is hydrate water.
func (f Formula) waterFraction() float64 {
	sum := 0.0
	for _, a := range f.atoms {
		if a.water {
			sum += a.count * weights[a.symbol]
		}
	}
	return sum / f.MolarMass()
}

// follower is what stands right behind symbol i in the same bracket, "" when nothing does.
func (f Formula) follower(i int) (symbol string, own float64) {
	if i+1 < len(f.atoms) && f.atoms[i+1].group == f.atoms[i].group {
		return f.atoms[i+1].symbol, f.atoms[i+1].own
	}
	return "", 0
}
