// Command driftline keeps the bench book of reef tanks and says what is
// drifting in them. All it does itself is turn an error into an exit code;
// package cli holds the commands.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"driftline/internal/cli"
)

func main() {
	os.Exit(run())
}

func run() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	args := os.Args[1:]
	err := cli.System().Run(ctx, args, os.Stdin, os.Stdout, os.Stderr)
	cli.Explain(os.Stderr, err, cli.WantsJSON(args))
	return cli.ExitCode(err)
}
