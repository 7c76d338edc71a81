package window

import (
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"fyne.io/fyne/v2"

	"bellout/app/window/look"
)

// keeping is what the window remembers from one start to the next. Nothing that
// matters is in it: the machine is in its own file.
type keeping struct{ preferences fyne.Preferences }

const (
	keepDark, keepText        = "dark", "textSize"
	keepWidth, keepHeight     = "width", "height"
	keepSplit, keepRecent     = "split", "recent"
	recentMost                = 8
	usualWidth, usualHeight   = 1400, 900
	leastWidth, leastHeight   = 900, 600
	usualSplit                = 0.32
	keepInspect               = "inspect"
	usualInspect              = 0.6
	leastInspect              = 0.3
	greatestInspect           = 0.8
	leastSplit, greatestSplit = 0.2, 0.6
)

// The greatest size of the window is the largest picture of ITU-R BT.2020: X ends
// a program over some size beyond.
const greatestWidth, greatestHeight = 7680, 4320

func (k keeping) dark() bool                 { return k.preferences.Bool(keepDark) }
func (k keeping) setDark(dark bool)          { k.preferences.SetBool(keepDark, dark) }
func (k keeping) recent() []string           { return k.preferences.StringList(keepRecent) }
func (k keeping) setSplit(at float64)        { k.preferences.SetFloat(keepSplit, at) }
func (k keeping) setText(size look.TextSize) { k.preferences.SetInt(keepText, int(size)) }

func (k keeping) textSize() look.TextSize {
	size := look.TextSize(k.preferences.Int(keepText))
	return min(max(size, look.Near), look.AcrossTheBench)
}

func (k keeping) split() float64 {
	return min(max(k.preferences.FloatWithFallback(keepSplit, usualSplit), leastSplit), greatestSplit)
}

// inspect is where the line stands between a place and what is looked at.
func (k keeping) inspect() float64 {
	return min(max(k.preferences.FloatWithFallback(keepInspect, usualInspect), leastInspect), greatestInspect)
}

func (k keeping) setInspect(at float64) { k.preferences.SetFloat(keepInspect, at) }

func (k keeping) size() fyne.Size {
	return fyne.NewSize(
		float32(min(max(k.preferences.FloatWithFallback(keepWidth, usualWidth), leastWidth), greatestWidth)),
		float32(min(max(k.preferences.FloatWithFallback(keepHeight, usualHeight), leastHeight), greatestHeight)))
}

func (k keeping) setSize(size fyne.Size) {
	k.preferences.SetFloat(keepWidth, float64(size.Width))
	k.preferences.SetFloat(keepHeight, float64(size.Height))
}

// remember puts a file before the others that were open lately, by its whole path,
// wherever the program is started next.
func (k keeping) remember(path string) {
	if whole, err := filepath.Abs(path); err == nil {
		path = whole
	}
	list := slices.DeleteFunc(k.recent(), func(other string) bool { return other == path })
	list = append([]string{path}, list...)
	k.preferences.SetStringList(keepRecent, list[:min(len(list), recentMost)])
}

// CheckSettings says why the text of a settings file is none of the window's: the
// recent files are a list of words, everything else is a word, a number, or yes
// or no. The toolkit trusts what it reads, and ends the program over the rest.
func CheckSettings(text []byte) error {
	var settings map[string]any
	if err := json.Unmarshal(text, &settings); err != nil || settings == nil {
		return errors.New("it is no list of settings in JSON")
	}
	for name, value := range settings {
		list, isList := value.([]any)
		fits := isList == (name == keepRecent)
		if !isList {
			list = []any{value}
		}
		for _, item := range list {
			switch item.(type) {
			case string:
			case bool, float64:
				fits = fits && !isList
			default:
				fits = false
			}
		}
		if !fits {
			return fmt.Errorf("%q is not set to what it can be", name)
		}
	}
	return nil
}
