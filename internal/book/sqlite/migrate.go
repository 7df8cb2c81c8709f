package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
)

//go:embed migrations/*.sql
var migrations embed.FS

// steps are the migrations in order; the first brings the schema to version 1.
func steps() []string {
	names, err := fs.Glob(migrations, "migrations/*.sql") // sorted by name
	if err != nil {
		return nil
	}
	return names
}

// newest is the schema version this program works with.
func newest() int { return len(steps()) }

// identify makes sure that the database is a book, and tells its schema version.
func identify(ctx context.Context, db interface {
	QueryRowContext(context.Context, string, ...any) *sql.Row
}) (version int, err error) {
	var application int64
	if err := db.QueryRowContext(ctx, readIdentity).Scan(&application, &version); err != nil {
		return 0, err
	}
	switch {
	case application != applicationID:
		return version, ErrNotBook
	case version < 1:
		return version, ErrDamaged
	case version > newest():
		return version, ErrNewer
	}
	return version, nil
}

// migrate applies what is missing, each step in a transaction of its own.
func migrate(ctx context.Context, db *sql.DB) error {
	for {
		done, err := migrateOne(ctx, db)
		if done || err != nil {
			return err
		}
	}
}

func migrateOne(ctx context.Context, db *sql.DB) (done bool, err error) {
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return false, err
	}
	defer tx.Rollback() // nothing is left to undo after the commit
	var version int
	if err := tx.QueryRowContext(ctx, readVersion).Scan(&version); err != nil {
		return false, err
	}
	all := steps()
	if version >= len(all) {
		return true, nil
	}
	script, err := migrations.ReadFile(all[version])
	if err != nil {
		return false, err
	}
	stamp := fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d;", applicationID, version+1)
	if _, err := tx.ExecContext(ctx, string(script)+stamp); err != nil {
		return false, err
	}
	return false, tx.Commit()
}
