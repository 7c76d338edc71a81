package command

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"bellout/app/changes"
	"bellout/app/textout"
	"bellout/model"
	"bellout/model/merge"
	"bellout/model/store"
	"bellout/model/wording"
)

func newMerge(console *Console) *cobra.Command {
	var take []string
	cmd := &cobra.Command{
		Use:   "merge FILE OTHER",
		Short: "the readings and edits of a copy that somebody else worked on",
		Long: `Brings the work in OTHER, a copy of the same project on another laptop, into
FILE, as one edit that can be taken back. Readings of both are kept; a row that only
one of them changed is as that one left it. OTHER is not written to.

Where both changed the same, each conflict is listed with both values, and nothing
is merged until all are decided: --take KEY=SIDE for one, --take SIDE for all the
rest; SIDE is mine (as in FILE), theirs (as in OTHER), or both where two rows only
got the same name by chance.`,
		Example: `  bellout merge lock.bellout lock-anna.bellout
  bellout merge lock.bellout lock-anna.bellout --take wire:W7=theirs --take mine`,
		Args:              wants("FILE", "OTHER"),
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			choices, err := readChoices(take)
			if err != nil {
				return fmt.Errorf("merge: %w", err)
			}
			return mergeFiles(cmd.Context(), args[0], args[1], choices, console, wantsJSON(cmd))
		},
	}
	cmd.Flags().StringArrayVar(&take, "take", nil, "which `SIDE` to take: KEY=SIDE for one conflict, SIDE for the rest; may stand several times")
	return cmd
}

// choices are the sides that were chosen, by key; the empty key is for the rest.
type choices map[string]merge.Choice

func readChoices(take []string) (choices, error) {
	list := choices{}
	for _, text := range take {
		key, word := "", text
		if at := strings.LastIndex(text, "="); at >= 0 {
			key, word = text[:at], text[at+1:]
		}
		choice, err := changes.ParseChoice(word)
		if err != nil {
			return nil, fmt.Errorf("--take %s: %w", text, err)
		}
		if _, twice := list[key]; twice {
			return nil, fmt.Errorf("--take %s: that was chosen already; write it once", text)
		}
		list[key] = choice
	}
	return list, nil
}

// of returns what was chosen for a conflict.
func (c choices) of(conflict changes.Conflict) (merge.Choice, bool) {
	if choice, there := c[conflict.Key]; there {
		return choice, true
	}
	choice, there := c[""]
	if there && choice == merge.Both && !conflict.Both {
		return 0, false // for the rest means where it can be
	}
	return choice, there
}

type mergeAnswer struct {
	Merged    bool               `json:"merged"`
	What      string             `json:"what"`
	Rows      int                `json:"rows"`     // that came or changed
	Readings  int                `json:"readings"` // of them
	Left      int                `json:"left"`     // readings that stay in the other file
	Away      int                `json:"away"`     // rows that go with what was chosen to be deleted
	Conflicts []changes.Conflict `json:"conflicts"`
	Undecided []string           `json:"undecided"`
}

func mergeFiles(ctx context.Context, path, otherPath string, chosen choices, console *Console, asJSON bool) (err error) {
	if same, err := sameFile(path, otherPath); err == nil && same {
		return fmt.Errorf("merge: %s and %s are one file; name the other copy", path, otherPath)
	}
	file, err := openFile(ctx, path, store.ReadWrite, store.WithClock(console.Now))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	other, err := openFile(ctx, otherPath, store.ReadOnly)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, other.Close()) }()
	parting, err := file.Base(other)
	if err != nil {
		return err
	}
	plan, err := merge.Make(ctx, parting.Base, file.Machine(), other.Machine())
	if err != nil {
		return err
	}
	answer := mergeAnswer{Conflicts: changes.Conflicts(plan.Conflicts()), Undecided: []string{}}
	if err := chosen.known(answer.Conflicts); err != nil {
		return err
	}
	for _, c := range answer.Conflicts {
		if _, decided := chosen.of(c); !decided {
			answer.Undecided = append(answer.Undecided, c.Key)
		}
	}
	if len(answer.Undecided) > 0 {
		if err := console.printMerge(answer, path, asJSON); err != nil {
			return err
		}
		return fmt.Errorf("merge: %s to be decided, nothing was changed; write --take KEY=mine or --take KEY=theirs for each, or --take mine for all", wording.Count(len(answer.Undecided), "conflict"))
	}
	byKey := map[string]merge.Choice{}
	for _, c := range answer.Conflicts {
		byKey[c.Key], _ = chosen.of(c)
	}
	result, err := plan.Decide(func(c merge.Conflict) merge.Choice { return byKey[changes.ConflictKey(c)] })
	if err != nil {
		return err
	}
	if err := ctx.Err(); err != nil { // the last moment at which nothing was changed
		return err
	}
	if err := file.Merge(other, parting, result); err != nil {
		return err
	}
	answer.Merged, answer.What = true, result.Edit.What
	answer.Rows, answer.Left, answer.Away = len(result.Edit.Changes), len(result.Left), len(result.Away)
	for _, c := range result.Edit.Changes {
		if _, is := c.After.(model.Reading); is && c.Before == nil {
			answer.Readings++
		}
	}
	return console.printMerge(answer, path, asJSON)
}

// known complains of a key that is no conflict, and of both where only one can be.
func (c choices) known(list []changes.Conflict) error {
	keys := make([]string, len(list))
	may := map[string]bool{}
	for i, conflict := range list {
		keys[i], may[conflict.Key] = conflict.Key, conflict.Both
	}
	for key, choice := range c {
		both, there := may[key]
		switch {
		case key == "":
		case !there && len(list) == 0:
			return fmt.Errorf("merge: --take %s=...: there is no conflict at all; leave --take out", key)
		case !there:
			return fmt.Errorf("merge: --take %s=...: no such conflict; they are %s", key, some(keys, 6))
		case choice == merge.Both && !both:
			return fmt.Errorf("merge: --take %s=both: one row cannot be as both have it; write mine or theirs", key)
		}
	}
	return nil
}

func (c *Console) printMerge(answer mergeAnswer, path string, asJSON bool) error {
	if asJSON {
		return c.printJSON(answer)
	}
	return c.print(func(p *textout.Page) {
		if !answer.Merged {
			for _, conflict := range answer.Conflicts {
				p.Hanging(p.Paint(textout.Strong, "Conflict  "), conflict.Key+": "+conflict.Reason)
				p.Hanging("  mine    ", conflict.Mine)
				p.Hanging("  theirs  ", conflict.Theirs)
				if conflict.Both {
					p.Hanging("  both    ", "mine, and theirs under a name of its own")
				}
			}
			return
		}
		if answer.Rows == 0 {
			p.Text("Nothing came: " + path + " has all that the other one has.")
			return
		}
		p.Text(fmt.Sprintf("Merged into %s as one edit: %s, among them %s.", path, wording.Count(answer.Rows, "row"), wording.Count(answer.Readings, "reading")))
		if answer.Left > 0 {
			p.Text(fmt.Sprintf("%s stay in the other file: a terminal of theirs was chosen to be deleted.", wording.Count(answer.Left, "reading")))
		}
		if answer.Away > 0 {
			p.Text(fmt.Sprintf("%s went with what was chosen to be deleted.", wording.Count(answer.Away, "row")))
		}
	})
}

func sameFile(a, b string) (bool, error) {
	first, err := os.Stat(a)
	if os.IsNotExist(err) {
		return false, nil // whoever opens it says so
	}
	if err != nil {
		return false, err
	}
	second, err := os.Stat(b)
	if os.IsNotExist(err) {
		return false, nil
	}
	return err == nil && os.SameFile(first, second), err
}
