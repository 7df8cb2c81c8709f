package drift

import (
	"cmp"
	"math"
	"slices"
	"sort"
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
	readings := nodesOf(len(c.Readings), start, end, nodeReading, func(i int) float64 { return c.Readings[i].T })
	changes := nodesOf(len(c.Changes), start, end, nodeChange, func(i int) float64 { return c.Changes[i].T })
	if !slices.IsSortedFunc(marks, inTime) {
		marks = slices.Clone(marks)
		slices.SortStableFunc(marks, inTime)
	}
	nodes := merge(merge(marks, readings), changes)
	in := sort.Search(len(c.Inputs), func(i int) bool { return c.Inputs[i].T >= start })
	for i := range nodes {
		nodes[i].first = in
		for in < len(c.Inputs) && before(c.Inputs[in].T, nodes[i]) {
			in++
		}
		nodes[i].last = in
	}
	return timeline{nodes: nodes}
}

// nodesOf makes nodes of the stretch from start to end of a list in order of time.
func nodesOf(n int, start, end float64, kind nodeKind, t func(int) float64) []node {
	first := sort.Search(n, func(i int) bool { return t(i) >= start })
	last := sort.Search(n, func(i int) bool { return t(i) > end })
	nodes := make([]node, 0, max(last-first, 0))
	for i := first; i < last; i++ {
		nodes = append(nodes, node{t: t(i), kind: kind, index: i})
	}
	return nodes
}

func inTime(a, b node) int { return cmp.Or(cmp.Compare(a.t, b.t), cmp.Compare(a.kind, b.kind)) }

// merge makes one list of two that are in order.
func merge(a, b []node) []node {
	if len(a) == 0 {
		return b
	}
	out := make([]node, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		if inTime(b[0], a[0]) < 0 {
			out, b = append(out, b[0]), b[1:]
		} else {
			out, a = append(out, a[0]), a[1:]
		}
	}
	return append(append(out, a...), b...)
}

// before says whether an input at t acts ahead of the node.
func before(t float64, n node) bool {
	return t < n.t || (t == n.t && n.kind == nodeMarkAfter)
}

// after is a moment just past t, so that a node there follows all events at t.
func after(t float64) float64 { return math.Nextafter(t, math.Inf(1)) }
