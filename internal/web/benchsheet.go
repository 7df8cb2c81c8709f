package web

import (
	"net/url"

	"driftline/internal/book"
	"driftline/internal/waterbench"
)

// sheetView is all that follows from one water, as the page shows it.
type sheetView struct {
	Name     string
	Warnings []string
	Groups   []groupView
	Missing  []string
}

// groupView is findings that belong together; a plain one only says figures
// again in other units, and is folded.
type groupView struct {
	Title    string
	Plain    bool
	Findings []findingView
}

// findingView is a finding with the same thing in other units.
type findingView struct {
	waterbench.Finding
	Others []waterbench.Finding
}

func viewOfSheet(s *waterbench.Sheet) *sheetView {
	if s == nil {
		return nil
	}
	v := &sheetView{Name: s.Name, Warnings: s.Warnings, Missing: s.Missing}
	for _, g := range s.Groups {
		group := groupView{Title: g.Title, Plain: true}
		for _, f := range g.Findings {
			group.Plain = group.Plain && f.Says == ""
			if n := len(group.Findings); n > 0 && group.Findings[n-1].Title == f.Title {
				last := &group.Findings[n-1]
				last.Others = append(last.Others, f)
				continue
			}
			group.Findings = append(group.Findings, findingView{Finding: f})
		}
		v.Groups = append(v.Groups, group)
	}
	return v
}

// mixLinks offer the make-up waters that are declared.
func mixLinks(f *book.Facts, page, chosen string) []link {
	var all []link
	for _, name := range names(f.Mixes, func(m *book.Mix) string { return m.Name }) {
		all = append(all, link{name, page + "?mix=" + url.QueryEscape(name), same(name, chosen)})
	}
	return all
}
