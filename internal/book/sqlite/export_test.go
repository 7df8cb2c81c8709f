package sqlite

import "fmt"

// LimitPages lets the database grow by so many pages only, as on a full disk,
// until the returned function is called.
func LimitPages(s *Store, more int) (lift func() error, err error) {
	var pages int
	if err := s.writer.QueryRow(`PRAGMA page_count`).Scan(&pages); err != nil {
		return nil, err
	}
	set := func(n int) error {
		_, err := s.writer.Exec(fmt.Sprintf(`PRAGMA max_page_count = %d`, n))
		return err
	}
	return func() error { return set(1 << 30) }, set(pages + more)
}
