package chart

import "math"

// crowd is how many readings are drawn one by one; beyond it each pixel
// column keeps the extremes.
const crowd = 2000

// thinLine keeps the first, last, least and greatest point of each column of
// a line (Jugel and others 2014, M4), then drops what lies on the way anyway.
func thinLine(points []point) []point { return straighten(columns(points, 4), 0.25) }

// edgeLine keeps one point of each column, the least or the greatest in y.
func edgeLine(points []point, greatest bool) []point {
	var kept []point
	for _, q := range points {
		n := len(kept) - 1
		if n < 0 || math.Floor(kept[n].x) != math.Floor(q.x) {
			kept = append(kept, q)
			continue
		}
		if (q.y > kept[n].y) == greatest {
			kept[n].y = q.y
		}
	}
	if n := len(points); n > 0 && kept[len(kept)-1].x < points[n-1].x {
		kept = append(kept, point{points[n-1].x, kept[len(kept)-1].y})
	}
	return straighten(kept, 0.25)
}

// columns thins a line sorted by x where a pixel column holds more than room points.
func columns(points []point, room int) []point {
	var kept []point
	for start := 0; start < len(points); {
		end := start
		for end < len(points) && math.Floor(points[end].x) == math.Floor(points[start].x) {
			end++
		}
		kept = append(kept, extremes(points[start:end], room)...)
		start = end
	}
	return kept
}

func extremes(column []point, room int) []point {
	if len(column) <= room {
		return column
	}
	least, greatest, last := 0, 0, len(column)-1
	for i, q := range column {
		if q.y < column[least].y {
			least = i
		}
		if q.y > column[greatest].y {
			greatest = i
		}
	}
	var kept []point
	for i, q := range column {
		if i == 0 || i == least || i == greatest || i == last {
			kept = append(kept, q)
		}
	}
	return kept
}

// straighten drops the points that lie within slack of the line through the
// ones kept (Douglas and Peucker 1973).
func straighten(points []point, slack float64) []point {
	if len(points) < 3 {
		return points
	}
	keep := make([]bool, len(points))
	keep[0], keep[len(points)-1] = true, true
	for todo := [][2]int{{0, len(points) - 1}}; len(todo) > 0; {
		a, b := todo[len(todo)-1][0], todo[len(todo)-1][1]
		todo = todo[:len(todo)-1]
		if i, off := farthest(points, a, b); off > slack {
			keep[i] = true
			todo = append(todo, [2]int{a, i}, [2]int{i, b})
		}
	}
	var kept []point
	for i, q := range points {
		if keep[i] {
			kept = append(kept, q)
		}
	}
	return kept
}

// farthest is the point between a and b that is most off their chord.
func farthest(points []point, a, b int) (at int, off float64) {
	dx, dy := points[b].x-points[a].x, points[b].y-points[a].y
	length := math.Hypot(dx, dy)
	for i := a + 1; i < b; i++ {
		ex, ey := points[i].x-points[a].x, points[i].y-points[a].y
		d := math.Hypot(ex, ey)
		if length > 0 {
			d = math.Abs(ex*dy-ey*dx) / length
		}
		if d > off {
			at, off = i, d
		}
	}
	return at, off
}

// thinReadings keeps all readings while they are few; of a crowd, the least
// and the greatest of each kit in each pixel column, and every misread of those.
func thinReadings(all []Reading, column func(Reading) int) []Reading {
	if len(all) <= crowd {
		return all
	}
	type group struct {
		kit            string
		misread, below bool
		column         int
	}
	least, greatest := map[group]int{}, map[group]int{}
	for i, r := range all {
		g := group{r.Kit, r.Misread, r.Below, column(r)}
		if k, ok := least[g]; !ok || r.Value < all[k].Value {
			least[g] = i
		}
		if k, ok := greatest[g]; !ok || r.Value > all[k].Value {
			greatest[g] = i
		}
	}
	var kept []Reading
	for i, r := range all {
		g := group{r.Kit, r.Misread, r.Below, column(r)}
		if least[g] == i || greatest[g] == i {
			kept = append(kept, r)
		}
	}
	return kept
}
