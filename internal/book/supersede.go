package book

// What stands of a log. A line and all that correct it, directly or in a chain,
// are one fact told several times:
//
//   - The line that nothing replaces tells the fact; the others are history. If
//     two were corrected from the same line, the last in the log's order holds.
//   - A void tells that there is no such fact. Retracting a correction retracts
//     the fact as a whole: the mistaken original does not come back.
//   - A void of a void takes the retraction back: what it retracted stands again.
//   - A correction may also name a void; it then tells the fact anew.
//
// Lines later than as-of are left out before any of this, corrections among
// them: the log as of a day does not know what was put right later.

// inForce marks the lines that tell a fact.
func inForce(lines []Line) []bool { return newFamilies(lines).inForce() }

func (f *families) inForce() []bool {
	in := make([]bool, len(f.lines))
	for i := range f.lines {
		in[i] = f.lines[i].Kind != KindVoid
	}
	for i, r := range f.root {
		in[i] = in[i] && f.head[r] == i
	}
	return in
}

// families are the lines that correct one another.
type families struct {
	lines []Line
	by    map[string][]int // id → lines that replace it
	at    map[string]int   // id → line, of ids that are replaced
	root  map[int]int      // line → the line its chain begins with
	head  map[int]int      // root → the line that tells the fact
	taken map[int]bool     // void → taken back
}

func newFamilies(lines []Line) *families {
	f := &families{lines: lines, by: map[string][]int{}, at: map[string]int{}}
	for i := range lines {
		if r := lines[i].Replaces; r != "" {
			f.by[r] = append(f.by[r], i)
		}
	}
	if len(f.by) == 0 {
		return f
	}
	f.root, f.head, f.taken = map[int]int{}, map[int]int{}, map[int]bool{}
	var members []int
	for i := range lines {
		_, target := f.by[lines[i].ID]
		if target {
			f.at[lines[i].ID] = i
		}
		if target || lines[i].Replaces != "" {
			members = append(members, i)
		}
	}
	for _, i := range members {
		f.findRoot(i)
	}
	f.findHeads(members)
	return f
}

func (f *families) replacedIDs() map[string]bool {
	out := make(map[string]bool, len(f.by))
	for id := range f.by {
		out[id] = true
	}
	return out
}

// findRoot walks to the beginning of a chain. A ring, which only a damaged book
// could hold, ends where it is met again.
func (f *families) findRoot(i int) {
	var path []int
	met := map[int]bool{}
	for {
		if r, known := f.root[i]; known {
			i = r
			break
		}
		path = append(path, i)
		met[i] = true
		next, ok := f.at[f.lines[i].Replaces]
		if !ok || met[next] {
			break
		}
		i = next
	}
	for _, p := range path {
		f.root[p] = i
	}
}

// findHeads picks of each family the last line that nothing replaces. A void
// that takes another back says nothing of its own.
func (f *families) findHeads(members []int) {
	for _, i := range members {
		f.head[f.root[i]] = -1
	}
	for _, i := range members {
		if !f.replaced(i) && !f.takesBack(i) {
			f.head[f.root[i]] = i
		}
	}
}

func (f *families) replaced(i int) bool {
	for _, r := range f.by[f.lines[i].ID] {
		if f.lines[r].Kind != KindVoid || !f.takenBack(r) {
			return true
		}
	}
	return false
}

func (f *families) takesBack(i int) bool {
	target, ok := f.at[f.lines[i].Replaces]
	return ok && f.lines[i].Kind == KindVoid && f.lines[target].Kind == KindVoid
}

// takenBack says whether a void has been voided by one that holds itself.
func (f *families) takenBack(i int) bool {
	if t, known := f.taken[i]; known {
		return t
	}
	f.taken[i] = false // a ring holds nothing back
	for _, r := range f.by[f.lines[i].ID] {
		if f.lines[r].Kind == KindVoid && !f.takenBack(r) {
			f.taken[i] = true
		}
	}
	return f.taken[i]
}
