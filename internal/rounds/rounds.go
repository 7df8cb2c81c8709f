package rounds

import "time"

// Kind says why a row is on the rounds.
type Kind string

// The kinds of row.
const (
	Outside       Kind = "outside"        // likely outside its band now
	Leaving       Kind = "leaving"        // about to leave its band
	Misread       Kind = "misread"        // a reading to repeat before acting on it
	TestDue       Kind = "test due"       // by risk
	RoutineDue    Kind = "routine due"    // hand work due today
	RoutineMissed Kind = "routine missed" // hand work overdue
	Lapse         Kind = "lapse"          // a quantity nobody has tested for long
	HabitFound    Kind = "habit"          // regular doses that no routine declares
)

// Action is the one tap that does a row: what the form is filled with.
type Action struct {
	Do        string `json:"do"` // "read", "dose", "water change", "feeding", "chore", "stock", "course", "correct", "work anew", "mix", "look", "score", "trial", "routine", "animal", "upkeep"
	Tank      string `json:"tank"`
	Quantity  string `json:"quantity,omitempty"`
	Routine   string `json:"routine,omitempty"`
	Substance string `json:"substance,omitempty"`
	Amount    string `json:"amount,omitempty"`
	Unit      string `json:"unit,omitempty"`
	Mix       string `json:"mix,omitempty"`
	Food      string `json:"food,omitempty"`
	Chore     string `json:"chore,omitempty"`
	Animal    string `json:"animal,omitempty"`
	Sign      string `json:"sign,omitempty"`       // to score
	EveryDays string `json:"every_days,omitempty"` // of a routine to declare
	Plan      string `json:"plan,omitempty"`       // id of the correction, course or trial it is a step of, or about
}

// Row is one thing that deserves attention.
type Row struct {
	Key         string     `json:"key"` // stable while the same matter stands
	Kind        Kind       `json:"kind"`
	Tank        string     `json:"tank"`
	Quantity    string     `json:"quantity,omitempty"`
	Title       string     `json:"title"` // "Magnesium, north window: near the edge"
	Why         string     `json:"why"`   // one line
	Chance      float64    `json:"chance,omitempty"`
	On          *time.Time `json:"on,omitempty"` // due, or when it is expected to leave
	Consequence float64    `json:"consequence"`  // what the order goes by, largest first
	Lines       []string   `json:"lines,omitempty"`
	Action      Action     `json:"action"`
	Also        []Action   `json:"also,omitempty"` // where else the matter can be taken up
	Cautions    []string   `json:"cautions,omitempty"`
}

// Sheet is the rounds of one day over all tanks.
type Sheet struct {
	On   time.Time `json:"on"`
	Rows []Row     `json:"rows"`
	// Quiet is a plain sentence for a day, or a tank, with nothing to do, and what comes next.
	Quiet string `json:"quiet,omitempty"`
	// Next is what falls due after today, soonest first.
	Next []Row `json:"next,omitempty"`
}
