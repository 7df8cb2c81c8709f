package cli_test

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"driftline/internal/cli/quickline"
)

var update = flag.Bool("update", false, "write the README's transcript anew")

// transcript finds the commands and outputs of the README's console block.
var transcript = regexp.MustCompile("(?s)```console\n(.*?)```")

func TestREADMEShowsWhatTheProgramPrints(t *testing.T) {
	file, err := filepath.Abs("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	blocks := transcript.FindAllStringSubmatch(string(text), -1)
	if len(blocks) == 0 {
		t.Fatal("the README has no console block")
	}
	t.Chdir(t.TempDir())
	for _, block := range blocks {
		got := replay(t, block[1])
		if got == block[1] {
			continue
		}
		if !*update {
			t.Errorf("the README shows\n%s\nand the program prints\n%s\n(go test ./internal/cli -run README -update writes it anew)", block[1], got)
			continue
		}
		text = []byte(strings.Replace(string(text), block[1], got, 1))
	}
	if *update {
		if err := os.WriteFile(file, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// replay runs the commands of a block and writes the block as it should be.
func replay(t *testing.T, block string) string {
	var out strings.Builder
	for _, line := range strings.Split(block, "\n") {
		words, isCommand := strings.CutPrefix(line, "$ driftline ")
		if !isCommand {
			continue
		}
		args, err := quickline.Split(words)
		if err != nil {
			t.Fatal(err)
		}
		printed, errs, _ := command(t, args...)
		if out.Len() > 0 {
			out.WriteString("\n")
		}
		out.WriteString(line + "\n" + printed + errs)
	}
	return out.String()
}

func TestThePageOfCommandsShowsTheGrammarOfTheQuickLine(t *testing.T) {
	text, err := os.ReadFile("../../docs/commands.md")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(quickline.Grammar) {
		if !strings.Contains(string(text), strings.TrimSpace(line)) {
			t.Errorf("docs/commands.md lacks %q", strings.TrimSpace(line))
		}
	}
}
