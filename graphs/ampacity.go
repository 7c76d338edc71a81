package graphs

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"bellout/assets"
	"bellout/model"
)

// The tables that hold where the setting ampacity is empty.
const (
	tableAWG    = "FAA AC 43.13-1B Table 11-3"
	tableMetric = "IEC 60204-1 Table 6, method B2, 40 C ambient"
)

// rating is one row of a table: what a conductor of that size may be fused for.
type rating struct {
	gauge         model.Gauge
	fuse, breaker float64 // amperes; NaN where none is printed
}

// FuseAmps returns the current in amperes that a copper wire may be fused for,
// by a breaker or a fuse, and the printed size it is taken from: the wire's own
// or, where the table lacks it, the next thinner one. The table is the value of
// the setting ampacity: empty for AWG by FAA AC 43.13-1B Table 11-3 and mm2 by
// IEC 60204-1 Table 6 method B2; else one of AmpacityTables. In a table that is
// not of the wire's own system sizes compare by area.
//
// ok is false where the size is not known, thinner than all that are printed, or
// the table has another name (see CheckAmpacity).
func FuseAmps(gauge model.Gauge, breaker bool, table string) (amps float64, printed model.Gauge, ok bool) {
	area := AreaMM2(gauge)
	if area == 0 {
		return 0, model.Gauge{}, false
	}
	if table == "" {
		table = tableMetric
		if gauge.System == model.GaugeAWG {
			table = tableAWG
		}
	}
	best := 0.0
	for _, row := range ratings()[table] {
		size := AreaMM2(row.gauge)
		current := row.fuse
		if breaker {
			current = row.breaker
		}
		// A hair of slack: both areas come from the same formula.
		if math.IsNaN(current) || size > area*(1+1e-9) || size <= best {
			continue
		}
		best, amps, printed, ok = size, current, row.gauge, true
	}
	return amps, printed, ok
}

// AmpacityTables lists the values that the setting ampacity may have: the name
// of a table, which means the least printed for copper under any of its
// conditions, or the name and one of its conditions.
func AmpacityTables() []string {
	names := make([]string, 0, len(ratings()))
	for name := range ratings() {
		names = append(names, name)
	}
	slices.SortFunc(names, model.Compare)
	return names
}

// CheckAmpacity says whether the setting ampacity names a table; the error
// lists those that exist.
func CheckAmpacity(table string) error {
	if _, known := ratings()[table]; known || table == "" {
		return nil
	}
	return fmt.Errorf("setting %s: no table %q; write one of: %s; or leave it empty",
		model.KeyAmpacity, table, strings.Join(AmpacityTables(), " | "))
}

// ratings are all tables by name.
var ratings = sync.OnceValue(func() map[string][]rating {
	all := map[string][]rating{}
	for _, row := range table("faa_table_11_3.csv") {
		all[tableAWG] = append(all[tableAWG], rating{
			gauge: gaugeOf("AWG " + row["awg_copper"]), fuse: ampsOf(row["fuse_a"]), breaker: ampsOf(row["breaker_a"]),
		})
	}
	for _, row := range table("ampacity.csv") {
		amps := ampsOf(row["amps"])
		one := rating{gauge: gaugeOf(row["size"]), fuse: amps, breaker: amps}
		full := row["table"] + ", " + row["conditions"]
		all[full] = append(all[full], one)
		if !strings.Contains(row["conditions"], "aluminium") {
			all[row["table"]] = keepLeast(all[row["table"]], one)
		}
	}
	for _, rows := range all {
		slices.SortFunc(rows, func(a, b rating) int { return cmp.Compare(AreaMM2(a.gauge), AreaMM2(b.gauge)) })
	}
	return all
})

func keepLeast(rows []rating, one rating) []rating {
	for i, row := range rows {
		if row.gauge == one.gauge {
			rows[i].fuse, rows[i].breaker = min(row.fuse, one.fuse), min(row.breaker, one.breaker)
			return rows
		}
	}
	return append(rows, one)
}

// table reads an embedded table. They are part of the program: one that cannot
// be read is a mistake in it.
func table(name string) []map[string]string {
	file, err := assets.Tables().Open(name)
	if err != nil {
		panic("graphs: " + err.Error())
	}
	defer func() { _ = file.Close() }() // read only, and in memory
	records, err := csv.NewReader(file).ReadAll()
	if err != nil {
		panic("graphs: " + name + ": " + err.Error())
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func gaugeOf(text string) model.Gauge {
	gauge, err := model.ParseGauge(text)
	if err != nil {
		panic("graphs: " + err.Error())
	}
	return gauge
}

func ampsOf(text string) float64 {
	if text == "" {
		return math.NaN()
	}
	amps, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic("graphs: " + err.Error())
	}
	return amps
}
