package drift

import (
	"cmp"
	"math"
	"slices"
)

// A timeline is everything that happens to the level, in order. At one moment
// readings come before events, so that a test taken at the time of a dose is
// taken before it.
type timeline struct {
	nodes []node
}

type nodeKind uint8

const (
	nodeMarkBefore nodeKind = iota
	nodeReading
	nodeChange
	nodeMarkAfter
)

// node is a moment the filter must stop at. first and last bound the inputs
// that fall between the node before and this one.
type node struct {
	t           float64
	kind        nodeKind
	index       int // of the reading, the change, or the mark
	first, last int
}

// newTimeline covers the case from the moment start to end, with marks.
func newTimeline(c *Case, start, end float64, marks []node) timeline {
	nodes := append([]node(nil), marks...)
	for i, r := range c.Readings {
		if r.T >= start && r.T <= end {
			nodes = append(nodes, node{t: r.T, kind: nodeReading, index: i})
		}
	}
	for i, w := range c.Changes {
		if w.T >= start && w.T <= end {
			nodes = append(nodes, node{t: w.T, kind: nodeChange, index: i})
		}
	}
	slices.SortStableFunc(nodes, func(a, b node) int {
		return cmp.Or(cmp.Compare(a.t, b.t), cmp.Compare(a.kind, b.kind))
	})
	in := 0
	for in < len(c.Inputs) && c.Inputs[in].T < start {
		in++
	}
	for i := range nodes {
		nodes[i].first = in
		for in < len(c.Inputs) && before(c.Inputs[in].T, nodes[i]) {
			in++
		}
		nodes[i].last = in
	}
	return timeline{nodes: nodes}
}

// before says whether an input at t acts ahead of the node.
func before(t float64, n node) bool {
	return t < n.t || (t == n.t && n.kind == nodeMarkAfter)
}

// after is a moment just past t, so that a node there follows all events at t.
func after(t float64) float64 { return math.Nextafter(t, math.Inf(1)) }
