package main

import (
	"os"
	"strings"
)

// plainLocale keeps the window toolkit from complaining of a locale such as
// C.UTF-8, which names no language: it is told the same without the encoding.
// What programs of the system print stays as it was, the window is English.
func plainLocale() error {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if value := os.Getenv(name); strings.HasPrefix(value, "C.") {
			if err := os.Setenv(name, "C"); err != nil {
				return err
			}
		}
	}
	return nil
}
