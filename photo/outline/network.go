package outline

import "math"

// network is a grid of cells through which flows from what is surely inside to what is
// surely outside; the least cut between them is the outline (Ford & Fulkerson 1956),
// found by blocking flows over shortest ways (Dinic 1970).
type network struct {
	w, h        int
	excess      []float64 // from the source; less than nothing goes to the sink
	right, down []float64 // capacity either way between neighbours

	res    [4][]float64 // what is left: right, left, down, up
	toSink []float64
	level  []int32
	turn   []uint8
}

func newNetwork(w, h int) *network {
	n := w * h
	return &network{w: w, h: h, excess: make([]float64, n), right: make([]float64, n), down: make([]float64, n)}
}

// beside is the neighbour in a direction, -1 at the rim.
func (n *network) beside(i, d int) int {
	x, y := i%n.w, i/n.w
	switch {
	case d == 0 && x+1 < n.w:
		return i + 1
	case d == 1 && x > 0:
		return i - 1
	case d == 2 && y+1 < n.h:
		return i + n.w
	case d == 3 && y > 0:
		return i - n.w
	}
	return -1
}

// cut finds the least cut and gives the cells on the source's side.
func (n *network) cut() []bool {
	size := n.w * n.h
	for d := range n.res {
		n.res[d] = make([]float64, size)
	}
	source := make([]float64, size)
	n.toSink, n.level, n.turn = make([]float64, size), make([]int32, size), make([]uint8, size)
	for i := range size {
		source[i], n.toSink[i] = math.Max(n.excess[i], 0), math.Max(-n.excess[i], 0)
		if j := n.beside(i, 0); j >= 0 {
			n.res[0][i], n.res[1][j] = n.right[i], n.right[i]
		}
		if j := n.beside(i, 2); j >= 0 {
			n.res[2][i], n.res[3][j] = n.down[i], n.down[i]
		}
	}
	for n.levels(source) {
		clear(n.turn)
		for i := range size {
			for source[i] > tiny {
				f := n.push(i, source[i])
				if f <= 0 {
					break
				}
				source[i] -= f
			}
		}
	}
	out := make([]bool, size)
	for i := range out {
		out[i] = n.level[i] >= 0
	}
	return out
}

const tiny = 1e-9

// levels counts the steps from the source; false when no way leads to the sink.
func (n *network) levels(source []float64) bool {
	var queue []int32
	for i := range n.level {
		n.level[i] = -1
		if source[i] > tiny {
			n.level[i] = 0
			queue = append(queue, int32(i))
		}
	}
	reached := false
	for k := 0; k < len(queue); k++ {
		i := int(queue[k])
		if n.toSink[i] > tiny {
			reached = true
		}
		for d := range 4 {
			if j := n.beside(i, d); j >= 0 && n.res[d][i] > tiny && n.level[j] < 0 {
				n.level[j] = n.level[i] + 1
				queue = append(queue, int32(j))
			}
		}
	}
	return reached
}

// push sends what it can of an amount from a cell on towards the sink.
func (n *network) push(i int, amount float64) float64 {
	if n.toSink[i] > tiny {
		f := math.Min(amount, n.toSink[i])
		n.toSink[i] -= f
		return f
	}
	for ; n.turn[i] < 4; n.turn[i]++ {
		d := int(n.turn[i])
		j := n.beside(i, d)
		if j < 0 || n.res[d][i] <= tiny || n.level[j] != n.level[i]+1 {
			continue
		}
		if f := n.push(j, math.Min(amount, n.res[d][i])); f > 0 {
			n.res[d][i] -= f
			n.res[d^1][j] += f
			return f
		}
	}
	return 0
}
