package model

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// Two names that look the same are two things that a person takes for one: K1 as
// it is, K1 with a space of no width in it, and K1 with the Cyrillic letter. A
// name by itself must hold nothing that is not seen, no letter put together of
// two, and letters of one alphabet; and no two names of a machine look the same.

// seen complains of a name that looks like another one. Files of earlier versions
// hold such names: what is there may stay.
func (c *complaints) seen(field, name string) {
	if isASCII(name) || !utf8.ValidString(name) {
		return
	}
	tolerated := func(problem, mend string) {
		*c = append(*c, FieldError{Field: field, Problem: problem, Mend: mend, tolerated: true})
	}
	if at := strings.IndexFunc(name, unseen); at >= 0 {
		r, _ := utf8.DecodeRuneInString(name[at:])
		if !TurnsDirection(r) { // of that it is told already
			tolerated(fmt.Sprintf("%q holds the invisible character U+%04X", name, r), "write the name anew without it")
		}
		return
	}
	if whole := norm.NFC.String(name); whole != name {
		at := differsAt(name, whole)
		r, _ := utf8.DecodeRuneInString(name[at:])
		tolerated(fmt.Sprintf("%q holds a letter that is put together of several characters, as at U+%04X", name, r), "type the name anew, each letter as one")
		return
	}
	if odd, first, second := mixedScripts(name); odd != 0 {
		tolerated(fmt.Sprintf("%q mixes %s and %s letters, such as %c (U+%04X)", name, first, second, odd, odd), "type the name anew in one alphabet")
	}
}

func isASCII(text string) bool {
	for i := range len(text) {
		if text[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// unseen says whether a character leaves no mark of its own: the format
// characters of Unicode, the selectors of a variant, and letters that stand for
// no letter.
func unseen(r rune) bool {
	return unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Variation_Selector, r) ||
		slices.Contains([]rune{0x034f, 0x115f, 0x1160, 0x17b4, 0x17b5, 0x2800, 0x3164, 0xffa0}, r)
}

// differsAt is where two texts part.
func differsAt(a, b string) int {
	for at := range a {
		if at >= len(b) || !strings.HasPrefix(b, a[:at]) {
			return max(0, at-1)
		}
	}
	return 0
}

// mixedScripts finds a letter of another alphabet than those before it; 0 if there
// is none. Scripts that are written together are one: Chinese, Japanese and Korean
// ones, also with Latin letters (Unicode Technical Standard 39, section 5.2, highly
// restrictive). Greek letters that no Latin one looks like stand in formulas
// everywhere, and go with any.
func mixedScripts(name string) (odd rune, first, second string) {
	for _, r := range name {
		script := scriptOf(r)
		switch {
		case script == "" || script == first:
		case first == "" || first == eastAsian && script == "Latin":
			if first == "" {
				first = script
			}
		case first == "Latin" && script == eastAsian:
			first = eastAsian
		default:
			return r, first, script
		}
	}
	return 0, "", ""
}

const eastAsian = "East Asian"

// scriptOf names the alphabet of a letter; empty for what belongs to none.
func scriptOf(r rune) string {
	switch {
	case r < utf8.RuneSelf && unicode.IsLetter(r):
		return "Latin"
	case !unicode.IsLetter(r) || strings.ContainsRune("ΓΔΘΛΞΠΣΦΨΩβγδεζηθλμξπσςφψω", r):
		return ""
	case unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul, unicode.Bopomofo):
		return eastAsian
	}
	for name, table := range unicode.Scripts {
		if unicode.Is(table, r) && name != "Common" && name != "Inherited" {
			return name
		}
	}
	return ""
}

// looks is a name as it looks: names that look the same have the same. Most are
// plain ASCII and look as they are.
func looks(name string) string {
	if isASCII(name) {
		return name
	}
	return strings.Map(func(r rune) rune {
		if unseen(r) {
			return -1
		}
		if same, known := lookAlikes[r]; known {
			return same
		}
		return r
	}, norm.NFKC.String(name))
}

// lookAlikes are characters and the plain one that each looks like in most type.
// From memory, after the table of Unicode Technical Standard 39: whole letters
// only, and what people type by a wrong keyboard or get from a text program.
var lookAlikes = func() map[rune]rune {
	table := map[rune]rune{}
	for _, pair := range [][2]string{
		{"АВЕЅІЈКМНОРСТУХаеорсухіјѕԁԛԝ", "ABESIJKMHOPCTYXaeopcyxijsdqw"}, // Cyrillic
		{"ΑΒΕΖΗΙΚΜΝΟΡΤΥΧανορυ", "ABEZHIKMNOPTYXavopu"},                   // Greek
		{"‐‑‒–—―−﹣－", "---------"},
		{"‘’ʼ′", "''''"},
		{"∕⁄․", "//."},
	} {
		plain := []rune(pair[1])
		for at, r := range []rune(pair[0]) {
			table[r] = plain[at]
		}
	}
	return table
}()

// notTheSame says how one name differs from another that looks like it.
func notTheSame(name, twin string) string {
	a, b := []rune(name), []rune(twin)
	at := 0
	for at < len(a)-1 && at < len(b) && a[at] == b[at] {
		at++
	}
	return fmt.Sprintf("looks like %q and is another: it holds U+%04X", twin, a[at])
}

// twinIn finds the name of a list that looks like another; empty if none does.
func twinIn(names []string, name string) string {
	as := looks(name)
	for _, other := range names {
		if other != name && looks(other) == as {
			return other
		}
	}
	return ""
}

// checkLooks looks, when all changes of an edit are made, whether a name that it
// brings looks like another one of the machine. Cost: a look at every name of the
// same table.
func (m *Machine) checkLooks(changes []Change) (at int, field string, err error) {
	brings := map[Table][]int{}
	for at, change := range changes {
		if change.After != nil && (change.Before == nil || change.Before.ID() != change.After.ID()) {
			brings[change.Table()] = append(brings[change.Table()], at)
		}
	}
	for _, table := range []Table{TableDevice, TableTerminal, TableWire} {
		if len(brings[table]) == 0 {
			continue
		}
		odd := map[string][]string{} // by looks: IDs that are not plain ASCII
		for _, id := range m.names(table) {
			if !isASCII(id) {
				as := looks(id)
				odd[as] = append(odd[as], id)
			}
		}
		slices.SortStableFunc(brings[table], func(a, b int) int { // of two that come the plain one is right
			return cmp.Compare(plainness(changes[a].After.ID()), plainness(changes[b].After.ID()))
		})
		for _, at := range brings[table] {
			id := changes[at].After.ID()
			as := looks(id)
			others := odd[as]
			if as != id && m.Row(table, as) != nil {
				others = append([]string{as}, others...)
			}
			for _, other := range others {
				if other != id && sameDevice(table, id, other) {
					return at, string(table), fmt.Errorf("%q %s; write %s everywhere, or a name that is seen to be another", id, notTheSame(id, other), other)
				}
			}
		}
	}
	return 0, "", nil
}

func plainness(name string) int {
	if isASCII(name) {
		return 1
	}
	return 0
}

// names are the names in a table: references, terminals, wires.
func (m *Machine) names(table Table) []string {
	var names []string
	switch table {
	case TableDevice:
		for _, device := range m.Devices {
			names = append(names, device.Ref)
		}
	case TableTerminal:
		for _, terminal := range m.Terminals {
			names = append(names, terminal.Ref().String())
		}
	case TableWire:
		for _, wire := range m.Wires {
			names = append(names, wire.Name)
		}
	}
	return names
}

// sameDevice says whether two names stand beside each other: marks do on one
// device only.
func sameDevice(table Table, id, other string) bool {
	if table != TableTerminal {
		return true
	}
	device, _, _ := strings.Cut(id, ":")
	otherDevice, _, _ := strings.Cut(other, ":")
	return device == otherDevice
}
