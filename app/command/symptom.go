package command

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"bellout/app/textout"
	"bellout/faults"
	"bellout/faults/diagnosis"
	"bellout/faults/judge"
	"bellout/faults/nextprobe"
	"bellout/model"
	"bellout/model/store"
)

func newSymptom(console *Console) *cobra.Command {
	var when []string
	var note, at string
	names := make([]string, len(model.SymptomWords))
	for i, word := range model.SymptomWords {
		names[i] = string(word)
	}
	cmd := &cobra.Command{
		Use:   "symptom FILE DEVICE WORD",
		Short: "store what a device does, and say what that means",
		Long: `Stores one word about what a device does while the machine runs, then says what
is most likely wrong. A device that works is evidence as much as one that is
dead: it clears what it hangs on.

WORD is works, dead (does nothing), weak (dim, slow, quiet), stuck-on (does not go
off), intermittent (flickers, resets, drops out), hot or noisy; of a fuse or
breaker blows, of a supply trips. A device behind an output says nothing by being
dark while nobody drives it: say so with --when "driven U1:O1".`,
		Example: `  bellout symptom lock.bellout E3 dead
  bellout symptom lock.bellout Y2 dead --when "driven K1:D2"
  bellout symptom lock.bellout E4 works`,
		Args: wants("FILE", "DEVICE", "WORD"),
		ValidArgsFunction: func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 2 {
				return names, cobra.ShellCompDirectiveNoFileComp
			}
			return completeFrom(1, deviceNames)(cmd, args, typed)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			file, err := openFile(cmd.Context(), args[0], store.ReadWrite, store.WithClock(console.Now))
			if err != nil {
				return err
			}
			answer, err := storeSymptom(file, func(m *model.Machine) (model.Symptom, error) {
				return readSymptom(m, args[1], args[2], when, note, at, console.Now())
			})
			machine := file.Machine()
			if err = errors.Join(err, file.Close()); err != nil {
				return err
			}
			if wantsJSON(cmd) {
				return console.printJSON(answer)
			}
			return console.print(func(p *textout.Page) { layLogged(p, machine, answer) })
		},
	}
	whenFlag(cmd, &when)
	cmd.Flags().StringVar(&note, "note", "", "a `NOTE` of your own")
	cmd.Flags().StringVar(&at, "at", "", "the `TIME` in RFC 3339, as in 2026-05-04T12:00:00Z (default now)")
	return cmd
}

// readSymptom makes a symptom of words.
func readSymptom(m *model.Machine, ref, word string, when []string, note, at string, now time.Time) (model.Symptom, error) {
	var none model.Symptom
	device, found := m.Device(ref)
	if !found {
		return none, fmt.Errorf("symptom: %w", m.CheckTerminal(model.TerminalRef{Device: ref}))
	}
	conditions, err := readConditions(m, when)
	if err != nil {
		return none, fmt.Errorf("symptom: %w", err)
	}
	moment := now.Truncate(time.Second)
	if at != "" {
		if moment, err = time.Parse(time.RFC3339, at); err != nil {
			return none, fmt.Errorf("symptom: --at: %q is no time; write it in RFC 3339, as in 2026-05-04T12:00:00Z", at)
		}
	}
	s := model.Symptom{At: moment, Device: ref, Word: model.SymptomWord(word), When: conditions.String(), Note: note}
	if complaints := s.Validate(); len(complaints) > 0 {
		return none, fmt.Errorf("symptom: %w", complaints[0])
	}
	protects := device.Kind == model.KindFuse || device.Kind == model.KindBreaker
	gives := slices.Contains([]model.DeviceKind{model.KindSupply, model.KindConverter, model.KindBattery}, device.Kind)
	switch {
	case s.Word == model.SymptomBlows && !protects:
		return none, fmt.Errorf("symptom: blows is said of a fuse or breaker, %s is a %s; write dead or intermittent", ref, device.Kind)
	case s.Word == model.SymptomTrips && !gives:
		return none, fmt.Errorf("symptom: trips is said of a supply, %s is a %s; write dead or intermittent", ref, device.Kind)
	}
	return s, nil
}

// storeSymptom stores a symptom and says what it means. Where another program
// wrote meanwhile, the words are read anew.
func storeSymptom(file *store.File, read func(*model.Machine) (model.Symptom, error)) (logAnswer, error) {
	for attempt := 0; ; attempt++ {
		s, err := read(file.Machine())
		if err != nil {
			return logAnswer{}, err
		}
		before := faults.Diagnose(file.Machine()).Report().Findings
		err = file.Do(model.Edit{What: fmt.Sprintf("%s: %s", s.Device, s.Word), Changes: []model.Change{{Before: file.Machine().Row(model.TableSymptom, s.ID()), After: s}}})
		if errors.Is(err, store.ErrChanged) && attempt < maxAttempts {
			continue
		}
		if err != nil {
			return logAnswer{}, err
		}
		known := faults.Diagnose(file.Machine())
		answer := logAnswer{Reading: int64(len(file.Machine().Symptoms)), Findings: listed(faults.Since(before, known.Report().Findings))}
		answer.Outcome, answer.Message = symptomMeans(known, s)
		return answer, nil
	}
}

// symptomMeans says whether a symptom is what the map says, and what is most
// likely wrong.
func symptomMeans(known *faults.Diagnosis, s model.Symptom) (judge.Outcome, string) {
	live := diagnosis.NewLive(known.Analysis().AsDrawn)
	meaning, outputs := live.Means(s)
	text := likelyText(known.Running())
	switch meaning {
	case diagnosis.Unmapped:
		return judge.Undecided, fmt.Sprintf("The map does not say what %s needs: note the volts of its feed, its return and its load_a.", s.Device)
	case diagnosis.NotDriven:
		if len(outputs) == 0 {
			return judge.Undecided, fmt.Sprintf("%s is off as the map has it: nothing feeds it in this condition.", s.Device)
		}
		return judge.Undecided, fmt.Sprintf("%s hangs on output %s, which nobody switched on: being dark says nothing. Switch it on and say --when \"driven %s\".", s.Device, outputs[0], outputs[0])
	case diagnosis.AsMapped:
		return judge.Agrees, strings.TrimSpace(fmt.Sprintf("%s does what the map says. %s", s.Device, text))
	}
	return judge.Contradicts, text
}

// likelyText names the likeliest places with their chances.
func likelyText(p *diagnosis.Posterior) string {
	const named, least = 3, 0.05
	if p == nil {
		return ""
	}
	var parts []string
	for _, s := range p.Suspects() {
		if len(parts) == named || s.Chance < least {
			break
		}
		parts = append(parts, fmt.Sprintf("%s (%s)", p.Live.Text(s.Hypothesis), model.PercentText(s.Chance)))
	}
	if len(parts) == 0 {
		return ""
	}
	return "Most likely, given this map: " + strings.Join(parts, "; ") + "."
}

// storeSymptom keeps the word that answers a look.
func (s *station) storeSymptom(ctx context.Context, words answerWords, ask nextprobe.Ask) error {
	answer, err := storeSymptom(s.file, func(m *model.Machine) (model.Symptom, error) {
		return readSymptom(m, ask.Device, string(words.symptom), ask.Words, words.note, "", s.console.Now())
	})
	if err != nil {
		return err
	}
	s.reopen(ctx)
	return s.console.printJSON(answer)
}

func symptomList() string {
	names := make([]string, len(model.SymptomWords))
	for i, word := range model.SymptomWords {
		names[i] = string(word)
	}
	return strings.Join(names, ", ")
}
