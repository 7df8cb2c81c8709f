// Package assets serves what the pages are dressed with: one style sheet and
// the small scripts, built from the TypeScript in src by go generate.
//
// Model: everything is embedded, compressed once at start, and served under a
// path that carries a hash of its content, so a browser may keep it for ever and
// still sees every new version. A page works without any script here.
//
// Limits: a handful of files, all in memory; no fonts, nothing from elsewhere.
package assets

//go:generate go tool esbuild src/island.ts src/chart.ts --bundle --minify --target=es2020 --format=esm --outdir=built
