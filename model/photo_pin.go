package model

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// PhotoPins is where terminals are seen on a photo, as the file has it: A1 312 420;
// A2 340 421. A row stays a value that can be compared.
type PhotoPins string

// PhotoPin is one terminal on a photo: thousandths of the upright picture, across
// from its left edge and down from its upper one.
type PhotoPin struct {
	Mark         string // of a terminal of the photo's device
	Across, Down int    // 0 to 1000
}

// Parse reads the pins, in the order of their marks. No mark stands twice.
func (p PhotoPins) Parse() ([]PhotoPin, error) {
	if p == "" {
		return nil, nil
	}
	var pins []PhotoPin
	for text := range strings.SplitSeq(string(p), "; ") {
		words := strings.Split(text, " ")
		if len(words) != 3 {
			return nil, fmt.Errorf("%q is no pin", text)
		}
		across, err := thousandths(words[1])
		if err != nil {
			return nil, err
		}
		down, err := thousandths(words[2])
		if err != nil {
			return nil, err
		}
		if err := checkName(words[0]); err != nil {
			return nil, fmt.Errorf("a pin's terminal %w", err)
		}
		if slices.ContainsFunc(pins, func(pin PhotoPin) bool { return pin.Mark == words[0] }) {
			return nil, fmt.Errorf("%s is pinned twice", words[0])
		}
		pins = append(pins, PhotoPin{Mark: words[0], Across: across, Down: down})
	}
	return pins, nil
}

func thousandths(text string) (int, error) {
	value, err := strconv.Atoi(text)
	if err != nil || value < 0 || value > 1000 || strconv.Itoa(value) != text {
		return 0, fmt.Errorf("%q is no place on the picture", text)
	}
	return value, nil
}

// With returns the pins with one more, or with the terminal's own moved.
func (p PhotoPins) With(pin PhotoPin) PhotoPins {
	pins, _ := p.Without(pin.Mark).Parse()
	pins = append(pins, pin)
	slices.SortFunc(pins, func(a, b PhotoPin) int { return Compare(a.Mark, b.Mark) })
	return printPins(pins)
}

// Without returns the pins without a terminal's.
func (p PhotoPins) Without(mark string) PhotoPins {
	pins, _ := p.Parse()
	return printPins(slices.DeleteFunc(pins, func(pin PhotoPin) bool { return pin.Mark == mark }))
}

func printPins(pins []PhotoPin) PhotoPins {
	words := make([]string, len(pins))
	for i, pin := range pins {
		words[i] = fmt.Sprintf("%s %d %d", pin.Mark, pin.Across, pin.Down)
	}
	return PhotoPins(strings.Join(words, "; "))
}
