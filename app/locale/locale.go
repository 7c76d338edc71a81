// Package locale keeps the window toolkit from complaining of a locale that it
// cannot read, such as C.UTF-8, which names no language, or de_DE@euro, which
// says more than the language: importing it, for nothing else, tells the toolkit
// the language alone. The window is English anyway.
//
// It is a package of its own because the toolkit reads the locale while it is
// initialised. Go initialises packages in the order of their paths as far as
// their imports allow (The Go Programming Language Specification, Package
// initialization), and this one imports little and stands early.
package locale

import (
	"os"
	"strings"

	"golang.org/x/text/language"
)

func init() {
	for name, value := range readable(os.Getenv) {
		// where that fails the complaint stays, and nothing else
		if value == "" {
			_ = os.Unsetenv(name)
		} else {
			_ = os.Setenv(name, value)
		}
	}
}

// readable returns what must change in the surroundings for the toolkit to read
// the locale; an empty value: the variable goes. It asks the variables that POSIX
// has for messages in their order, and LANGUAGE before them. How text is encoded,
// which is what a keyboard types by, stays as it was.
func readable(get func(string) string) map[string]string {
	messages := first(get, "LC_ALL", "LC_MESSAGES", "LANG")
	changes := map[string]string{}
	if plain := languageOf(messages); plain != messages {
		if get("LC_ALL") != "" {
			changes["LC_ALL"] = ""
		}
		if get("LC_ALL") != "" || get("LC_CTYPE") == "" {
			changes["LC_CTYPE"] = first(get, "LC_ALL", "LC_CTYPE", "LANG")
		}
		changes["LC_MESSAGES"] = plain
	}
	if list := get("LANGUAGE"); list != "" {
		var plain []string
		for _, name := range strings.Split(list, ":") {
			if name = languageOf(name); name != "" && name != noLanguage && name != "POSIX" {
				plain = append(plain, name)
			}
		}
		if joined := strings.Join(plain, ":"); joined != list {
			changes["LANGUAGE"] = joined
		}
	}
	return changes
}

// noLanguage is the locale that names none.
const noLanguage = "C"

// languageOf returns the name of a locale as it is if the toolkit can read it,
// else its language and country, else the locale that names no language.
func languageOf(name string) string {
	if name == "" || name == noLanguage || name == "POSIX" {
		return name
	}
	bare, _, _ := strings.Cut(name, ".")
	if reads(bare) {
		return name
	}
	bare, _, _ = strings.Cut(bare, "@")
	if reads(bare) {
		return bare
	}
	return noLanguage
}

// reads says whether the toolkit takes a locale without its encoding: of more
// than language and country it drops the rest.
func reads(name string) bool {
	tongue, country, _ := strings.Cut(strings.ReplaceAll(name, "-", "_"), "_")
	if country != "" {
		tongue += "-" + country
	}
	_, err := language.Parse(tongue)
	return err == nil
}

func first(get func(string) string, names ...string) string {
	for _, name := range names {
		if value := get(name); value != "" {
			return value
		}
	}
	return ""
}
