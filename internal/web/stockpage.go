package web

import (
	"net/http"

	"driftline/internal/feeding"
)

// stockSave writes down whether a tank's fish are growing, which says how much of
// the food they keep.
func (s *Server) stockSave(w http.ResponseWriter, r *http.Request) error {
	values, err := posted(r)
	if err != nil {
		return err
	}
	t, err := s.tankOf(r, s.facts())
	if err != nil {
		return err
	}
	growing := values["growing"]
	if growing != "yes" && growing != "no" {
		return &refusal{http.StatusUnprocessableEntity, shorten(growing) + " does not say whether the fish are growing; expected yes or no."}
	}
	tank := t.Tank.Name
	line := s.preference(feeding.GrowingStock+tank, growing)
	if err := s.keepOrRefuse(r, line); err != nil {
		return err
	}
	return back(w, r, feedingPath(tank)+"#budget", line.ID)
}
