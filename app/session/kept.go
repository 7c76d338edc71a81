package session

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bellout/model"
	"bellout/model/store"
)

// What holds at the bench outlives the program, in the project's file: a plug that
// is out is still out when the laptop ran down, and a machine that was live is not
// dead because a program ended. It is no part of the map and no edit.

// benchKinds are the kinds of things that are kept.
var benchKinds = []store.BenchKind{store.BenchHeld, store.BenchLive, store.BenchAside}

// benchThings is what is to be kept.
func (d *Session) benchThings() store.BenchThings {
	things := store.BenchThings{}
	for _, list := range []model.Conditions{d.condition, d.putBack} {
		for _, condition := range list {
			things[store.BenchHeld] = append(things[store.BenchHeld], condition.String())
		}
	}
	for _, live := range d.Live() {
		things[store.BenchLive] = append(things[store.BenchLive], live.line())
	}
	things[store.BenchAside] = d.Aside()
	return things
}

// keepBench has the worker keep what changed since it was kept last.
func (d *Session) keepBench() {
	if d.view.Path == "" || d.view.ReadOnly {
		return
	}
	things := d.benchThings()
	for _, kind := range benchKinds {
		list := things[kind] // none, where something came to an end
		if slices.Equal(list, d.kept[kind]) {
			continue
		}
		d.kept[kind] = list
		d.worker.do(func(w *worker) {
			if w.file == nil {
				return
			}
			if err := w.attempt(func() error { return w.file.KeepBench(kind, list) }); err != nil {
				w.complain("what holds at the bench is not kept: ", err)
			}
		})
	}
}

// takeKept sets what was kept when this file was open last. Conditions are asked
// about; what the map does not have any more is left out of them.
func (d *Session) takeKept(kept store.BenchThings) {
	d.kept = store.BenchThings{}
	for kind, list := range kept {
		d.kept[kind] = list
	}
	for _, text := range kept[store.BenchHeld] {
		conditions, err := d.view.Machine.ParseConditions(text)
		if err != nil {
			continue
		}
		for _, condition := range conditions {
			if !among(d.condition, condition) {
				d.condition = append(d.condition, condition)
				d.hold(condition, HeldLast)
			}
		}
	}
	d.condition = model.NewConditions(d.condition...)
	d.takeLive(kept[store.BenchLive])
	for _, key := range kept[store.BenchAside] {
		if d.aside == nil {
			d.aside = map[string]bool{}
		}
		d.aside[key] = true
	}
}

// takeLive sets the pairs that are live. A line that cannot be read is told of,
// and stands for something live until the machine is proven dead.
func (d *Session) takeLive(lines []string) {
	d.live = nil
	for _, line := range lines {
		live, err := parseLive(line)
		if err != nil {
			d.Complain(fmt.Errorf("what the file keeps of a live pair cannot be read (%s): take the machine for live and prove it dead", line))
			live = Live{Unread: line}
		}
		live.Earlier = true
		d.live = append(d.live, live)
	}
}

// line is how a live pair is kept: mode, volts, number of the reading, red, black.
func (l Live) line() string {
	if l.Unread != "" {
		return l.Unread
	}
	return strings.Join([]string{string(l.Mode), model.FormatNumber(l.Volts), strconv.FormatInt(l.Reading, 10), l.Red.String(), l.Black.String()}, " ")
}

func parseLive(line string) (live Live, err error) {
	words := strings.Fields(line)
	if len(words) != 5 {
		return live, errors.New("not five words")
	}
	live.Mode = model.Mode(words[0])
	var wrong [4]error
	live.Volts, wrong[0] = model.ParseNumber(words[1])
	live.Reading, wrong[1] = strconv.ParseInt(words[2], 10, 64)
	live.Red, wrong[2] = model.ParseTerminalRef(words[3])
	live.Black, wrong[3] = model.ParseTerminalRef(words[4])
	if !live.Mode.Volts() {
		return live, errors.New("no range of volts")
	}
	return live, errors.Join(wrong[:]...)
}
