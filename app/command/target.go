package command

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"bellout/model/atomicfile"
)

// target is where a command writes, and whether a file that is there may be
// replaced.
type target struct {
	path    string
	replace bool
}

const flagReplace = "replace"

func (t *target) replaceFlag(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&t.replace, flagReplace, false, "write over the file that is there; a project file is never written over")
}

// check says, before the work is done, what write would refuse.
func (t target) check() error { return offerReplace(atomicfile.Check(t.path, t.replace)) }

// write writes the file whole, or, where ctx ends before, not at all.
func (t target) write(ctx context.Context, write func(io.Writer) error) error {
	return offerReplace(atomicfile.Write(t.path, t.replace, func(to io.Writer) error { return done(ctx, func() error { return write(to) }) }))
}

// offerReplace says how a file that is there can be written over.
func offerReplace(err error) error {
	if exists, is := errors.AsType[*atomicfile.ExistsError](err); is {
		return fmt.Errorf("%s is there already and stays as it is; write another name, or --replace to write over it", exists.Path)
	}
	return err
}
