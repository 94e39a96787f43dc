package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"io"
	"strings"

	"github.com/alexedwards/argon2id"
	"github.com/spf13/cobra"

	"lastroom/jobs/code"
	"lastroom/jobs/message"
)

// pinCost is what a try costs: OWASP's least for argon2id, 19 MiB and two passes, because the small
// computers of a workshop check it while somebody waits with a glove on. The server counts the tries.
var pinCost = argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

// The shortest and the longest PIN, in digits.
const (
	leastDigits = 4
	mostDigits  = 12
)

func pinCommand() *cobra.Command {
	return newCommand("pin", "pin", "lastroom pin < pin.txt", 0, 0, func(c *cobra.Command, _ []string) error {
		return runPIN(c.Context(), c.InOrStdin(), c.OutOrStdout())
	})
}

// runPIN writes the line of the shop file that lets a person sign in with the PIN of the input.
func runPIN(ctx context.Context, in io.Reader, out io.Writer) error {
	raw, err := readFile(ctx, "-", in)
	if err != nil {
		return err
	}
	pin := strings.TrimRight(string(raw), "\r\n")
	digits := 0
	for _, r := range pin {
		if r < '0' || r > '9' {
			return invalid("command.pin.digits", message.Args{"least": leastDigits, "most": mostDigits})
		}
		digits++
	}
	if digits < leastDigits || digits > mostDigits {
		return invalid("command.pin.length", message.Args{"found": digits, "least": leastDigits, "most": mostDigits})
	}
	cost := pinCost
	hash, err := argon2id.CreateHash(pin, &cost)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "pin = %q\n", hash)
	return err
}

func codeCommand() *cobra.Command {
	return newCommand("code station|badge", "code", "lastroom code badge", 1, 1, func(c *cobra.Command, args []string) error {
		kind, ok := map[string]code.Kind{"station": code.Station, "badge": code.Badge}[args[0]]
		if !ok {
			return misuse{hinted(invalid("command.code.kind", message.Args{"found": args[0]}), seeHelp(c))}
		}
		drawn, err := code.Random(kind, rand.Reader)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintln(c.OutOrStdout(), string(drawn))
		return err
	})
}
