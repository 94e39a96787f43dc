package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// Every command explains itself well enough to work from: what it does, how it is called, an example
// that begins with the program's name, its flags, and last what its exit codes mean.
func TestEveryHelpIsWhole(t *testing.T) {
	seen := 0
	var visit func(c *cobra.Command, path []string)
	visit = func(c *cobra.Command, path []string) {
		seen++
		t.Run(strings.Join(append([]string{"lastroom"}, path...), " "), func(t *testing.T) {
			var out, errs bytes.Buffer
			if code := run(append(path, "--help"), strings.NewReader(""), &out, &errs); code != done || errs.Len() > 0 {
				t.Fatalf("exit code %d, %s", code, errs.String())
			}
			text := out.String()
			name := strings.Join(append([]string{"lastroom"}, path...), " ")
			for _, want := range []string{"\nUsage:\n  " + name, "\nFlags:\n"} {
				if !strings.Contains(text, want) {
					t.Errorf("no %q in\n%s", want, text)
				}
			}
			if !c.HasAvailableSubCommands() && !strings.Contains(text, "\nExample:\n  "+name) {
				t.Errorf("no example in\n%s", text)
			}
			if !strings.HasSuffix(text, "\n"+say("command.help.exit")+"\n") {
				t.Errorf("exit codes are not last in\n%s", text)
			}
			if strings.Contains(text, "[command.") {
				t.Errorf("a sentence is missing in\n%s", text)
			}
			for line := range strings.Lines(text) {
				if n := len([]rune(strings.TrimRight(line, "\n"))); n > 250 {
					t.Errorf("a line of %d characters: %s", n, line)
				}
			}
		})
		for _, one := range c.Commands() {
			if one.IsAvailableCommand() {
				visit(one, append(path[:len(path):len(path)], one.Name()))
			}
		}
	}
	visit(rootCommand(), nil)
	if seen < 20 {
		t.Errorf("only %d commands were seen", seen)
	}
}
