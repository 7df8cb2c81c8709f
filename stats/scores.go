package stats

import (
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Midranks gives each figure its rank, 1 for the least, and equal ones the mean
// of theirs.
func Midranks(v []float64) []float64 {
	order := make([]int, len(v))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case v[a] < v[b]:
			return -1
		case v[a] > v[b]:
			return 1
		}
		return 0
	})
	out := make([]float64, len(v))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && v[order[j]] == v[order[i]] {
			j++
		}
		for k := i; k < j; k++ {
			out[order[k]] = float64(i+j+1) / 2
		}
		i = j
	}
	return out
}

// NormalScores gives each figure the standard normal quantile of its midrank over
// n+1 (van der Waerden 1952), so that only the order of the figures counts.
func NormalScores(v []float64) []float64 {
	out := Midranks(v)
	for i, r := range out {
		out[i] = distuv.UnitNormal.Quantile(r / float64(len(v)+1))
	}
	return out
}
