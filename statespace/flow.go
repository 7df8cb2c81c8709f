package statespace

import "math"

// Flow is a level C used up at a constant rate m plus a wandering rate w, both
// per day, and relaxing towards a reference:
//
//	dC = (input − m − w − Relax·(C − reference)) dt + √LevelVar dW₁
//	dw = −Revert·w dt + √WanderVar dW₂
//
// All rates are per day and must not be negative; with Revert 0 the rate is a
// random walk.
type Flow struct {
	Relax, Revert, LevelVar, WanderVar float64
}

// Passage is the exact solution of a Flow over a span:
//
//	C' = Keep·C + (1−Keep)·reference − ByMean·m − ByWander·w + drive
//	w' = Rho·w
//
// with noise of the covariances QCC (of which QCCLevel comes from LevelVar), QCw
// and Qww.
type Passage struct {
	Keep, ByMean, ByWander, Rho float64
	QCC, QCCLevel, QCw, Qww     float64
}

// Over solves the flow over dt days (dt ≥ 0).
func (f Flow) Over(dt float64) Passage {
	l, k := f.Relax, f.Revert
	s := span{l: l, k: k, t: dt, el: -math.Expm1(-l * dt), ek: -math.Expm1(-k * dt)}
	p := Passage{
		Keep:     1 - s.el,
		ByMean:   share(s.el, l, dt),
		Rho:      1 - s.ek,
		QCCLevel: f.LevelVar * share(s.el*(2-s.el), 2*l, dt),
		Qww:      f.WanderVar * share(s.ek*(2-s.ek), 2*k, dt),
	}
	h, hk, hh := s.wander()
	p.ByWander = h
	p.QCw = -f.WanderVar * hk
	p.QCC = p.QCCLevel + f.WanderVar*hh
	return p
}

// Decayed is ∫₀ᵗ e^(−rate·s) ds, what a constant input of one a day leaves after
// t days of decay at the rate.
func Decayed(rate, t float64) float64 {
	return share(-math.Expm1(-rate*t), rate, t)
}

// share is lost/rate, lost being 1−e^(−rate·t), and its limit for small rates.
func share(lost, rate, t float64) float64 {
	if rate*t > 1e-8 {
		return lost / rate
	}
	return t * (1 - rate*t/2)
}

// span holds what the integrals over a time t of decay at the rates l and k
// share: el and ek are 1−e^(−lt) and 1−e^(−kt).
type span struct{ l, k, t, el, ek float64 }

// wander returns h(t), ∫h·e^(−ks) ds and ∫h² ds up to t, where h(s) =
// (e^(−ks) − e^(−ls))/(l−k) is what one unit of the wandering rate at the start
// has taken from the level after s days. Near l = k, and for short spans, the
// closed forms cancel: a series in t is used there, and near-equal rates are set
// a thousandth apart.
func (s span) wander() (h, hk, hh float64) {
	l, k, t := s.l, s.k, s.t
	top := max(l, k)
	if top*t < 0.03 {
		return series(l, k, t)
	}
	d := l - k
	if math.Abs(d) < 1e-3*top {
		d = math.Copysign(1e-3*top, d)
		l = k + d
		s.el = -math.Expm1(-l * t)
	}
	both := share(s.el+s.ek-s.el*s.ek, l+k, t)
	kk, ll := share(s.ek*(2-s.ek), 2*k, t), share(s.el*(2-s.el), 2*l, t)
	h = (s.el - s.ek) / d
	hk = (kk - both) / d
	hh = (kk - 2*both + ll) / (d * d)
	return h, hk, hh
}

// series gives the same to the third order in l·t and k·t.
func series(l, k, t float64) (h, hk, hh float64) {
	s, p := l+k, l*l+l*k+k*k
	h = t * (1 - s*t/2 + p*t*t/6 - s*(l*l+k*k)*t*t*t/24)
	hk = t * t * (0.5 - (s/2+k)*t/3 + (p/6+s*k/2+k*k/2)*t*t/4)
	hh = t * t * t * (1.0/3 - s*t/4 + (s*s/4+p/3)*t*t/5)
	return h, hk, hh
}
