package quickline

import (
	"fmt"
	"strings"
	"time"

	"driftline/internal/book"
)

// Grammar is shown by the help.
const Grammar = `  TANK QUANTITY VALUE [UNIT] [kit NAME]
  TANK dose AMOUNT UNIT SUBSTANCE
  TANK change VOLUME UNIT [mix NAME]     or  TANK change 10 % [mix NAME]
  TANK top-off VOLUME UNIT [with SUBSTANCE CONCENTRATION]
  TANK feed AMOUNT UNIT FOOD
  TANK harvest AMOUNT UNIT WHAT
  TANK score SIGN VALUE                  VALUE from 0 to 4
  TANK chore NAME
  TANK note TEXT
  shelf [added] AMOUNT UNIT SUBSTANCE [for PRICE CURRENCY]
  note TEXT                              about no tank`

// Entry is what a quick line was understood to say: the line, and the same in a
// sentence.
type Entry struct {
	Line book.Line
	Said string
}

// line is the work in hand: the words not yet understood and what is known.
type line struct {
	words []string
	facts *book.Facts
	tank  *book.TankFacts // nil for a note about no tank, and for the shelf
	at    time.Time
}

// Parse reads the words as one line at the given moment. The facts must be those
// of that moment.
func Parse(words []string, facts *book.Facts, at time.Time) (Entry, error) {
	if len(words) == 1 {
		split, err := Split(words[0])
		if err != nil {
			return Entry{}, err
		}
		words = split
	}
	l := &line{words: clean(words), facts: facts, at: at}
	if len(l.words) == 0 {
		return Entry{}, fmt.Errorf("nothing was said; begin with the name of the tank")
	}
	if err := l.findTank(); err != nil {
		return Entry{}, err
	}
	return l.parse()
}

// parse cuts the note off and hands the rest to the verb.
func (l *line) parse() (Entry, error) {
	verb := l.verb()
	note := l.cutNote(verb)
	body, said, err := l.body(verb)
	if err != nil {
		return Entry{}, err
	}
	e := Entry{Line: book.Line{At: l.at, Note: note}, Said: said}
	e.Line.Kind, e.Line.Body = verb, body
	if verb == book.KindStock {
		l.tank = nil // the shelf is the whole book's
	}
	if l.tank != nil {
		e.Line.Tank = l.tank.Tank.Name
	}
	e.Said = l.sentence(said, note)
	return e, nil
}

// body reads what follows the verb.
func (l *line) body(verb book.Kind) (book.Body, string, error) {
	switch verb {
	case book.KindNote:
		return l.note()
	case book.KindDose:
		return l.dose()
	case book.KindWaterChange:
		return l.waterChange()
	case book.KindTopOff:
		return l.topOff()
	case book.KindFeeding:
		return l.feeding()
	case book.KindHarvest:
		return l.harvest()
	case book.KindScore:
		return l.score()
	case book.KindChore:
		return l.chore()
	case book.KindStock:
		return l.stock()
	default:
		return l.reading()
	}
}

// verbs are the words that say what was done; anything else is a reading.
var verbs = []struct {
	words string
	kind  book.Kind
}{
	{"water change", book.KindWaterChange},
	{"changed", book.KindWaterChange},
	{"change", book.KindWaterChange},
	{"top off", book.KindTopOff},
	{"top-off", book.KindTopOff},
	{"topoff", book.KindTopOff},
	{"dosed", book.KindDose},
	{"dose", book.KindDose},
	{"feeding", book.KindFeeding},
	{"feed", book.KindFeeding},
	{"fed", book.KindFeeding},
	{"harvested", book.KindHarvest},
	{"harvest", book.KindHarvest},
	{"scored", book.KindScore},
	{"score", book.KindScore},
	{"chore", book.KindChore},
	{"did", book.KindChore},
	{"shelf", book.KindStock},
	{"note", book.KindNote},
	{"reading", book.KindReading},
	{"read", book.KindReading},
}

// verb takes the verb off the words and says which kind of line it makes.
func (l *line) verb() book.Kind {
	for _, v := range verbs {
		n := strings.Count(v.words, " ") + 1
		if len(l.words) >= n && book.Key(strings.Join(l.words[:n], " ")) == v.words {
			l.words = l.words[n:]
			return v.kind
		}
	}
	return book.KindReading
}

// cutNote takes "note TEXT" off the end of a line of another kind.
func (l *line) cutNote(verb book.Kind) string {
	if verb == book.KindNote {
		text := strings.Join(l.words, " ")
		l.words = nil
		return text
	}
	for i, w := range l.words {
		if i > 0 && strings.EqualFold(strings.TrimSuffix(w, ":"), "note") {
			text := strings.Join(l.words[i+1:], " ")
			l.words = l.words[:i]
			return text
		}
	}
	return ""
}

// sentence says the whole line back.
func (l *line) sentence(said, note string) string {
	who := "The whole book"
	at := l.at
	if l.tank != nil {
		who, at = l.tank.Tank.Name, l.at.In(l.tank.Location)
	}
	s := fmt.Sprintf("%s, %s: %s", who, at.Format("Monday 2 January 2006, 15:04"), said)
	if note != "" && said != noteSaid {
		return s + `, noting "` + note + `".`
	}
	if said == noteSaid {
		return s + ` "` + note + `".`
	}
	return s + "."
}
