package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	fyneapp "fyne.io/fyne/v2/app"

	"bellout/app/window"
	"bellout/model/atomicfile"
)

// clearSettings puts aside what lies in the place of the window's settings and
// is none: the toolkit ends the program over it. Nothing of it is lost; the
// window then starts as for the first time.
func clearSettings() error {
	path := settingsPath()
	text, err := readSettings(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("%s: the settings of the window cannot be read (%w); delete it, or give it back to its owner", path, atomicfile.Cause(err))
	case len(text) == 0: // the toolkit was ended before it wrote
		return os.Remove(path)
	}
	wrong := window.CheckSettings(text)
	if wrong == nil {
		return nil
	}
	aside := path + ".not-settings"
	for number := 2; ; number++ {
		if _, err := os.Lstat(aside); err != nil {
			break
		}
		aside = fmt.Sprintf("%s.not-settings-%d", path, number)
	}
	if err := os.Rename(path, aside); err != nil {
		return fmt.Errorf("%s holds no settings of the window (%w) and cannot be put aside (%w); delete it", path, wrong, atomicfile.Cause(err))
	}
	_, _ = fmt.Fprintf(os.Stderr, "bellout: %s holds no settings of the window (%v): it is %s now, and the window starts as for the first time\n",
		path, wrong, filepath.Base(aside))
	return nil
}

// The least and the greatest size of everything that a window can be used at; the
// toolkit ends the program over what is far outside.
const (
	leastScale    = 0.2
	greatestScale = 4
)

// clearScale has the window take its usual size where the settings that all programs
// of the toolkit share ask for one that nobody can use. It does nothing where the
// person asked for a size in the surroundings, which counts more.
func clearScale(asked float32) error {
	const scaleVariable = "FYNE_SCALE" // the toolkit's
	if asked <= 0 || asked >= leastScale && asked <= greatestScale || os.Getenv(scaleVariable) != "" {
		return nil
	}
	_, _ = fmt.Fprintf(os.Stderr, "bellout: %s asks for everything %v times as large; the window opens in its usual size: set scale there to 1\n",
		(&fyneapp.SettingsSchema{}).StoragePath(), asked)
	return os.Setenv(scaleVariable, "1")
}

func readSettings(path string) ([]byte, error) {
	at, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case !at.Mode().IsRegular():
		return nil, errors.New("it is no file")
	case at.Size() > largestSettings:
		return nil, errors.New("it is too large")
	}
	return os.ReadFile(path)
}

// largestSettings is in bytes; those of eight recent files are a few hundred.
const largestSettings = 1 << 20

// settingsPath is where the toolkit keeps the window's settings. Where the person
// has no folder for such things it takes the one that the program runs in.
func settingsPath() string {
	folder, _ := os.UserConfigDir()
	switch runtime.GOOS {
	case "darwin", "windows": // the toolkit's own words for the same
		folder, _ = os.UserHomeDir()
		if runtime.GOOS == "darwin" {
			folder = filepath.Join(folder, "Library", "Preferences")
		} else {
			folder = filepath.Join(folder, "AppData", "Roaming")
		}
	}
	return filepath.Join(folder, "fyne", programID, "preferences.json")
}
