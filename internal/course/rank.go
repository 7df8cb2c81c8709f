package course

import "sort"

// rankP is the exact two-sided p value of the difference of two groups by their
// ranks, ties sharing the middle one: the share of all ways to pick the first
// group whose rank sum is as far from its mean (Mann & Whitney 1947, conditional
// on the ties). Rank sums are counted in halves, group by group.
func rankP(a, b []float64) float64 {
	ranks, own := doubledRanks(a, b)
	n, k, total := len(ranks), len(a), 0
	for _, r := range ranks {
		total += r
	}
	ways := make([][]float64, k+1) // ways[j][s]: picks of j with doubled rank sum s
	for j := range ways {
		ways[j] = make([]float64, total+1)
	}
	ways[0][0] = 1
	for _, r := range ranks {
		for j := k; j >= 1; j-- {
			for s := total; s >= r; s-- {
				ways[j][s] += ways[j-1][s-r]
			}
		}
	}
	mean := float64(k) * float64(total) / float64(n)
	far := abs(float64(own) - mean)
	all, extreme := 0.0, 0.0
	for s, w := range ways[k] {
		all += w
		if abs(float64(s)-mean) >= far-1e-9 {
			extreme += w
		}
	}
	return extreme / all
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}

// doubledRanks are twice the midranks of all values, and their sum over a.
func doubledRanks(a, b []float64) (ranks []int, own int) {
	all := append(append([]float64(nil), a...), b...)
	sorted := append([]float64(nil), all...)
	sort.Float64s(sorted)
	for i, v := range all {
		low := sort.SearchFloat64s(sorted, v)
		high := low
		for high < len(sorted) && sorted[high] == v {
			high++
		}
		r := low + 1 + high // twice the mean of low+1 … high
		ranks = append(ranks, r)
		if i < len(a) {
			own += r
		}
	}
	return ranks, own
}
