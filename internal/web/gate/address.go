package gate

import (
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"strings"
)

// Loopback tells whether a listening address, "HOST:PORT", is reachable only
// from this machine.
func Loopback(listen string) bool {
	host, _, err := net.SplitHostPort(listen)
	if err != nil {
		return false
	}
	return loopbackHost(host)
}

func loopbackHost(host string) bool {
	host = strings.ToLower(strings.TrimSuffix(host, "."))
	if host == "localhost" || strings.HasSuffix(host, ".localhost") {
		return true
	}
	ip, err := netip.ParseAddr(strings.Trim(host, "[]"))
	return err == nil && ip.Unmap().IsLoopback()
}

// CheckListen refuses to serve a book without a passphrase to other machines.
func CheckListen(listen, hash string) error {
	if _, _, err := net.SplitHostPort(listen); err != nil {
		return fmt.Errorf("the address %q to listen on is not HOST:PORT, such as 127.0.0.1:8090", listen)
	}
	if hash == "" && !Loopback(listen) {
		return fmt.Errorf("%s can be reached from other machines: set a passphrase first, or listen on 127.0.0.1", listen)
	}
	return nil
}

// OwnHost answers only requests that name this machine. Without it a page of
// another site could point its own name at the loopback address and read the
// book through the keeper's browser (DNS rebinding).
func OwnHost(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host := r.Host
		if h, _, err := net.SplitHostPort(r.Host); err == nil {
			host = h
		}
		if !loopbackHost(host) {
			http.Error(w, "This book answers only to the name of its own machine.", http.StatusMisdirectedRequest)
			return
		}
		next.ServeHTTP(w, r)
	})
}
