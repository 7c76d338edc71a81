package command

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"bellout/model"
)

// answerWords are one answer to a station, of which one thing is said.
type answerWords struct {
	shows            model.Display     // where nothing else is said
	symptom          model.SymptomWord // where it is one, the answer to a look
	note             string            // beside a symptom
	skip, undo, stop bool
	saves            bool
	save             string // a path, where saves is true
}

const answerForms = `write {"value":"beep"}, {"value":12.5}, {"skip":true}, {"undo":true} or {"stop":true}`

// readAnswer reads one line. What cannot be read is told in the words of this page:
// whoever writes the line knows none of the program's own.
func readAnswer(line string) (words answerWords, err error) {
	fields, err := answerFields(line)
	if err != nil {
		return words, answerError{fmt.Errorf("%.60q is no answer (%w); %s", line, err, answerForms)}
	}
	said := 0
	value, drift, note := "", "", ""
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		raw := fields[name]
		var bad error
		switch strings.ToLower(name) {
		case "value":
			value, bad = valueText(raw)
			said++
		case "drift":
			drift, bad = plainText(raw)
		case "note":
			note, bad = plainText(raw)
		case "skip":
			words.skip, bad = isTrue(raw)
		case "undo":
			words.undo, bad = isTrue(raw)
		case "stop":
			words.stop, bad = isTrue(raw)
		case "save":
			words.save, bad = plainText(raw)
			words.saves = true
		default:
			bad = fmt.Errorf("there is no such word; %s", answerForms)
		}
		if bad != nil {
			return words, answerError{fmt.Errorf("%q: %w", name, bad)}
		}
	}
	for _, is := range []bool{words.skip, words.undo, words.stop, words.saves} {
		if is {
			said++
		}
	}
	switch {
	case said == 0:
		return words, answerError{fmt.Errorf("%.60q says nothing; %s", line, answerForms)}
	case said > 1:
		return words, answerError{fmt.Errorf("%.60q says several things; %s", line, answerForms)}
	case words.skip || words.undo || words.stop || words.saves:
		return words, nil
	}
	if word := model.SymptomWord(value); slices.Contains(model.SymptomWords, word) {
		words.symptom, words.note = word, note
		return words, nil
	}
	if words.shows, err = model.ParseDisplay(value); err == nil {
		err = ownWordsOnce(&words.shows, model.Drift(drift), note)
	}
	if err != nil {
		return words, answerError{err}
	}
	return words, nil
}

// answerFields are the words of an answer with what stands behind each; null is as if
// the word were not there.
func answerFields(line string) (map[string]json.RawMessage, error) {
	if len(line) > mostAnswer {
		return nil, errors.New("the line is too long")
	}
	if !strings.HasPrefix(line, "{") {
		return nil, errors.New("it does not begin with {")
	}
	var fields map[string]json.RawMessage
	decoder := json.NewDecoder(strings.NewReader(line))
	if err := decoder.Decode(&fields); err != nil {
		return nil, errors.New("it is no whole line of JSON")
	}
	if _, extra := decoder.Token(); !errors.Is(extra, io.EOF) {
		return nil, errors.New("more than one answer in a line")
	}
	for name, raw := range fields {
		if string(raw) == "null" {
			delete(fields, name)
		}
	}
	return fields, nil
}

// valueText is the value as its text: a number passes the same reader as one that is
// typed.
func valueText(raw json.RawMessage) (string, error) {
	switch raw = bytes.TrimSpace(raw); raw[0] {
	case '"':
		return plainText(raw)
	case '[', '{', 't', 'f':
		return "", fmt.Errorf(`%s is no reading; write "beep", "silent", "OL" or a number`, raw)
	}
	return string(raw), nil
}

func plainText(raw json.RawMessage) (string, error) {
	var text string
	if err := json.Unmarshal(raw, &text); err != nil {
		return "", fmt.Errorf("%s is no text; write it in quotes", raw)
	}
	return text, nil
}

func isTrue(raw json.RawMessage) (bool, error) {
	switch string(raw) {
	case "true", "false":
		return raw[0] == 't', nil
	}
	return false, fmt.Errorf("%s is neither true nor false; write true", raw)
}
