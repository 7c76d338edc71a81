package command

import (
	"regexp"
	"strings"
	"testing"

	"bellout/model"
	"bellout/model/store"
)

// programmers are words that only who wrote the program knows.
var programmers = regexp.MustCompile(`unmarshal|Go value|Go struct|strconv|json:|float64|map\[|answerWords|invalid character`)

// TestABadAnswerIsToldInThePersonsWords: and the same probe comes again.
func TestABadAnswerIsToldInThePersonsWords(t *testing.T) {
	b := sitDown(t, lampFile(t), "verify")
	asked := b.hear()["probe"]
	for answer, says := range map[string]string{
		`{"value":[1]}`:                "no reading",
		`{"value":{"ohm":1}}`:          "no reading",
		`{"value":true}`:               "no reading",
		`{"value":"1,200"}`:            "1.2 or 1200?",
		`{"value":1e308}`:              "more than any meter shows",
		`{"value":9.91E+37}`:           "no measurement",
		`{"value":-7}`:                 "below zero",
		`{"value":0.3,"drift":7}`:      "no text",
		`{"value":0.3,"drift":"up"}`:   `unknown word "up"`,
		`{"value":0.3,"note":{}}`:      "no text",
		`{"value":"0.3 a","note":"x"}`: "amperes",
		`{"value":"0.3 b","note":"x"}`: "two notes",
		`{"skip":"yes"}`:               "neither true nor false",
		`{"skip":1}`:                   "neither true nor false",
		`{"stop":[]}`:                  "neither true nor false",
		`{"volume":11}`:                "no such word",
		`{"value":0.3,"skip":true}`:    "several things",
		`{"value":null}`:               "says nothing",
		`{}`:                           "says nothing",
		`[1]`:                          "no answer",
		`"beep"`:                       "no answer",
		`beep`:                         "no answer",
		`{"value":}`:                   "no answer",
		`{"value":0.3`:                 "no answer",
		`{"value":0.3} {"value":0.3}`:  "more than one answer",
		`{"value":"OL V"}`:             "over the range",
		`{"value":"` + strings.Repeat("0", 70000) + `"}`: "too long",
	} {
		means, next := b.say(answer)
		said, _ := means["error"].(string)
		if !strings.Contains(said, says) || programmers.MatchString(said) {
			t.Errorf("%.60s: %v, want %q", answer, means, says)
		}
		if got := next["probe"].(map[string]any)["red"]; got != asked.(map[string]any)["red"] {
			t.Errorf("%.60s: another probe follows", answer)
		}
	}
}

// TestAnAnswerIsReadAsLogReadsIt: with its unit, and in the range that was asked for
// where it has none.
func TestAnAnswerIsReadAsLogReadsIt(t *testing.T) {
	path := lampFile(t)
	b := sitDown(t, path, "verify")
	b.hear()
	for _, answer := range []string{`{"value":"0,3 ohm steady, cold"}`, `{"value":9.9E+37}`, `{"value":"24 V"}`, `{"value":"no beep","note":"twice"}`} {
		if means, _ := b.say(answer); means["reading"] == nil {
			t.Errorf("%s: %v", answer, means)
		}
	}
	if _, err := b.in.Write([]byte(`{"stop":true}` + "\n")); err != nil {
		t.Fatal(err)
	}
	b.hear()
	file, err := store.Open(path, store.ReadOnly)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var got []string
	for _, r := range file.Machine().Readings {
		got = append(got, strings.Join([]string{string(r.Mode), r.Value.String(), string(r.Drift), r.Note}, "|"))
	}
	want := "ohms|0.3|steady|cold\nohms|OL||\nvolts-dc|24||\ncontinuity|silent||twice"
	if strings.Join(got, "\n") != want {
		t.Errorf("stored are\n%s\nwant\n%s", strings.Join(got, "\n"), want)
	}
}

// FuzzAnswer reads any line as an answer: it says one thing, or is refused in one
// line that the sitting goes on after; and what it shows comes back from the text
// that it is kept as.
func FuzzAnswer(f *testing.F) {
	for _, line := range []string{
		`{"value":"4k7 warm","drift":"rising"}`, `{"value":-12.5,"note":"warm"}`, `{"value":"dead","note":"x"}`, `{"value":9.91E+37}`, `{"value":"OL"}`,
		`{"skip":true}`, `{"undo":true,"skip":true}`, `{"undo":true,"stop":false}`, `{"save":"other.bellout"}`, `{"value":null,"VALUE":"beep"}`, `{"value":1}{"value":2}`, "{\"note\":\"a\\u0000b\"}",
	} {
		f.Add(line)
	}
	f.Fuzz(func(t *testing.T, line string) {
		line = strings.TrimSpace(line)
		if line == "" { // readLine leaves it out
			return
		}
		words, err := readAnswer(line)
		if err != nil {
			if !badAnswer(err) || programmers.MatchString(strings.ReplaceAll(err.Error(), line, "")) {
				t.Fatalf("%q: %T %v", line, err, err)
			}
			if said := oneLine(err.Error()); strings.ContainsAny(said, "\r\n\x00\x1b") {
				t.Fatalf("%q: %q", line, said)
			}
			return
		}
		said := 0
		for _, is := range []bool{words.skip, words.undo, words.stop, words.saves, words.symptom != "", words.shows != model.Display{}} {
			if is {
				said++
			}
		}
		if said != 1 {
			t.Fatalf("%q says %d things: %+v", line, said, words)
		}
	})
}
