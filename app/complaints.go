package main

import (
	"fmt"
	"io"
	"strings"

	fyneapp "fyne.io/fyne/v2/app"
)

// complaints takes what the window toolkit complains of, three lines of the log
// each (reason, cause, place in its code), and says it as one line of ours. The
// log writes one line at a time.
type complaints struct {
	to            io.Writer
	reason, cause string
}

// settingsComplaint is how the toolkit says that it cannot read the settings that
// all of its programs share.
const settingsComplaint = "Settings load error"

func (c *complaints) Write(line []byte) (int, error) {
	text := strings.TrimSpace(string(line))
	kind, rest, _ := strings.Cut(text, ": ")
	rest = strings.Trim(rest, " :")
	switch {
	case kind == "Fyne error":
		c.reason, c.cause = rest, ""
		return len(line), nil
	case kind == "Cause" && c.reason != "":
		c.cause = " (" + rest + ")"
		return len(line), nil
	case kind == "At" && c.reason == settingsComplaint:
		text = (&fyneapp.SettingsSchema{}).StoragePath() + " cannot be read as settings; the window opens without it: repair it or delete it"
	case kind == "At" && c.reason != "":
		text = "the window: " + c.reason + c.cause
	}
	c.reason = ""
	_, err := fmt.Fprintln(c.to, "bellout: "+text)
	return len(line), err
}
