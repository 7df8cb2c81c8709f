package sqlite

// Every statement on the lines of a book. They keep to standard SQL, but for
// "ON CONFLICT", which PostgreSQL shares, so that another store can take them over.
const (
	insertLines  = `INSERT INTO lines (id, at_ns, kind, tank, line) VALUES `
	insertRow    = `(?, ?, ?, ?, ?)`
	insertSkip   = ` ON CONFLICT (id) DO NOTHING`
	selectSince  = `SELECT seq, line FROM lines WHERE seq > ? ORDER BY seq`
	selectNewest = `SELECT coalesce(max(seq), 0) FROM lines`
	selectCheck  = `SELECT seq, id, at_ns, kind, tank, line FROM lines ORDER BY seq`
)

// What is SQLite's own.
const (
	applicationID = 0x44724C6E // "DrLn", marks the file as a book (PRAGMA application_id)
	readIdentity  = `SELECT a.application_id, u.user_version FROM pragma_application_id AS a, pragma_user_version AS u`
	readVersion   = `PRAGMA user_version`
	integrity     = `PRAGMA integrity_check(20)`
)
