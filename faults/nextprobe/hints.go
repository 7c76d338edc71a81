package nextprobe

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"bellout/model"
)

// voltsInTitle finds "24 V" and "0 V" in what people call a device.
var voltsInTitle = regexp.MustCompile(`(\d+(?:\.\d+)?) ?V\b`)

// hintOf returns what the names of a way through say that it carries: aims, or
// volts. A "24 V block" carries 24 V, the "0 V of the lamps" is a return. Names
// are what people call things, so they only make a partner likelier.
func hintOf(device *model.Device, mark string) (hint aims, volts []float64) {
	letters, _, _, numbered := splitNumber(mark)
	if !numbered {
		letters = mark
	}
	switch strings.ToUpper(letters) {
	case "L":
		return aimLine, nil
	case "N":
		return aimNeutral, nil
	case "PE":
		return aimEarth, nil
	case "GND", "-":
		return aimGround, nil
	}
	if strings.HasPrefix(strings.ToUpper(mark), "0V") {
		return aimGround, nil
	}
	switch device.Kind.Known() {
	case model.KindTerminalBlock, model.KindSplice, model.KindFuse, model.KindBreaker:
	default:
		return 0, nil
	}
	if found := voltsInTitle.FindStringSubmatch(device.Title); found != nil {
		value, err := strconv.ParseFloat(found[1], 64)
		switch {
		case err != nil:
		case value == 0:
			return aimGround, nil
		default:
			return 0, []float64{value}
		}
	}
	for _, word := range wordsOf(device.Title) {
		switch word {
		case "line":
			return aimLine, nil
		case "neutral":
			return aimNeutral, nil
		case "earth":
			return aimEarth, nil
		case "return", "returns":
			return aimGround, nil
		}
	}
	if kind := device.Kind.Known(); kind == model.KindFuse || kind == model.KindBreaker {
		return aimHot, nil // nobody fuses a return
	}
	return 0, nil
}

// words are the words of titles and zones, the rare ones worth more: the fuse of
// the lamps goes to the plug of the lamps.
type words struct {
	of  [][]int   // by device
	in  [][]int   // by word: devices
	say []float64 // by word: what sharing it is worth
}

// mostWithWord is how many devices share a word that still tells something.
const mostWithWord = 40

func findWords(m *model.Machine) words {
	w := words{of: make([][]int, len(m.Devices))}
	known := map[string]int{}
	for i := range m.Devices {
		device := &m.Devices[i]
		for _, word := range append(wordsOf(device.Title), wordsOf(device.Zone)...) {
			id, seen := known[word]
			if !seen {
				id = len(w.in)
				known[word] = id
				w.in = append(w.in, nil)
			}
			if !slices.Contains(w.of[i], id) {
				w.of[i] = append(w.of[i], id)
				w.in[id] = append(w.in[id], i)
			}
		}
	}
	w.say = make([]float64, len(w.in))
	for id, devices := range w.in {
		if len(devices) > 1 && len(devices) <= mostWithWord {
			w.say[id] = math.Log(mostWithWord/float64(len(devices))) + 0.1
		}
	}
	return w
}

func wordsOf(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r > 127)
	})
}

// shared returns, by device, what the words that it shares with a device are
// worth.
func (w *words) shared(device int, sum map[int]float64) {
	for _, word := range w.of[device] {
		if w.say[word] == 0 {
			continue
		}
		for _, other := range w.in[word] {
			sum[other] += w.say[word]
		}
	}
}
