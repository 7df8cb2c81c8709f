package gate

import (
	"net"
	"net/netip"
	"sync"
	"time"
)

const (
	freeTries  = 4                // wrong passphrases before an address has to wait
	firstWait  = 2 * time.Second  // doubled by every further one
	longestOff = 15 * time.Minute // the longest wait, after which an address is forgotten
	mostKnown  = 4096             // addresses remembered
)

// Waits makes an address that keeps guessing wait longer and longer.
type Waits struct {
	mu  sync.Mutex
	now func() time.Time
	by  map[string]tries
}

type tries struct {
	wrong int
	last  time.Time
}

// NewWaits counts wrong tries by the given clock.
func NewWaits(now func() time.Time) *Waits {
	return &Waits{now: now, by: map[string]tries{}}
}

// Left is how long the remote address must wait before its next try.
func (w *Waits) Left(remote string) time.Duration {
	w.mu.Lock()
	defer w.mu.Unlock()
	t := w.by[source(remote)]
	return max(0, t.last.Add(pause(t.wrong)).Sub(w.now()))
}

// Wrong notes a wrong passphrase from the remote address.
func (w *Waits) Wrong(remote string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if len(w.by) >= mostKnown {
		w.forget()
	}
	t := w.by[source(remote)]
	if w.now().Sub(t.last) > longestOff {
		t.wrong = 0
	}
	w.by[source(remote)] = tries{wrong: t.wrong + 1, last: w.now()}
}

// Right clears the address: its keeper knew the passphrase.
func (w *Waits) Right(remote string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	delete(w.by, source(remote))
}

// forget drops the addresses whose wait is over, and all of them when a flood
// of addresses left none to drop.
func (w *Waits) forget() {
	for k, t := range w.by {
		if w.now().Sub(t.last) > longestOff {
			delete(w.by, k)
		}
	}
	if len(w.by) >= mostKnown {
		clear(w.by)
	}
}

func pause(wrong int) time.Duration {
	if wrong < freeTries {
		return 0
	}
	d := firstWait << min(wrong-freeTries, 20)
	return min(d, longestOff)
}

// source is the address without its port; an IPv6 visitor owns a whole /64.
func source(remote string) string {
	host, _, err := net.SplitHostPort(remote)
	if err != nil {
		return remote
	}
	ip, err := netip.ParseAddr(host)
	if err != nil {
		return host
	}
	ip = ip.Unmap()
	if ip.Is6() {
		if p, err := ip.WithZone("").Prefix(64); err == nil {
			return p.String()
		}
	}
	return ip.String()
}
