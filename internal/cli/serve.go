package cli

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"runtime/debug"
	"time"

	"driftline/internal/book/sqlite"
	"driftline/internal/standing"
	"driftline/internal/web"
	"driftline/internal/web/gate"
)

type serveCmd struct {
	bookFlag
	Listen string `placeholder:"HOST:PORT" default:"127.0.0.1:8417" help:"Address to listen on; port 0 picks a free one."`
	Secure bool   `help:"Send cookies over encrypted connections only; for use behind a proxy that ends TLS."`
}

func (c *serveCmd) Help() string {
	return `The first line on standard output is the address to open. Ctrl-C stops it; every line that was acknowledged is on disk by then.
A book that does not exist is made, and the first page leads to the first tank.

Beyond this machine the pages are served only with a passphrase set: driftline passphrase.

Examples:

    driftline serve --book bench
    driftline serve --book bench --listen 192.168.1.20:8417`
}

func (c *serveCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	s, _, err := j.openOrCreate(dir)
	if err != nil {
		return err
	}
	defer s.Close()
	return j.serve(site{dir: dir, store: s, listen: c.Listen, secure: c.Secure})
}

// site is one book and where it is to be seen.
type site struct {
	dir    string
	store  *sqlite.Store
	listen string
	secure bool
	remark string
}

// garbagePercent is how much garbage may pile up before it is collected, as a
// share of what is in use, once the book has been read. A book of ten years keeps
// some 50 MB in use and its pages make little garbage, so collecting more often
// than usual costs next to nothing and spares a small machine 30 MB.
const garbagePercent = 40

// serve shows the book until the context ends.
func (j *job) serve(s site) error {
	hash, err := gate.ReadHash(s.dir)
	if err != nil {
		return badBook("driftline passphrase --book DIR sets it anew", "%w", err)
	}
	if err := checkAddress(s.listen); err != nil {
		return err
	}
	if err := gate.CheckListen(s.listen, hash); err != nil {
		return usage("driftline passphrase --book DIR sets one", "--listen: %w", err)
	}
	socket, err := net.Listen("tcp", s.listen)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w", s.listen, plainNetwork(err))
	}
	// From here on a browser may knock: it waits while the book is read.
	fmt.Fprintf(j.out, "http://%s/\n", openable(socket.Addr()))
	pages, err := j.pages(s, hash)
	if j.ctx.Err() != nil { // stopped before it began
		return socket.Close()
	}
	if err != nil {
		return errors.Join(err, socket.Close())
	}
	if _, chosen := os.LookupEnv("GOGC"); !chosen {
		debug.SetGCPercent(garbagePercent)
	}
	return run(j.ctx, pages.HTTP(), socket)
}

// checkAddress refuses what no program could listen on.
func checkAddress(listen string) error {
	_, port, err := net.SplitHostPort(listen)
	if err == nil {
		_, err = net.LookupPort("tcp", port)
	}
	if err != nil {
		return usage("", "--listen %q is not an address to listen on; expected HOST:PORT, such as 127.0.0.1:8417", listen)
	}
	return nil
}

// pages reads the book and makes its pages ready.
func (j *job) pages(s site, hash string) (*web.Server, error) {
	journal, err := j.journal(s.dir, s.store)
	if err != nil {
		return nil, err
	}
	desk := standing.NewDesk()
	desk.Patience = 15 * time.Minute // a level moves too little in that time to see
	return web.New(web.Config{
		Journal: journal, Photos: s.store, Desk: desk, Now: j.Now, Random: rand.Reader,
		PassphraseHash: hash, Listen: s.listen, Secure: s.secure, Zone: localZone(j.Now()), Remark: s.remark,
		Log: slog.New(slog.NewTextHandler(j.errs, &slog.HandlerOptions{Level: slog.LevelWarn})),
	})
}

// run serves until the context ends, then lets the requests in hand finish.
func run(ctx context.Context, server *http.Server, socket net.Listener) error {
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(socket) }()
	select {
	case err := <-ended:
		return fmt.Errorf("serving stopped: %w", err)
	case <-ctx.Done():
	}
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	if err := server.Shutdown(grace); err != nil {
		return errors.Join(err, server.Close())
	}
	return nil
}

// openable is an address a browser on this machine can open.
func openable(addr net.Addr) string {
	host, port, err := net.SplitHostPort(addr.String())
	if err != nil {
		return addr.String()
	}
	if ip := net.ParseIP(host); ip != nil && ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	return net.JoinHostPort(host, port)
}

// plainNetwork takes the machinery out of an error of the network.
func plainNetwork(err error) error {
	var op *net.OpError
	if errors.As(err, &op) {
		return op.Err
	}
	return err
}

// localZone names the zone of this machine, as far as it is known.
func localZone(now time.Time) string {
	if name := now.Location().String(); name != "Local" {
		return name
	}
	return ""
}
