package tables

import (
	"slices"

	"bellout/model"
)

// touch is what tells readings apart: equal in it, they are one row, whether
// or not one was struck out since.
type touch struct {
	key            model.ReadingKey
	struck         string // empty in the second look-up
	whateverStruck bool
}

func touchOf(r model.Reading, whateverStruck bool) touch {
	t := touch{key: r.Key(), whateverStruck: whateverStruck}
	if !whateverStruck {
		t.struck = r.Struck
	}
	return t
}

// addReadings resolves conditions against the merged machine and adds the
// readings that m does not hold. A reading that m holds and that was struck
// out in the file is struck out; one that was struck out in m stays so: an
// older copy of the file takes no strike back.
func (c *Content) addReadings(m, merged *model.Machine, add func(before, after model.Row, from origin)) error {
	if err := c.resolve(merged); err != nil {
		return err
	}
	readings := c.readings.list
	held := heldReadings(m)
	matched := make([]bool, len(readings))
	if len(held) > 0 {
		for i := range readings {
			_, matched[i] = held.take(m, touchOf(readings[i].Reading, false))
		}
	}
	number := int64(0)
	for _, reading := range m.Readings {
		number = max(number, reading.Number)
	}
	for i := range readings {
		reading := readings[i].Reading
		at := origin{file: c.readings.file, line: c.readings.lines[i]}
		if matched[i] {
			continue
		}
		if before, found := held.take(m, touchOf(reading, true)); found {
			if after := before; reading.Struck != "" && before.Struck == "" {
				after.Struck = reading.Struck
				add(before, after, at)
			}
			continue
		}
		number++
		reading.Number = number
		add(nil, reading, at)
	}
	return nil
}

// readingsHeld are the places of a machine's readings that no row of the file
// has been matched with yet, by what tells them apart.
type readingsHeld map[touch][]int

func heldReadings(m *model.Machine) readingsHeld {
	held := readingsHeld{}
	order := make([]int, len(m.Readings))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return int(m.Readings[a].Number - m.Readings[b].Number) })
	for _, at := range order {
		for _, whatever := range []bool{false, true} {
			if whatever && m.Readings[at].Struck == model.Undone {
				continue // it was taken back: the same row in a file brings it in anew
			}
			key := touchOf(m.Readings[at], whatever)
			held[key] = append(held[key], at)
		}
	}
	return held
}

// take matches one held reading with the key and takes it out.
func (h readingsHeld) take(m *model.Machine, key touch) (held model.Reading, found bool) {
	places := h[key]
	if len(places) == 0 {
		return model.Reading{}, false
	}
	at := places[0]
	for _, whatever := range []bool{false, true} {
		other := touchOf(m.Readings[at], whatever)
		rest := slices.DeleteFunc(slices.Clone(h[other]), func(place int) bool { return place == at })
		if len(rest) == 0 {
			delete(h, other)
		} else {
			h[other] = rest
		}
	}
	return m.Readings[at], true
}

// resolve parses the conditions of the readings, in their place, and checks the
// terminals under the tips, in the file's order. The error is an *Error.
func (c *Content) resolve(merged *model.Machine) error {
	parsed := map[string]model.Conditions{}
	var first *Error
	fail := func(i int, column string, err error) {
		if first != nil {
			first.More++
			return
		}
		problem, mend := explain(err)
		first = &Error{File: c.readings.file, Line: int(c.readings.lines[i]), Column: column, Problem: problem, Mend: mend, Err: err}
	}
	for i, row := range c.readings.list {
		if err := merged.CheckTerminal(row.Red); err != nil {
			fail(i, "red", err)
			continue
		}
		if err := merged.CheckTerminal(row.Black); err != nil {
			fail(i, "black", err)
			continue
		}
		conditions, known := parsed[row.When]
		if !known && row.When != "" {
			var err error
			if conditions, err = merged.ParseConditions(row.When); err != nil {
				fail(i, "conditions", err)
				continue
			}
			parsed[row.When] = conditions
		}
		c.readings.list[i].Conditions = conditions
	}
	if first != nil {
		return first
	}
	return nil
}
