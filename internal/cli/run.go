package cli

import (
	"context"
	"io"
	"os"
	"runtime/debug"
	"strings"
	"time"

	"github.com/alecthomas/kong"
)

const pitch = `Driftline is the bench book of a reef-tank keeper. It takes readings, doses and water changes and says what is
drifting, when each quantity leaves its band, what to test next, and where a change came from.`

// commands is the whole grammar, in the order the help lists it.
type commands struct {
	Demo       demoCmd       `cmd:"" help:"Open a made-up book of four tanks in the browser."`
	Init       initCmd       `cmd:"" help:"Make an empty book and, if you like, its first tank."`
	Serve      serveCmd      `cmd:"" help:"Open the book in the browser."`
	Log        logCmd        `cmd:"" help:"Write one line: a reading, a dose, a water change, a note."`
	Rounds     roundsCmd     `cmd:"" help:"What deserves attention today, over all tanks."`
	Drift      driftCmd      `cmd:"" help:"How each quantity stands and where it is going."`
	Ledger     ledgerCmd     `cmd:"" help:"Where the change of one quantity came from."`
	Correct    correctCmd    `cmd:"" help:"How to bring a quantity to its aim: what to weigh, when, and what to expect."`
	Course     courseCmd     `cmd:"" help:"A treatment or habit by schedule, with its ceiling and its stop rule; how accepted ones stand."`
	Mix        mixCmd        `cmd:"" help:"A recipe for new salt water: what to weigh, in which order, and what it then holds."`
	Whatif     whatifCmd     `cmd:"" help:"What the water will be if you go on like this, change something or go away."`
	Shelf      shelfCmd      `cmd:"" help:"What is left of each substance and salt, what uses it, and the day it runs out."`
	Trial      trialCmd      `cmd:"" help:"Did a change work: what the figures before and after say."`
	Survival   survivalCmd   `cmd:"" help:"How long animals live, by group, from a table of lifetimes."`
	Animals    animalsCmd    `cmd:"" help:"Who is here, who is on the way in, and how long animals live by the way they came."`
	Upkeep     upkeepCmd     `cmd:"" help:"What equipment, media and kits need next, and which habits lapsed."`
	Away       awayCmd       `cmd:"" help:"What an absence means for each tank, and the sheet for whoever minds them."`
	Feeding    feedingCmd    `cmd:"" help:"What a tank was fed, whether its fish get enough, and where nutrients settle as fed now."`
	Budget     budgetCmd     `cmd:"" help:"Nitrogen and phosphorus: what food brings, what takes them out, where they settle."`
	Photos     photosCmd     `cmd:"" help:"Measure with photographs: lay them over each other, find edges, see how fast things grow."`
	Water      waterCmd      `cmd:"" help:"What the figures measured of a water say together; whole tables with --csv."`
	Import     importCmd     `cmd:"" help:"Take in lines from JSON Lines, or readings from CSV."`
	Export     exportCmd     `cmd:"" help:"Write the book out as JSON Lines, or its readings as CSV."`
	Check      checkCmd      `cmd:"" help:"Verify that a book is sound."`
	Passphrase passphraseCmd `cmd:"" help:"Set the passphrase that serving beyond this machine needs."`
	Rehearsal  rehearsalCmd  `cmd:"" help:"Score the forecasts on simulated tanks, whose truth is known."`

	Version kong.VersionFlag `help:"Print the version and stop."`
}

// Program is the command line with what it takes from its surroundings.
type Program struct {
	Now func() time.Time
	Env func(string) string
}

// System is the program on this machine.
func System() Program {
	return Program{Now: time.Now, Env: os.Getenv}
}

// job is what every command is given.
type job struct {
	Program
	ctx  context.Context
	in   io.Reader
	out  io.Writer
	errs io.Writer
}

// Run does what the arguments say. The error, if any, is for Explain and ExitCode.
func (p Program) Run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) error {
	if len(args) == 0 {
		args = []string{"--help"}
	}
	var root commands
	stopped := false // the help or the version was printed
	parser, err := kong.New(&root,
		kong.Name("driftline"),
		kong.Description(pitch),
		kong.Writers(out, errs),
		kong.Exit(func(int) { stopped = true }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 96}),
		kong.Vars{"version": version()},
	)
	if err != nil {
		return err
	}
	parser.Model.Detail = exitCodes
	chosen, err := parser.Parse(shieldNumbers(args))
	if stopped {
		return nil
	}
	if err != nil {
		return usage(helpHint(parser, args), "%s", plainWords(err.Error()))
	}
	return chosen.Run(&job{p, ctx, in, out, errs})
}

// helpHint names the help of the command that was meant, if one can be told.
func helpHint(parser *kong.Kong, args []string) string {
	for _, node := range parser.Model.Children {
		if node.Name == args[0] {
			return "driftline " + node.Name + " --help shows what it takes"
		}
	}
	return "driftline --help lists the commands"
}

// plainWords takes the parser's own words out of what it says.
func plainWords(text string) string {
	return strings.NewReplacer("driftline: ", "", "a valid 64 bit int but got", "a whole number but got", "−", "-").Replace(text)
}

// shieldNumbers turns the hyphen of a negative number into a minus sign, so that
// "log Tank calcium -5" is heard as a value, and refused as one, rather than as
// an unknown flag.
func shieldNumbers(args []string) []string {
	out := make([]string, len(args))
	for i, a := range args {
		if len(a) > 1 && a[0] == '-' && strings.ContainsRune("0123456789.,", rune(a[1])) {
			a = "−" + a[1:]
		}
		out[i] = a
	}
	return out
}

func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return "driftline " + info.Main.Version
	}
	return "driftline (unversioned build)"
}
