package graphs

import (
	"strings"
	"testing"

	"bellout/model"
)

// Every row of FAA AC 43.13-1B Table 11-3, and the rows of ampacity.csv by
// their own table and conditions; the source stands in each row.
func TestFuseAmpsOfEveryPrintedSize(t *testing.T) {
	for _, row := range table("faa_table_11_3.csv") {
		gauge := gaugeOf("AWG " + row["awg_copper"])
		amps, printed, ok := FuseAmps(gauge, false, "")
		if !ok || printed != gauge || amps != number(t, row["fuse_a"]) {
			t.Errorf("%v fuse: %v A by %v, want %s: %s", gauge, amps, printed, row["fuse_a"], row["source"])
		}
		if row["breaker_a"] == "" {
			continue
		}
		if amps, printed, ok = FuseAmps(gauge, true, ""); !ok || printed != gauge || amps != number(t, row["breaker_a"]) {
			t.Errorf("%v breaker: %v A by %v, want %s: %s", gauge, amps, printed, row["breaker_a"], row["source"])
		}
	}
	overcurrent := 0
	for _, row := range table("ampacity.csv") {
		amps, printed, ok := FuseAmps(gaugeOf(row["size"]), false, row["table"]+", "+row["conditions"])
		if !ok || printed != gaugeOf(row["size"]) || amps != number(t, row["amps"]) {
			t.Errorf("%s %s: %v A by %v, want %s: %s", row["table"], row["size"], amps, printed, row["amps"], row["source"])
		}
		if row["kind"] == "overcurrent_max" {
			overcurrent++
		}
	}
	if overcurrent == 0 {
		t.Error("no overcurrent rows were checked")
	}
}

func TestFuseAmpsBetweenPrintedSizes(t *testing.T) {
	for _, row := range []struct {
		name, gauge, table string
		breaker            bool
		amps               float64
		printed            string
	}{
		{"odd AWG: the next thinner", "AWG 17", "", false, 10, "AWG 18"},
		{"no breaker printed: the next thinner that has one", "AWG 1/0", "", true, 125, "AWG 2"},
		{"thicker than all", "AWG 4/0", "", false, 150, "AWG 1/0"},
		{"thinner than all", "AWG 24", "", false, 0, ""},
		{"metric, own size", "0.75 mm2", "", false, 8.5, "0.75 mm2"},
		{"metric between", "2 mm2", "", false, 13.1, "1.5 mm2"},
		{"metric thinner than all", "0.5 mm2", "", false, 0, ""},
		{"metric thicker than all", "95 mm2", "", true, 70, "25 mm2"},
		{"metric by an AWG table", "0.75 mm2", "NFPA 79 Table 12.5.1", false, 5, "AWG 20"},
		{"AWG by a metric table", "AWG 14", "IEC 60204-1 Table 6, method C, 40 C ambient", false, 15.2, "1.5 mm2"},
		{"a table by name: the least of its conditions", "AWG 14", "NFPA 70 Table 310.16", false, 15, "AWG 14"},
		{"copper, not aluminium", "AWG 12", "NFPA 70 240.4(D)", true, 20, "AWG 12"},
		{"not known", "", "", false, 0, ""},
		{"no such table", "AWG 14", "the back of an envelope", false, 0, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			gauge, err := model.ParseGauge(row.gauge)
			if err != nil {
				t.Fatal(err)
			}
			amps, printed, ok := FuseAmps(gauge, row.breaker, row.table)
			if amps != row.amps || printed.String() != row.printed || ok != (row.printed != "") {
				t.Errorf("%v A by %v, %v; want %v A by %s", amps, printed, ok, row.amps, row.printed)
			}
		})
	}
}

func TestCheckAmpacityNamesTheTables(t *testing.T) {
	if err := CheckAmpacity(""); err != nil {
		t.Error(err)
	}
	if err := CheckAmpacity("NFPA 79 Table 12.5.1"); err != nil {
		t.Error(err)
	}
	err := CheckAmpacity("none")
	if err == nil || !strings.Contains(err.Error(), "IEC 60204-1 Table 6, method E, 40 C ambient") || strings.Contains(err.Error(), "\n") {
		t.Errorf("%v", err)
	}
}
